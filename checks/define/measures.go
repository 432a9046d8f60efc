package define

import (
	"fmt"
	"strings"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// readMeasures adds the calculated measures to the shape.
func readMeasures(l *loader, shape *fact.Shape) error {
	v, err := l.ownPackage("measure")
	if err != nil {
		return fmt.Errorf("package measure: %w", err)
	}
	it, err := v.LookupPath(cue.ParsePath("#measures")).Fields()
	if err != nil {
		return fmt.Errorf("package measure: %w", err)
	}
	for it.Next() {
		f, err := readMeasure(it.Value(), it.Selector().Unquoted(), shape)
		if err != nil {
			return fmt.Errorf("%s: measure %s: %w", f.At, f.Path, err)
		}
		shape.Fields = append(shape.Fields, f)
	}
	return nil
}

func readMeasure(v cue.Value, name string, shape *fact.Shape) (fact.Field, error) {
	calc := &fact.Calculation{Function: text(v, "function"), Formula: text(v, "formula"), Validity: text(v, "validity"),
		Source: text(v, "source"), Across: truth(v, "across")}
	f := fact.Field{Path: name, Type: fact.Quantity, Unit: text(v, "unit"), Meaning: text(v, "meaning"),
		Label: readTexts(v.LookupPath(cue.ParsePath("label"))), Calculation: calc, At: origin(v.LookupPath(cue.ParsePath("formula")))}
	if calc.Formula == "" || calc.Source == "" || f.Meaning == "" || f.Unit == "" || f.Label["en"] == "" {
		return f, fmt.Errorf("formula, source, meaning, unit and label must all be stated")
	}
	for _, in := range pairs(v, "inputs") {
		calc.Inputs = append(calc.Inputs, fact.Input{Symbol: in[0], Fact: in[1]})
	}
	calc.Sum, calc.Least, calc.Greatest = terms(v, "sum"), terms(v, "least"), terms(v, "greatest")
	if len(terms(v, "count")) > 1 || len(terms(v, "distinct")) > 1 || len(terms(v, "span")) > 1 {
		return f, fmt.Errorf("count, distinct and span take one list")
	}
	for _, t := range terms(v, "count") {
		calc.Count, f.Type = &t, fact.Count
	}
	for _, t := range terms(v, "distinct") {
		calc.Distinct, f.Type = &t, fact.Count
	}
	for _, t := range terms(v, "span") {
		calc.Span, f.Type = &t, fact.Count
	}
	it, err := v.LookupPath(cue.ParsePath("where")).Fields()
	for err == nil && it.Next() {
		calc.Where = append(calc.Where, fact.Test{Fact: it.Selector().Unquoted(), Words: readList(it.Value())})
	}
	// What is counted is written where others have their unit: "modules".
	if _, isUnit := quantity.UnitOf(f.Unit); !isUnit {
		f.Type = fact.Count
	}
	if calc.Ways() != 1 {
		return f, fmt.Errorf("state exactly one of function, sum, count, least, greatest, distinct and span")
	}
	return f, nil
}

// terms reads what is taken over several entries, each with its link.
func terms(v cue.Value, field string) []fact.Term {
	var out []fact.Term
	for _, t := range pairs(v, field) {
		out = append(out, fact.Term{Fact: t[0], Over: t[1]})
	}
	return out
}

// pairs reads a struct of strings in the order of the file.
func pairs(v cue.Value, field string) [][2]string {
	it, err := v.LookupPath(cue.ParsePath(field)).Fields()
	if err != nil {
		return nil
	}
	var out [][2]string
	for it.Next() {
		s, _ := it.Value().String()
		out = append(out, [2]string{it.Selector().Unquoted(), s})
	}
	return out
}

// factsFile writes the package of facts that bounds may refer to: every number
// of a job by its full name, along the links that lead to one entry.
func factsFile(shape *fact.Shape) string {
	var b strings.Builder
	b.WriteString("// Package facts names what a bound may be taken from: every number (facts.f,\n// k*facts.f or facts.f + c), and every list of words, of which a word must be one\n// (facts.f). Made by go generate ./schema; do not edit.\npackage facts\n\n")
	tree := &factNode{}
	for i := range shape.Fields {
		f := &shape.Fields[i]
		across := f.Calculation != nil && f.Calculation.Across // known only after the last job
		if !strings.HasPrefix(f.Path, "equipment.") && !strings.HasPrefix(f.Path, "register.") && !across {
			addFact(tree, shape, f, strings.Split(f.Path, "."), 0)
		}
	}
	tree.write(&b, 0)
	return b.String()
}

type factNode struct {
	name  string
	of    string // "number" or "[...string]"; empty for a block
	parts []*factNode
}

func (n *factNode) part(name string) *factNode {
	for _, p := range n.parts {
		if p.name == name {
			return p
		}
	}
	p := &factNode{name: name}
	n.parts = append(n.parts, p)
	return p
}

func (n *factNode) at(path []string) *factNode {
	for _, p := range path {
		n = n.part(p)
	}
	return n
}

// furthest is how many links a reference may lead along.
const furthest = 2

func addFact(tree *factNode, shape *fact.Shape, f *fact.Field, path []string, links int) {
	switch {
	case f.Type == fact.Quantity || f.Type == fact.Count:
		tree.at(path).of = "number"
	case f.Many && (f.Type == fact.Word || f.Type == fact.Text):
		tree.at(path).of = "[...string]"
	case f.Type == fact.Link && !f.Many && links < furthest:
		for i := range shape.Fields {
			target := &shape.Fields[i]
			if rest, ok := strings.CutPrefix(target.Path, f.Link+"."); ok && inList(shape, target.Path) == f.Link {
				addFact(tree, shape, target, append(append([]string(nil), path...), strings.Split(rest, ".")...), links+1)
			}
		}
	}
}

// inList returns the innermost list a path belongs to.
func inList(shape *fact.Shape, path string) string {
	best := ""
	for _, l := range shape.Lists {
		if strings.HasPrefix(path, l.Name+".") && len(l.Name) > len(best) {
			best = l.Name
		}
	}
	return best
}

func (n *factNode) write(b *strings.Builder, depth int) {
	for _, p := range n.parts {
		indent := strings.Repeat("\t", depth)
		label := p.name
		if strings.ContainsAny(label, "-") {
			label = `"` + label + `"`
		}
		if p.of != "" && len(p.parts) == 0 {
			b.WriteString(indent + label + ": " + p.of + "\n")
			continue
		}
		b.WriteString(indent + label + ": {\n")
		p.write(b, depth+1)
		b.WriteString(indent + "}\n")
	}
}
