package explain

import (
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// The languages of examples.
const (
	inYAML = "yaml"
	inCUE  = "cue"
)

// fieldExample shows how a field of a job is written with a value.
func (b *Book) fieldExample(title string, l *fact.Leaf, value string) Example {
	if l == nil {
		return Example{Title: title, Value: value}
	}
	f := b.fragment()
	f.put(l, value, false)
	return Example{Title: title, Value: b.decimals(l, value), Text: f.String(), Language: inYAML}
}

// factExamples shows how a field is written: as a plan, and as it is read on
// site. Of a calculated measure it shows what is written for it.
func (b *Book) factExamples(l *fact.Leaf) []Example {
	value := sample(l)
	switch {
	case l.Calculation != nil:
		f := b.fragment()
		b.putInputs(f, l, map[*fact.Leaf]bool{})
		return []Example{{Title: "what it is calculated from", Text: f.String(), Language: inYAML}}
	case !inJob(l.Scope):
		return []Example{{Title: "written", Value: value, Text: cueLine(l, value), Language: inCUE, Note: definedIn(l.Scope)}}
	case l.Planned < 0:
		return []Example{b.fieldExample("written", l, value)}
	}
	f := b.fragment()
	f.put(l, value, true)
	return []Example{b.fieldExample("planned", l, planOf(value)), {Title: "read on site", Value: b.decimals(l, value), Text: f.String(), Language: inYAML}}
}

// putInputs writes everything that a measure is calculated from.
func (b *Book) putInputs(f *fragment, l *fact.Leaf, seen map[*fact.Leaf]bool) {
	if l == nil || seen[l] {
		return
	}
	seen[l] = true
	c := l.Calculation
	switch {
	case c == nil && inJob(l.Scope):
		f.put(l, sample(l), false)
	case c == nil:
		for _, p := range b.Shape.ProductLeaves() {
			if p.Target == l.Scope {
				f.put(p, sample(p), false)
				break
			}
		}
	default:
		for _, i := range c.Inputs {
			if w, err := b.Shape.Way(i.Fact); err == nil {
				b.putInputs(f, w.Leaf, seen)
			}
		}
		terms := c.Terms()
		for _, t := range terms {
			b.putInputs(f, b.Shape.Leaf(t.Over), seen)
			b.putInputs(f, b.Shape.Leaf(t.Fact), seen)
			if sc := b.Shape.Scope(t.Fact); sc != nil && t.Fact != "" {
				f.entry(sc, keyOf(sc))
			}
		}
	}
}

// cueLine writes a figure of a product or a register as in its CUE file.
func cueLine(l *fact.Leaf, value string) string {
	if l.Type != fact.Count && l.Type != fact.Truth {
		value = `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value) + `"`
	}
	if l.Many {
		value = "[" + value + "]"
	}
	return strings.ReplaceAll(l.Inside(), ".", ": ") + ": " + value + "\n"
}

// definedIn says in which definition of a firm the fields of a list stand.
func definedIn(sc *fact.Scope) string {
	if sc.List.IsEquipment() {
		return "in the equipment data of a product, inside #products: NAME: REVISION"
	}
	return "in the firm's registers, inside an entry of #" + strings.TrimPrefix(sc.List.Name, "register.")
}

// listExamples shows an entry of a list with what is due of it.
func (b *Book) listExamples(sc *fact.Scope) []Example {
	var leaves []*fact.Leaf
	for _, l := range sc.Leaves {
		if l.Calculation == nil && (l.Due.At != fact.Never || l.Type == fact.Key) {
			leaves = append(leaves, l)
		}
	}
	if !inJob(sc) {
		text := ""
		for _, l := range sc.Leaves {
			if l.Calculation == nil {
				text += cueLine(l, sample(l))
			}
		}
		return []Example{{Title: "what can be stated", Text: text, Language: inCUE, Note: definedIn(sc)}}
	}
	f := b.fragment()
	for _, l := range leaves {
		value := sample(l)
		if l.Type == fact.Key {
			value = keyOf(sc)
		}
		f.put(l, value, false)
	}
	return []Example{{Title: "an entry with what falls due", Text: f.String(), Language: inYAML}}
}

// limitExamples shows one value within a limit and one outside, each with what the
// limit asks for to apply: what of it stands in a job file.
func (b *Book) limitExamples(l *limit.Compiled) []Example {
	within, outside := b.values(l)
	if b.movesWithItself(l) {
		within, outside = "", "" // no other number is known to be outside
	}
	var out []Example
	for _, one := range []struct{ title, value string }{{"within", within}, {"outside", outside}} {
		if one.value == "" {
			continue
		}
		leaf := l.Way.Leaf
		shown := one.value
		if leaf.Type == fact.Count {
			shown = fact.CountOf(one.value, leaf.Noun)
		}
		e := Example{Title: one.title, Value: b.decimals(leaf, shown)}
		switch {
		case leaf.Calculation != nil:
			e.Note = "calculated, so not written; see what " + leaf.Path + " is calculated from"
		case inJob(leaf.Scope):
			if s, ok := b.around(l, one.value); ok {
				e.Text, e.Language, e.Note = s.String(), inYAML, s.note()
			}
		}
		out = append(out, e)
	}
	return out
}

// MovesWithItself is the note of a limit of which no example can be shown.
const MovesWithItself = "The bound is calculated from the value itself, so that it moves with it: no single value is shown as within or outside."

// movesWithItself tells whether the bound of a limit is calculated from the value
// that it bounds: the next standard rating above a rating.
func (b *Book) movesWithItself(l *limit.Compiled) bool {
	var from func(leaf *fact.Leaf, depth int) bool
	from = func(leaf *fact.Leaf, depth int) bool {
		if leaf == nil || leaf.Calculation == nil || depth == 0 {
			return false
		}
		for _, in := range leaf.Calculation.Inputs {
			if in.Fact == l.Way.Leaf.Path || from(b.Shape.Leaf(in.Fact), depth-1) {
				return true
			}
		}
		return false
	}
	for _, w := range l.Reads()[1:] {
		if from(w.Leaf, 10) {
			return true
		}
	}
	return false
}

// note says what is given beside the value, and what else must be so for the
// value to come out as it is said to.
func (s *setting) note() string {
	var parts []string
	if len(s.given) > 0 {
		parts = append(parts, "with "+strings.Join(s.given, ", "))
	}
	if len(s.where) > 0 {
		parts = append(parts, "where "+strings.Join(s.where, ", and "))
	}
	return strings.Join(parts, ", ")
}
