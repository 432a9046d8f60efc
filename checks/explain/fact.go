package explain

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// fact explains a field or a calculated measure.
func (b *Book) fact(l *fact.Leaf) *Explanation {
	at := l.At
	e := &Explanation{Kind: OfField, Name: l.Path, Label: label(l), What: l.Meaning, At: &at, Due: dueOf(l)}
	x := &Fact{Type: l.Type.String(), Written: b.written(l), Unit: l.UnitName(l.Of), Words: l.Words, Pattern: l.Pattern, Many: l.Many,
		List: l.Scope.List.Name, Names: l.Field.Link, Back: l.Field.Back, Least: l.Least, Private: l.Private, Unique: l.Unique}
	for _, m := range b.limits() {
		if m.Way.Leaf == l {
			x.BoundBy = append(x.BoundBy, m.FullName)
		}
		if b.looksAt(m, l) {
			x.ConditionOf = append(x.ConditionOf, m.FullName)
		}
	}
	x.UsedBy = b.usedBy(l)
	if l.ValidOn != nil {
		x.ValidOn = l.ValidOn.Path
	}
	if l.RulesOn != nil {
		x.RulesOn = l.RulesOn.Path
	}
	e.Fact, e.Why, e.Notes = x, b.why(l, x), b.notes(l)
	if l.Scope.List.IsRegister() {
		e.Why = "Kept once for the firm; where a job names the entry, what it was good for is held against the day and the use."
	}
	if l.Calculation != nil {
		e.Kind, e.Calculation = OfMeasure, b.calculation(l)
	}
	e.Examples = b.factExamples(l)
	return e
}

// why says what a fact is there for, as far as the definitions tell.
func (b *Book) why(l *fact.Leaf, x *Fact) string {
	var parts []string
	if n := len(x.BoundBy); n > 0 {
		parts = append(parts, fmt.Sprintf("%s it", counted(n, "limit bounds", "limits bound")))
	}
	if n := len(x.ConditionOf); n > 0 {
		parts = append(parts, fmt.Sprintf("%s whether or how far they apply from it", counted(n, "limit takes", "limits take")))
	}
	if n := len(x.UsedBy); n > 0 {
		parts = append(parts, fmt.Sprintf("%s calculated from it", counted(n, "measure is", "measures are")))
	}
	var said []string
	if len(parts) > 0 {
		said = append(said, sentence(strings.Join(parts, ", ")))
	}
	if said = append(said, b.looks(l)...); len(said) > 0 {
		return strings.Join(said, " ")
	}
	switch {
	case l.Calculation != nil:
		return "No limit in use looks at it; it is there for limits of a firm's own."
	case l.Scope.List.IsEquipment():
		return "No limit in use looks at it; it is what the datasheet states, there for limits that take a bound from it."
	case l.Type == fact.Key:
		return "What stands in the entry is called by it, in reports and by links."
	}
	return "No limit in use looks at it; it is recorded so that the job can be followed later."
}

// notes says what of a field would surprise.
func (b *Book) notes(l *fact.Leaf) []string {
	var out []string
	if l.Belongs {
		var others []string
		for _, other := range l.Scope.Leaves {
			if other.Belongs && other != l {
				others = append(others, other.Path)
			}
		}
		if len(others) > 0 {
			out = append(out, "It need not be written where "+strings.Join(others, " or ")+" says what the entry belongs to: one of them is enough.")
		}
	}
	if l.Gone != nil {
		out = append(out, "From the day in "+l.Gone.Path+" on it no longer counts as standing here, and may stand elsewhere.")
	}
	if l.Form != nil {
		out = append(out, "It must match the pattern in "+l.Field.Form+", where the datasheet states one.")
	}
	return out
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprint(n, " ", many)
}

// written says what is written, and where.
func (b *Book) written(l *fact.Leaf) string {
	if l.Calculation != nil {
		return "nowhere: it is calculated"
	}
	what := map[fact.Type]string{fact.Text: "free text", fact.Word: "one of its words", fact.Count: "a whole number without a unit, of " + l.Noun,
		fact.Quantity: "a number with its unit, in " + l.Unit + " or another unit of the kind", fact.Truth: "true or false",
		fact.Date: "a day, as year-month-day", fact.Key: "the key of its entry, which no other entry of the list has"}[l.Type]
	if l.Type == fact.Link {
		what = "the key of an entry of " + l.Field.Link
		if l.Target.List.IsEquipment() {
			what = "a product with the revision of its datasheet, as in morvane@B"
		}
	}
	if l.Many {
		what = "a list in brackets, each " + what
	}
	where := "at the top of the job file"
	switch {
	case l.Scope.List.IsEquipment():
		where = "in the equipment data of a product, not in a job file"
	case !inJob(l.Scope):
		where = "in the firm's own file of " + l.Scope.List.Name + ", not in a job file"
	case l.Scope.List.Name != "":
		where = "in each entry of " + l.Scope.List.Name
	}
	return what + ", " + where
}

// inJob tells whether entries of a list are written in job files.
func inJob(sc *fact.Scope) bool {
	for ; sc.Parent != nil; sc = sc.Parent {
	}
	return sc.List.Name == ""
}

