package report

import (
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// calculateCaution closes what was calculated by hand.
const calculateCaution = "An aid to checking, no design: nothing was compared with a limit. Local code, the authority having jurisdiction and licensed practice decide."

// CalculatedText writes a measure that was calculated from values given by hand, as
// lint --calculations writes those of a job.
func CalculatedText(c *checks.Calculated, s Settings) []byte {
	t := &lines{paint: newPalette(s.Colour), path: s.pathOf()}
	t.own(t.paint.strong.on).from(label(c.Measure)).own(t.paint.strong.off, " (").from(c.Measure.Path).own(") is ").from(c.Measure.Format(c.Result.Quantity, c.Measure.Of)).end()
	t.byHand(c.Result.More.From)
	t.own(calculateCaution).end()
	return t.b
}

func (t *lines) byHand(w *fact.Working) {
	c := calculations{lines: t, name: "calculated", given: true, told: map[*fact.Working]bool{}}
	c.all(w)
}

// NotCalculatedText writes why a measure was not calculated: all mistakes, and all
// that it takes; or the reason, and what went in.
func NotCalculatedText(n *checks.NotCalculated, s Settings) []byte {
	t := &lines{paint: newPalette(s.Colour), path: s.pathOf()}
	t.own("witnessmark: ").from(label(n.Measure)).own(" (").from(n.Measure.Path).own(")")
	if len(n.Mistakes) == 0 && n.Reason != "" {
		t.own(" cannot be calculated: ").from(n.Reason).end()
		if n.Tried != nil {
			t.byHand(innermost(n.Tried))
		}
		return t.b
	}
	t.own(" was not calculated").end()
	for _, m := range n.Mistakes {
		t.item("mistake").from(m).end()
	}
	for _, m := range n.Missing {
		t.item("missing").from(m).end()
	}
	t.item("formula").from(n.Measure.Calculation.Formula).end()
	t.own("It takes:").end()
	t.takes(n)
	return t.b
}

// takes writes a table of all that goes into a measure.
func (t *lines) takes(n *checks.NotCalculated) {
	rows := make([][]string, len(n.Needs))
	for i := range n.Needs {
		d := &n.Needs[i]
		rows[i] = []string{Shown(strings.Join(d.Symbols, ", ")), Shown(d.Route), Shown(neededLabel(d)), Shown(neededUnit(d)), Shown(example(d)), Shown(strings.Join(neededNotes(d), "; "))}
	}
	t.table([]string{"symbol", "fact", "what it is", "unit", "write", "note"}, rows)
}

func neededLabel(d *checks.Needed) string {
	if d.Leaf == nil {
		return "number of " + d.Counted.List.Name
	}
	return label(d.Leaf)
}

// neededUnit is the unit of a value, or the words it can be.
func neededUnit(d *checks.Needed) string {
	switch {
	case d.Leaf == nil:
		return "a whole number"
	case d.Leaf.Type == fact.Word:
		return "one of: " + strings.Join(d.Leaf.Words, ", ")
	case d.Leaf.Type == fact.Truth:
		return "true or false"
	case d.Leaf.Type == fact.Quantity || d.Leaf.Type == fact.Count:
		return d.Leaf.UnitName(d.Leaf.Of)
	}
	return "a " + d.Leaf.Type.String()
}

// example is an argument that gives the value, as a shell takes it.
func example(d *checks.Needed) string {
	text := sampleOf(d)
	if strings.ContainsAny(text, " \t\"'\\$`&|;<>()*?[]{}~#!") {
		text = `"` + text + `"`
	}
	return d.Key + "=" + text
}

// sampleOf is a value as it could be given. A measure over entries is written like
// what it is taken over; what has no example of its own by what is usual.
func sampleOf(d *checks.Needed) string {
	l := d.Leaf
	for l != nil && l.Example == "" && len(l.Over()) == 1 {
		l = l.Over()[0]
	}
	switch {
	case l == nil:
		return "2"
	case l.Example != "":
		return l.Example
	case l.Type == fact.Count && l.Calculation != nil:
		return "2"
	case l.Type == fact.Quantity && l.Of.Kind() == quantity.Area:
		return "10 " + l.UnitName(l.Of)
	}
	return l.Sample()
}

func neededNotes(d *checks.Needed) []string {
	var notes []string
	if d.Level > 0 {
		notes = append(notes, "for "+d.Into.Path)
	}
	if d.Optional {
		notes = append(notes, "not always needed")
	}
	if d.Repeated && d.Leaf != nil {
		notes = append(notes, "once for each entry")
	}
	if d.Leaf != nil && d.Leaf.Calculation != nil {
		notes = append(notes, "or what it is calculated from")
	}
	return notes
}

// MeasuresText writes a list of what can be calculated, what limits bound before the
// helpers, which only go into others.
func MeasuresText(measures []*fact.Leaf, helpers map[*fact.Leaf]bool, s Settings) []byte {
	t := &lines{paint: newPalette(s.Colour), path: s.pathOf()}
	var rows, feeding [][]string
	for _, m := range measures {
		row := []string{string(AppendPath(nil, m.Path)), Shown(m.UnitName(m.Of)), Shown(label(m)), Shown(m.Calculation.Formula)}
		if helpers[m] {
			feeding = append(feeding, row)
		} else {
			rows = append(rows, row)
		}
	}
	if len(rows) > 0 {
		t.table([]string{"measure", "unit", "what it is", "formula"}, rows)
		t.end()
	}
	if len(feeding) > 0 {
		t.own("Helpers: no limit reads them; they go into other measures.").end()
		t.table([]string{"measure", "unit", "what it is", "formula"}, feeding)
		t.end()
	}
	t.own(plural(len(measures), "measure", "measures"), ".").end()
	return t.b
}
