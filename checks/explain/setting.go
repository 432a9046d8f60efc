package explain

import (
	"slices"
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// setting is a scene around one value of a limit's measure: what its bounds are
// taken from, and what its conditions ask for.
type setting struct {
	*scene
	limit   *limit.Compiled
	measure place
	given   []string // facts that bounds are taken from, with their values
	where   []string // conditions that the job file alone does not meet, as sentences
}

// place is one value of one entry.
type place struct {
	at   spot
	leaf *fact.Leaf
}

// around makes a job in which the limit applies to the value. Conditions on what
// is calculated or stands in a datasheet are noted instead. Ok is false where the
// measure stands in no job.
func (b *Book) around(l *limit.Compiled, value string) (s *setting, ok bool) {
	s = &setting{scene: b.scene(), limit: l}
	from := s.fresh(l.Scope)
	if l.Way.Leaf.Type == fact.Key && l.Scope == l.Way.Leaf.Scope {
		s = &setting{scene: b.scene(), limit: l}
		from = s.named(l.Scope, value)
	}
	at, leaf, ok := s.find(from, l.Measure)
	if !ok || at.elsewhere() || leaf.Calculation != nil {
		return nil, false
	}
	s.measure = place{at, leaf}
	if leaf.Type != fact.Key {
		s.write(at, leaf, value)
	}
	if l.Selects != fact.Never {
		if date := b.Shape.Leaf("dates." + l.Selects.String()); date != nil {
			s.write(spot{scope: b.Shape.Root}, date, max(l.From, l.Until).String())
		}
	}
	s.bounds(from, l.Within)
	s.conditions(from, l.When)
	s.product(from)
	return s, true
}

// product names the product whose datasheet states the limit.
func (s *setting) product(from spot) {
	hops := s.book.reach(s.limit)
	for i, h := range hops {
		at, ok := s.up(from, h.link.Scope)
		if !ok {
			return
		}
		if i == len(hops)-1 {
			s.link(at, h.link, spot{h.link.Target, strings.TrimPrefix(s.limit.Source.Name, equipment)})
			return
		}
		from = s.linked(at, h.link)
	}
}

// bounds gives the facts that bounds are taken from their values.
func (s *setting) bounds(from spot, c limit.Constraint) {
	for _, a := range c.Args {
		s.bounds(from, a)
	}
	if c.Operand == nil || c.Operand.Fact == "" {
		return
	}
	at, leaf, ok := s.find(from, c.Operand.Fact)
	if !ok {
		return
	}
	s.given = append(s.given, c.Operand.Fact+" "+s.book.decimals(leaf, sample(leaf)))
	if leaf.Calculation == nil {
		s.write(at, leaf, sample(leaf))
	}
}

// conditions makes entries what a `when` asks for.
func (s *setting) conditions(from spot, all []limit.Condition) {
	for i, c := range all {
		switch {
		case c.Quantifier == "some":
			s.conditions(s.tied(from, c.List), c.Of)
		case c.Quantifier != "":
			s.every(from, c)
		case c.Is != nil && !s.meet(from, c.Fact, *c.Is):
			for _, one := range s.book.conditions(all[i : i+1]) {
				s.where = append(s.where, one.Text)
			}
		}
	}
}

// every makes the entries that there are meet what is asked of every one.
func (s *setting) every(from spot, c limit.Condition) {
	list := s.book.Shape.Scope(c.List)
	for _, key := range slices.Clone(s.keys[list]) {
		s.conditions(spot{list, key}, c.Of)
	}
}

// tied is an entry of a list that belongs to another entry: itself, one that it
// stands in, one that a link ties to it, else a new one.
func (s *setting) tied(from spot, name string) spot {
	list := s.book.Shape.Scope(name)
	if p, ok := s.up(from, list); ok {
		return p
	}
	for _, l := range from.scope.Leaves {
		if l.Type == fact.Link && l.Target == list {
			return s.linked(from, l)
		}
	}
	p := s.fresh(list)
	for _, l := range list.Leaves {
		if l.Type == fact.Link && l.Target == from.scope {
			s.link(p, l, from)
			return p
		}
	}
	return p
}

// meet gives one fact a value that a condition accepts; false where no value
// written in the job does it.
func (s *setting) meet(from spot, path string, is limit.Constraint) bool {
	at, leaf, ok := s.find(from, path)
	switch {
	case !ok:
		return false
	case place{at, leaf} == s.measure:
		return true // the value itself was chosen so
	case leaf.Type == fact.Key:
		return acceptsText(is, at.key)
	case leaf.Calculation != nil && leaf.Calculation.Count != nil:
		return s.enough(at, leaf, is)
	case leaf.Calculation != nil || at.elsewhere() || leaf.Type == fact.Link || leaf.Type == fact.Date:
		return false
	}
	candidates, accepts := s.book.candidates(leaf, leaf.Of, is)
	if text, have := s.set[at][leaf]; have {
		return accepts(text)
	}
	for _, text := range candidates {
		if accepts(text) {
			s.write(at, leaf, text)
			return true
		}
	}
	return false
}

// enough adds entries until as many are counted as a condition asks for.
func (s *setting) enough(at spot, leaf *fact.Leaf, is limit.Constraint) bool {
	count := leaf.Calculation.Count
	over := s.book.Shape.Leaf(count.Over)
	if over == nil || over.Target != at.scope || len(leaf.Calculation.Where) > 0 {
		return false
	}
	const most = 5
	for n := range most {
		counted := 0
		for _, key := range s.keys[over.Scope] {
			if s.to[spot{over.Scope, key}][over] == at {
				counted++
			}
		}
		if s.book.accepts(is, leaf.Of, float64(counted)) {
			return true
		}
		if n < most-1 {
			s.link(s.fresh(over.Scope), over, at)
		}
	}
	return false
}

// candidates gives values to try for a fact that a constraint is about, and what
// tells whether one is accepted.
func (b *Book) candidates(leaf *fact.Leaf, u quantity.Unit, is limit.Constraint) ([]string, func(string) bool) {
	if leaf.Type != fact.Quantity && leaf.Type != fact.Count {
		is = b.withSamples(is, leaf)
		if leaf.Many {
			return listsToTry(leaf, is), func(text string) bool { return acceptsList(is, wordsIn(leaf, text)) }
		}
		return wordsToTry(leaf, is), func(text string) bool { return acceptsText(is, text) }
	}
	all, _ := b.numbersToTry(leaf, u, is)
	return all, func(text string) bool {
		x, ok := numberIn(leaf, u, text)
		return ok && b.accepts(is, u, x)
	}
}

// numberIn reads a value as it is written, in a unit.
func numberIn(leaf *fact.Leaf, u quantity.Unit, text string) (float64, bool) {
	if leaf.Type == fact.Count {
		x, err := strconv.ParseFloat(text, 64)
		return x, err == nil
	}
	q, err := quantity.Parse(text, leaf.Of, quantity.Options{})
	return q.In(u), err == nil
}
