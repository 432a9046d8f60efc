package define

import (
	"fmt"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/token"

	"witnessmark.example/checks/limit"
)

// The most that a firm's definition file may hold. CUE evaluates some small
// files for ever (a struct that joins several many-way alternatives), and
// nothing can stop it once it runs, so the syntax is looked at first.
const (
	mostNodes        = 200_000
	mostDepth        = 40
	mostAlternatives = 40 // in one joined expression
	mostAlternating  = 3  // alternatives joined by & in one expression or struct
)

// gate refuses syntax that definitions have no use for.
func gate(f *ast.File) []limit.Fault {
	g := &gatekeeper{file: f.Filename}
	for imp := range f.ImportSpecs() {
		g.importSpec(imp)
	}
	ast.Walk(f, g.enter, g.leave)
	return g.faults
}

type gatekeeper struct {
	file   string
	depth  int
	nodes  int
	faults []limit.Fault
}

func (g *gatekeeper) refuse(p token.Pos, message, mend string) {
	if len(g.faults) < 20 {
		g.faults = append(g.faults, limit.Fault{At: at(p), Code: "not-understood", Message: message, Mend: mend})
	}
}

func (g *gatekeeper) importSpec(s *ast.ImportSpec) {
	path := strings.Trim(s.Path.Value, `"`)
	if !strings.HasPrefix(path, Module+"/") && path != "strings" && path != "list" && path != "math" {
		g.refuse(s.Pos(), unknownImport(path), "remove the import")
	}
}

// enter is called before the parts of a node, leave after them; a refused node
// is left at once.
func (g *gatekeeper) enter(n ast.Node) bool {
	g.depth++
	if g.look(n) {
		return true
	}
	g.depth--
	return false
}

func (g *gatekeeper) leave(ast.Node) { g.depth-- }

func (g *gatekeeper) look(n ast.Node) bool {
	g.nodes++
	if g.depth > mostDepth {
		g.refuse(n.Pos(), fmt.Sprintf("the definition is nested more than %d deep", mostDepth), "make it flatter")
		return false
	}
	if g.nodes > mostNodes {
		if g.nodes == mostNodes+1 {
			g.refuse(n.Pos(), "the file holds too many definitions", "split it into several files")
		}
		return false
	}
	switch x := n.(type) {
	case *ast.Comprehension:
		g.refuse(x.Pos(), "for and if are not understood in definitions", "write each case by itself, with its condition under when")
		return false
	case *ast.Interpolation:
		g.refuse(x.Pos(), "text with values in it is not understood in definitions", "write the text itself")
		return false
	case *ast.Attribute:
		if !strings.HasPrefix(x.Text, "@label(") && !strings.HasPrefix(x.Text, "@example(") {
			g.refuse(x.Pos(), fmt.Sprintf("the attribute %s is not understood here", name(x.Text)), "remove it")
		}
	case *ast.Field:
		if x.Constraint != token.ILLEGAL {
			g.refuse(x.Pos(), "a field marked with ? or ! states nothing", "remove the mark")
		}
	case *ast.UnaryExpr:
		if x.Op == token.MUL {
			g.refuse(x.Pos(), "defaults (*) are not understood in definitions", "write the value itself")
		}
	case *ast.BinaryExpr:
		g.alternatives(x)
	case *ast.StructLit:
		g.joined(x)
	}
	return true
}

func name(attribute string) string {
	n, _, _ := strings.Cut(attribute, "(")
	return n
}

// alternatives counts the branches of an expression of | and &.
func (g *gatekeeper) alternatives(x *ast.BinaryExpr) {
	if n := branches(x); n > mostAlternatives {
		g.refuse(x.Pos(), fmt.Sprintf("the expression has more than %d alternatives", mostAlternatives), "split it into several limits")
	}
	if n := joinedAlternatives(x); n > mostAlternating {
		g.refuse(x.Pos(), "several lists of alternatives are joined", "write the alternatives that are left as one list")
	}
}

func branches(e ast.Expr) int {
	switch x := e.(type) {
	case *ast.ParenExpr:
		return branches(x.X)
	case *ast.BinaryExpr:
		a, b := branches(x.X), branches(x.Y)
		if x.Op == token.OR {
			return min(a+b, 1_000_000)
		}
		return min(a*b, 1_000_000)
	}
	return 1
}

// joinedAlternatives counts the lists of alternatives joined by &.
func joinedAlternatives(e ast.Expr) int {
	switch x := e.(type) {
	case *ast.ParenExpr:
		return joinedAlternatives(x.X)
	case *ast.BinaryExpr:
		switch x.Op {
		case token.OR:
			return 1
		case token.AND:
			return joinedAlternatives(x.X) + joinedAlternatives(x.Y)
		}
	}
	return 0
}

// joined counts alternatives embedded side by side in one struct.
func (g *gatekeeper) joined(s *ast.StructLit) {
	n := 0
	for _, d := range s.Elts {
		if e, ok := d.(*ast.EmbedDecl); ok {
			n += joinedAlternatives(e.Expr)
		}
	}
	if n > mostAlternating {
		g.refuse(s.Pos(), "several lists of alternatives are joined in one block", "write the alternatives that are left as one list")
	}
}