// looksAt tells whether a limit takes its condition or a bound from a fact.
func (b *Book) looksAt(m *limit.Compiled, l *fact.Leaf) bool {
	is := func(path string) bool {
		w, err := b.Shape.Way(path)
		return err == nil && w.Leaf == l
	}
	var bound func(c limit.Constraint) bool
	bound = func(c limit.Constraint) bool {
		return c.Operand != nil && c.Operand.Fact != "" && is(c.Operand.Fact) || slices.ContainsFunc(c.Args, bound)
	}
	var asked func(c limit.Condition) bool
	asked = func(c limit.Condition) bool {
		return c.Fact != "" && is(c.Fact) || c.Is != nil && bound(*c.Is) || slices.ContainsFunc(c.Of, asked)
	}
	return slices.ContainsFunc(m.When, asked) || bound(m.Within) || m.Printed != nil && bound(m.Printed.Within)
}

// usedBy lists the measures that are calculated from a fact.
func (b *Book) usedBy(l *fact.Leaf) []string {
	var out []string
	for _, m := range b.Shape.Leaves {
		c := m.Calculation
		if c == nil {
			continue
		}
		uses := slices.ContainsFunc(c.Inputs, func(i fact.Input) bool { w, err := b.Shape.Way(i.Fact); return err == nil && w.Leaf == l }) ||
			slices.ContainsFunc(c.Terms(), func(t fact.Term) bool { return t.Fact == l.Path || t.Over == l.Path })
		if uses {
			out = append(out, m.Path)
		}
	}
	return out
}

// calculation explains how a measure comes about.
func (b *Book) calculation(l *fact.Leaf) *Calculation {
	c := l.Calculation
	out := &Calculation{Formula: c.Formula, Validity: c.Validity, Source: c.Source, Across: c.Across, Inputs: []Input{}}
	for _, i := range c.Inputs {
		one := Input{Symbol: i.Symbol, Fact: i.Fact}
		if w, err := b.Shape.Way(i.Fact); err == nil {
			one.Label, one.Unit = label(w.Leaf), w.Leaf.UnitName(w.Leaf.Of)
		}
		out.Inputs = append(out.Inputs, one)
	}
	for _, t := range c.Terms() {
		one := Input{Fact: t.Fact, Over: t.Over}
		if leaf := b.Shape.Leaf(t.Fact); leaf != nil {
			one.Label, one.Unit = label(leaf), leaf.UnitName(leaf.Of)
		} else if sc := b.Shape.Scope(t.Fact); sc != nil {
			one.Label = sc.List.Label.In("en")
		}
		out.Inputs = append(out.Inputs, one)
	}
	for _, t := range c.Where {
		out.Where = append(out.Where, Input{Fact: t.Fact, Words: t.Words})
	}
	return out
}

// list explains a list of a job, a kind of equipment, or a register.
func (b *Book) list(sc *fact.Scope) *Explanation {
	at := sc.List.At
	e := &Explanation{Kind: OfList, Name: sc.List.Name, Label: sc.List.Label.In("en"), What: sc.List.Meaning, At: &at}
	x := &List{Key: sc.List.Key, Parent: sc.List.Parent, Fields: []Input{}}
	for _, l := range sc.Leaves {
		x.Fields = append(x.Fields, Input{Fact: l.Path, Label: label(l), Unit: l.UnitName(l.Of)})
	}
	for _, c := range sc.Children {
		x.Lists = append(x.Lists, c.List.Name)
	}
	for _, m := range b.limits() {
		if m.Scope == sc && !m.Across() {
			x.BoundBy = append(x.BoundBy, m.FullName)
		}
	}
	e.List = x
	e.Due = &Due{At: sc.List.Due.At.String(), Days: sc.List.Due.Days, Text: "nothing demands an entry"}
	if g, ok := sc.List.Due.At.Gate(); ok {
		e.Due.Gate, e.Due.Text = g.String(), "there must be an entry: "+dueText(sc.List.Due)
	}
	switch {
	case sc.List.IsEquipment():
		e.Why, e.Due = "Facts of a product are taken from its datasheet, never written in a job.", nil
		if e.What == "" {
			e.What = "A kind of equipment data: what the datasheet of such a product states."
		}
	case !inJob(sc):
		e.Why = "Kept once for the firm and named by jobs, so that it is not written again in each of them."
	default:
		e.Why = "Each entry has a key, so that values have an address that stays: " + address(sc) + "."
	}
	e.Examples = b.listExamples(sc)
	return e
}

// address shows the address of a value in an entry.
func address(sc *fact.Scope) string {
	s := ""
	for up := sc; up.Parent != nil; up = up.Parent {
		name := strings.TrimPrefix(strings.TrimPrefix(up.List.Name, up.Parent.List.Name), ".")
		s = name + "[KEY]." + s
	}
	for _, l := range sc.Leaves {
		if l.Type != fact.Key && l.Calculation == nil {
			return s + l.Inside()
		}
	}
	return strings.TrimSuffix(s, ".")
}
