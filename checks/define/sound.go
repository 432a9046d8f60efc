package define

import (
	"fmt"
	"strconv"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/parser"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// built is one definition file of a firm, evaluated, without the parts that are
// not sound.
type built struct {
	value   cue.Value
	left    map[string]bool // paths of parts left out: "#p.limits.gap", "#products.morvane.B"
	faults  []limit.Fault
	useless bool // nothing of the file can be used
}

// mostRounds bounds how often a file is evaluated again without a broken part.
const mostRounds = 25

// build evaluates a definition file. A mistake inside one limit, one revision of
// a product or one rule set leaves out that part and no more: it is cut from the
// syntax, and the rest is evaluated again. A mistake anywhere else makes the file
// useless; so does any mistake in a file that is not divisible.
//
// Form, where there is one, is what every definition of the file must fit, so
// that a misspelt field is seen even if the author left the form out.
func (l *loader) buildFile(name string, data []byte, divisible bool, form forms) built {
	b := built{left: map[string]bool{}}
	cut := map[cutting]bool{}
	for range mostRounds {
		f, err := parser.ParseFile(name, data, parser.ParseComments)
		if err != nil {
			return b.uselessFor(explain(name, err, nil))
		}
		remove(f, cut)
		faults := gate(f)
		if len(faults) == 0 {
			b.value, faults = l.file(f)
		}
		if len(faults) == 0 {
			faults = append(strangers(f), invalid(f, b.value, form)...)
		}
		if len(faults) == 0 {
			return b
		}
		progress := false
		for _, fault := range faults {
			part, ok := partAt(f, fault.At.Line)
			if !ok || !divisible {
				return b.uselessFor([]limit.Fault{fault})
			}
			if !cut[part] {
				cut[part], b.left[part.path], progress = true, true, true
			}
			fault.Mend += "; " + part.path[strings.LastIndexByte(part.path, '.')+1:] + " is not applied until then"
			b.faults = append(b.faults, fault)
		}
		if !progress {
			break
		}
	}
	return b.uselessFor([]limit.Fault{{At: fact.Origin{File: name, Line: 1}, Code: "broken-definition",
		Message: "too much of the file is broken to use the rest", Mend: "mend the mistakes listed"}})
}

func (b built) uselessFor(faults []limit.Fault) built {
	for i := range faults {
		faults[i].Mend += "; nothing in this file is applied until then"
	}
	b.faults, b.useless = append(b.faults, faults...), true
	return b
}

// forms are what the definitions of a file must fit, by their name; "" is for
// every name that is not listed.
type forms map[string]cue.Value

func (f forms) of(definition string) cue.Value {
	if form, ok := f[definition]; ok {
		return form
	}
	return f[""]
}

// invalid lists what is wrong with each definition of a file.
func invalid(f *ast.File, v cue.Value, form forms) []limit.Fault {
	var faults []limit.Fault
	it, err := v.Fields(cue.Definitions(true))
	if err != nil {
		return []limit.Fault{{At: fact.Origin{File: f.Filename, Line: 1}, Code: "broken-definition", Message: "the file holds no definitions", Mend: "write definitions: #name: … & {…}"}}
	}
	for it.Next() {
		w := it.Value()
		if form := form.of(it.Selector().String()); form.Exists() && it.Selector().IsDefinition() {
			w = w.Unify(form)
		}
		if err := w.Validate(); err != nil {
			faults = append(faults, explain(f.Filename, err, f)...)
		}
	}
	return faults
}

// strangers reports what stands at the top of a file and is no definition: it
// would be passed over without a word.
func strangers(f *ast.File) []limit.Fault {
	var faults []limit.Fault
	for _, d := range f.Decls {
		at := at(d.Pos())
		switch x := d.(type) {
		case *ast.Field:
			name := label(x)
			hidden := strings.HasPrefix(name, "_")
			if strings.HasPrefix(name, "#") || hidden && !hasField(x.Value, "source") {
				continue
			}
			faults = append(faults, limit.Fault{At: at, Code: "no-definition", Message: name + " is no definition, so nothing of it would be applied", Mend: "begin its name with #"})
		case *ast.EmbedDecl:
			faults = append(faults, limit.Fault{At: at, Code: "no-definition", Message: "a value stands here without a name", Mend: "write #name: …"})
		}
	}
	return faults
}

func hasField(e ast.Expr, name string) bool {
	for _, s := range structs(e) {
		for _, d := range s.Elts {
			if f, ok := d.(*ast.Field); ok && label(f) == name {
				return true
			}
		}
	}
	return false
}

// cutting names a part of a file that can be left out: its path and the line it
// begins in (a path may stand twice).
type cutting struct {
	path string
	line int
}

// isPart tells whether a field stands for something that can be left out by
// itself: a definition, a revision of a product, a limit, an entry of a register.
func isPart(path []string) bool {
	return len(path) == 1 && path[0] != "#products" && path[0] != "#firm" && !isRegister(path[0]) || len(path) == 3 && path[0] == "#products" ||
		len(path) > 1 && path[len(path)-2] == "limits" || isRegisterEntry(path)
}

// partAt finds the innermost part that a line lies in.
func partAt(f *ast.File, line int) (part cutting, found bool) {
	eachField(f.Decls, nil, func(field *ast.Field, path []string) bool {
		if line < field.Pos().Line() || line > field.End().Line() {
			return true
		}
		if isPart(path) {
			part, found = cutting{strings.Join(path, "."), field.Pos().Line()}, true
		}
		return true
	})
	return part, found
}

// remove cuts parts from a file, and the imports that nothing uses (any more):
// CUE would refuse the file for them.
func remove(f *ast.File, cut map[cutting]bool) {
	f.Decls = without(f.Decls, nil, cut)
	used := map[string]bool{}
	for _, d := range f.Decls {
		if _, ok := d.(*ast.ImportDecl); ok {
			continue
		}
		ast.Walk(d, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				used[id.Name] = true
			}
			return true
		}, nil)
	}
	for _, d := range f.Decls {
		imports, ok := d.(*ast.ImportDecl)
		if !ok {
			continue
		}
		var kept []*ast.ImportSpec
		for _, s := range imports.Specs {
			if used[importName(s)] {
				kept = append(kept, s)
			}
		}
		imports.Specs = kept
	}
}

