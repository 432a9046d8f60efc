package limit

import (
	"fmt"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// Compiled is a limit made ready to judge. It is read-only after Compile and
// safe for concurrent use.
type Compiled struct {
	*Limit
	Source   *Source
	FullName string // "us/irc-2021#energy-per-unit"
	Of       quantity.Unit
	Way      fact.Way    // to the measure
	Scope    *fact.Scope // the limit is judged once for each entry of it
	From     fact.Day
	Until    fact.Day
	Selects  fact.Moment // the date From and Until are compared with

	within      predicate
	printed     *predicate
	printedUnit quantity.Unit
	when        []condition
	reach       *reach
	figures     *fact.Instance // of a limit of equipment data: what the datasheet states
}

// Compile resolves a limit of a rule set against the shape of a job.
func Compile(c *fact.Compiled, set *RuleSet, l *Limit) (*Compiled, error) {
	out := &Compiled{Limit: l, Source: &set.Source, figures: set.Figures, FullName: set.Source.Name + "#" + l.Name, From: fact.NoDay, Until: fact.NoDay}
	if err := out.compileMeasure(c, l); err != nil {
		return nil, err
	}
	when, err := compileConditions(c, l.When, nil)
	if err != nil {
		return nil, fmt.Errorf("when: %w", err)
	}
	out.when = when
	if err := out.findScope(c); err != nil {
		return nil, err
	}
	for i := range out.when {
		if out.when[i].list != nil {
			if err := out.when[i].findTie(out.Scope); err != nil {
				return nil, fmt.Errorf("when: %w", err)
			}
		}
	}
	if set.Product != "" {
		if out.reach, err = findReach(c, out.Scope, set.Product); err != nil {
			return nil, err
		}
	}
	if set.Figures != nil {
		out.within.readOwn(set.Figures, out.Along())
	}
	return out, out.compileDates(l)
}

func (l *Compiled) compileMeasure(c *fact.Compiled, def *Limit) error {
	w, err := c.Way(def.Measure)
	if err != nil {
		return fmt.Errorf("measure: %w", err)
	}
	if w.Leaf.Scope.List.IsElsewhere() && w.Start != w.Leaf.Scope {
		return fmt.Errorf("measure: %s does not stand in a job; a limit bounds a fact of the job", def.Measure)
	}
	if w.Leaf.Many && w.Leaf.Type == fact.Link {
		return fmt.Errorf("measure: %s names several entries; bound a fact of each of them", def.Measure)
	}
	l.Way = w
	if l.Of, err = unitFor(w.Leaf, def.Unit); err != nil {
		return err
	}
	if l.within, err = compilePredicate(c, def.Within, w.Leaf, l.Of); err != nil {
		return fmt.Errorf("within: %w", err)
	}
	if def.Printed == nil {
		return nil
	}
	if l.printedUnit, err = unitFor(w.Leaf, def.Printed.Unit); err != nil {
		return fmt.Errorf("printed: %w", err)
	}
	if l.printedUnit.System() == l.Of.System() {
		return fmt.Errorf("printed: %s and %s are of one system of units; a second value is for readings in the other", def.Unit, def.Printed.Unit)
	}
	p, err := compilePredicate(c, def.Printed.Within, w.Leaf, l.printedUnit)
	l.printed = &p
	return err
}

// unitFor reads the unit of a limit and holds it to the kind of the measure.
func unitFor(l *fact.Leaf, unit string) (quantity.Unit, error) {
	kind := l.Of.Kind()
	if l.Type != fact.Quantity && l.Type != fact.Count {
		if unit != "" {
			return quantity.Unit{}, fmt.Errorf("unit: %s is a %s and has no unit", l.Path, l.Type)
		}
		return quantity.Unit{}, nil
	}
	if unit == "" {
		return quantity.Unit{}, fmt.Errorf("unit: a limit on %s needs one, such as %q", l.Path, l.Unit)
	}
	if l.Type == fact.Count && (unit == l.Noun || unit == l.Of.Symbol()) {
		return l.Of, nil
	}
	u, ok := quantity.UnitOf(unit)
	switch {
	case !ok:
		return u, fmt.Errorf("unit: %q is no unit; %s is stated in %q", unit, l.Path, l.Unit)
	case u.OrderReversed():
		return u, fmt.Errorf("unit: %s cannot bound anything, since a larger number is a smaller conductor; use mm² or kcmil", unit)
	case u.Kind() != kind && !(kind == quantity.TemperatureDifference && u.Kind() == quantity.Temperature && unit == "K"):
		return u, fmt.Errorf("unit: %s is a unit of %s, but %s is a %s", unit, u.Kind(), l.Path, kind)
	}
	return u, nil
}

// findScope finds the narrowest list that the measure, its bounds or its
// conditions name; the others must contain it.
func (l *Compiled) findScope(c *fact.Compiled) error {
	ways := []*fact.Way{&l.Way}
	ways = l.within.ways(ways)
	if l.printed != nil {
		ways = l.printed.ways(ways)
	}
	for i := range l.when {
		if l.when[i].list == nil {
			ways = append(ways, &l.when[i].way)
			ways = l.when[i].is.ways(ways)
		}
	}
	l.Scope = c.Root
	for i, w := range ways {
		if calc := w.Leaf.Calculation; i > 0 && calc != nil && calc.Across {
			return fmt.Errorf("%s runs over all jobs of the premises and is known only after the last one; only the measure of a limit may be such a sum", w.Text)
		}
		switch {
		case w.Covers(l.Scope):
		case covers(l.Scope, w.Start):
			l.Scope = w.Start
		default:
			return fmt.Errorf("%s and %s are lists without a link between them here; name the fact along a link, or use some or every",
				l.Scope.List.Name, w.Start.List.Name)
		}
	}
	return nil
}

func covers(outer, inner *fact.Scope) bool {
	for ; inner != nil; inner = inner.Parent {
		if inner == outer {
			return true
		}
	}
	return false
}

func (l *Compiled) compileDates(def *Limit) error {
	for _, d := range []struct {
		text string
		to   *fact.Day
	}{{def.From, &l.From}, {def.Until, &l.Until}} {
		if d.text == "" {
			continue
		}
		day, ok := fact.ParseDay(d.text)
		if !ok {
			return fmt.Errorf("%q is no date", d.text)
		}
		*d.to = day
	}
	if l.From == fact.NoDay && l.Until == fact.NoDay {
		return nil
	}
	if l.From != fact.NoDay && l.Until != fact.NoDay && l.From > l.Until {
		return fmt.Errorf("it is in force from %s until %s, which is never", def.From, def.Until)
	}
	m, ok := fact.ParseMoment(l.Source.SelectedBy)
	if !ok {
		return fmt.Errorf("from and until need a source that says by selected_by which date of the job they go by")
	}
	l.Selects = m
	return nil
}

// Across tells whether the measure runs over all jobs of the premises, so that
// it can be judged only after the last job.
func (l *Compiled) Across() bool {
	return l.Way.Leaf.Calculation != nil && l.Way.Leaf.Calculation.Across
}

// Applies tells whether the limit applies to an entry, and what is not known.
func (l *Compiled) Applies(facts *fact.Facts, in *fact.Instance) (Truth, []fact.Lack) {
	when, lacks := all(l.when, facts, in)
	if when == No {
		return No, nil // a part known to be false beats one that is not known
	}
	if l.reach != nil {
		switch t, missing := l.reach.holds(in, l.Source.Name); t {
		case No:
			return No, nil
		case Unknown:
			when, lacks = Unknown, append(missing, lacks...)
		}
	}
	if l.Selects != fact.Never {
		day, ok := facts.Date(l.Selects)
		if !ok {
			return Unknown, append(lacks, fact.Lack{Of: facts.Root, Leaf: facts.Shape.Leaf("dates." + l.Selects.String())})
		}
		if l.From != fact.NoDay && day < l.From || l.Until != fact.NoDay && day > l.Until {
			return No, nil
		}
	}
	return when, lacks
}

// MayApply is Applies seen from an entry of another limit: what cannot be reached
// from there is not known.
func (l *Compiled) MayApply(facts *fact.Facts, in *fact.Instance) Truth {
	if !covers(l.Scope, in.Scope) {
		return Unknown
	}
	t, _ := l.Applies(facts, in)
	return t
}

// Judge compares a value with the limit, seen from an entry. The value may carry
// a band from the firm's policy. Second tells that the printed second value of
// the source decided.
func (l *Compiled) Judge(v *fact.Value, q quantity.Quantity, in *fact.Instance) (verdict Verdict, second bool) {
	if l.printed != nil && !q.IsCalculated() && q.Unit().System() == l.printedUnit.System() {
		return l.printed.evaluate(v, q, in), true
	}
	return l.within.evaluate(v, q, in), false
}

// Unit returns the unit that a value written like q is compared and its margin
// printed in.
func (l *Compiled) UnitFor(second bool) quantity.Unit {
	if second {
		return l.printedUnit
	}
	return l.Of
}
