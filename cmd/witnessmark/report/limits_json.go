package report

import (
	"witnessmark.example/checks"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// LimitsJSON writes a selection of limits as a JSON array of objects, one limit on
// each line.
func LimitsJSON(sel *checks.Selection) []byte {
	b := []byte{'['}
	for i := range sel.Limits {
		b = appendListed(append(comma(b, i), '\n'), &sel.Limits[i])
	}
	if len(sel.Limits) > 0 {
		b = append(b, '\n')
	}
	return append(b, "]\n"...)
}

// appendListed writes one limit. Keys that say nothing of it are left out, but for
// lists and what is true or false.
func appendListed(b []byte, l *checks.Listed) []byte {
	leaf := l.Way.Leaf
	b = AppendJSON(append(b, `{"name":`...), l.FullName)
	b = appendText(b, "measure", l.Measure)
	if leaf.Path != l.Measure {
		b = appendText(b, "measure_of", leaf.Path)
	}
	b = appendText(b, "label", label(leaf))
	b = appendSome(b, "unit", leaf.UnitName(l.Of))
	b = appendText(b, "within", l.Describe(false))
	b = appendConstraint(appendKey(b, "constraint"), &l.Within)
	if l.Printed != nil {
		b = AppendJSON(append(b, `,"printed":{"within":`...), l.Describe(true))
		b = appendText(b, "unit", leaf.UnitName(l.UnitFor(true)))
		b = append(appendConstraint(appendKey(b, "constraint"), &l.Printed.Within), '}')
	}
	b = appendTexts(b, "when", l.Conditions())
	b = appendSome(b, "from", l.From.String())
	b = appendSome(b, "until", l.Until.String())
	b = appendTexts(b, "replaces", l.Replaces)
	b = appendSome(b, "hands_over_to", l.HandsOverTo)
	b = appendText(b, "scope", l.Judges())
	b = appendSome(b, "due", dueText(l.Due()))
	if on, ok := l.OnSite(); ok {
		b = appendSome(b, "due_on_site", dueText(on))
	}
	b = appendText(b, "clause", l.Clause)
	b = appendText(b, "grade", string(l.Grade))
	b = appendTruth(b, "blocking", l.Blocking)
	b = appendTruth(b, "promoted", len(l.PromotedBy) > 0)
	b = appendTexts(b, "promoted_by", l.PromotedBy)
	b = appendText(b, "reviewed", l.Reviewed)
	b = appendText(b, "review_by", l.ReviewBy)
	b = appendSome(b, "address", l.Address)
	b = appendText(b, "why", l.Why)
	b = appendSource(appendKey(b, "source"), l.Source)
	b = appendTruth(b, "ships", l.Ships)
	b = appendText(b, "file", l.At.File)
	return append(appendNumber(b, "line", l.At.Line), '}')
}

// appendSource writes a source as an object.
func appendSource(b []byte, s *limit.Source) []byte {
	b = AppendJSON(append(b, `{"name":`...), s.Name)
	b = appendText(b, "title", s.Title)
	b = appendText(b, "edition", s.Edition)
	b = appendText(b, "kind", string(s.Kind))
	b = appendText(b, "decision", string(s.Decision))
	b = appendText(b, "decided_by", s.DecidedBy)
	b = appendSome(b, "selected_by", s.SelectedBy)
	b = appendTruth(b, "always", s.Always)
	b = appendSome(b, "address", s.Address)
	b = appendText(b, "file", s.At.File)
	return append(appendNumber(b, "line", s.At.Line), '}')
}

// appendConstraint writes a constraint as a tree: all, any, some and every have "of",
// every other operator a number (in the limit's unit), a text, a truth or a fact.
func appendConstraint(b []byte, c *limit.Constraint) []byte {
	b = AppendJSON(append(b, `{"op":`...), string(c.Op))
	if len(c.Args) > 0 {
		b = append(appendKey(b, "of"), '[')
		for i := range c.Args {
			b = appendConstraint(comma(b, i), &c.Args[i])
		}
		return append(b, "]}"...)
	}
	switch o := c.Operand; {
	case o == nil:
	case o.Fact != "":
		b = appendText(b, "fact", o.Fact)
		b = appendFigure(b, "times", o.Times)
		b = appendFigure(b, "plus", o.Plus)
	case o.Truth != nil:
		b = appendTruth(b, "truth", *o.Truth)
	case o.Number != "":
		b = appendFigure(b, "number", o.Number)
	default:
		b = appendText(b, "text", o.Text)
	}
	return append(b, '}')
}

// appendFigure writes a number of a definition, nothing where there is none.
func appendFigure(b []byte, key, number string) []byte {
	if d, err := quantity.ParseDecimal(number); number != "" && err == nil {
		return append(appendKey(b, key), d.String()...)
	}
	return appendSome(b, key, number)
}

// appendSome writes a text unless it is empty.
func appendSome(b []byte, key, text string) []byte {
	if text == "" {
		return b
	}
	return appendText(b, key, text)
}

// appendTexts writes a list of texts, also an empty one.
func appendTexts(b []byte, key string, texts []string) []byte {
	b = append(appendKey(b, key), '[')
	for i, s := range texts {
		b = AppendJSON(comma(b, i), s)
	}
	return append(b, ']')
}