func importName(s *ast.ImportSpec) string {
	if s.Name != nil {
		return s.Name.Name
	}
	path := strings.Trim(s.Path.Value, `"`)
	return path[strings.LastIndexByte(path, '/')+1:]
}

func without(decls []ast.Decl, path []string, cut map[cutting]bool) []ast.Decl {
	var kept []ast.Decl
	for _, d := range decls {
		if field, ok := d.(*ast.Field); ok {
			here := append(path[:len(path):len(path)], label(field))
			if cut[cutting{strings.Join(here, "."), field.Pos().Line()}] {
				continue
			}
			for _, s := range structs(field.Value) {
				s.Elts = without(s.Elts, here, cut)
			}
		}
		kept = append(kept, d)
	}
	return kept
}

// eachField visits every field with its path, outer fields first.
func eachField(decls []ast.Decl, path []string, visit func(*ast.Field, []string) bool) {
	for _, d := range decls {
		field, ok := d.(*ast.Field)
		if !ok {
			continue
		}
		here := append(path[:len(path):len(path)], label(field))
		if !visit(field, here) {
			continue
		}
		for _, s := range structs(field.Value) {
			eachField(s.Elts, here, visit)
		}
		if list, ok := field.Value.(*ast.ListLit); ok {
			for i, e := range list.Elts {
				for _, s := range structs(e) {
					eachField(s.Elts, append(here[:len(here):len(here)], strconv.Itoa(i)), visit)
				}
			}
		}
	}
}

// label is the name of a field; a pattern has one that no field can have.
func label(f *ast.Field) string {
	name, _, err := ast.LabelName(f.Label)
	if err != nil {
		return fmt.Sprintf("[%d]", f.Pos().Line())
	}
	return name
}

// structs lists the struct literals an expression is made of by &.
func structs(e ast.Expr) []*ast.StructLit {
	switch x := e.(type) {
	case *ast.StructLit:
		return []*ast.StructLit{x}
	case *ast.ParenExpr:
		return structs(x.X)
	case *ast.BinaryExpr:
		return append(structs(x.X), structs(x.Y)...)
	}
	return nil
}
