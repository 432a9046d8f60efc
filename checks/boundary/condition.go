package boundary

import (
	"fmt"
	"math/big"
	"regexp"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// meet makes an entry meet the conditions of a `when`. Conditions on the measure
// itself are left to the value: they decide whether it is judged at all.
func (w *world) meet(e *entry, conditions []limit.Condition, measure place) error {
	for _, group := range byFact(conditions) {
		at, l, err := w.resolve(e, group.Fact)
		if err != nil {
			return err
		}
		if (place{at, l}) == measure {
			continue
		}
		if err := w.meetOne(e, at, l, *group.Is); err != nil {
			return fmt.Errorf("condition on %s: %w", group.Fact, err)
		}
	}
	return nil
}

// place is one value of one entry.
type place struct {
	entry *entry
	leaf  *fact.Leaf
}

// byFact joins the conditions on one fact, in the order of their first.
func byFact(conditions []limit.Condition) []limit.Condition {
	var out []limit.Condition
	at := map[string]int{}
	for _, c := range conditions {
		if c.Quantifier != "" {
			continue
		}
		if i, ok := at[c.Fact]; ok {
			out[i].Is = &limit.Constraint{Op: limit.All, Args: []limit.Constraint{*out[i].Is, *c.Is}}
			continue
		}
		at[c.Fact] = len(out)
		out = append(out, c)
	}
	return out
}

// meetOne gives one fact a value that the constraint accepts.
func (w *world) meetOne(e, at *entry, l *fact.Leaf, is limit.Constraint) error {
	old, have := at.text[l]
	switch l.Type {
	case fact.Quantity, fact.Count:
		return w.meetNumber(e, at, l, is)
	case fact.Link, fact.Date:
		return fmt.Errorf("no case can be made for a condition on a %s", l.Type)
	}
	words := []string{old}
	if !have {
		words = candidates(l, is)
	}
	if l.Many {
		return meetWords(at, l, is, words)
	}
	for _, word := range words {
		if acceptsWord(is, word) {
			return w.set(at, l, word)
		}
	}
	return fmt.Errorf("none of %q meets %s", words, is)
}

// meetWords gives a list of words one that the constraint accepts, or else those
// that it names.
func meetWords(at *entry, l *fact.Leaf, is limit.Constraint, words []string) error {
	var tried [][]string
	for _, word := range words {
		tried = append(tried, []string{word})
	}
	tried = append(tried, named(is, nil))
	for _, list := range tried {
		if acceptsWords(is, list) {
			at.many[l] = list
			return nil
		}
	}
	return fmt.Errorf("none of %q meets %s", words, is)
}

// acceptsWords tells whether a constraint accepts a list of words. Without brackets
// one of the words is enough.
func acceptsWords(c limit.Constraint, words []string) bool {
	within := func(a limit.Constraint) bool { return acceptsWords(a, words) }
	switch {
	case c.Op == limit.Every:
		return !slices.ContainsFunc(words, func(w string) bool { return !acceptsWord(c.Args[0], w) })
	case c.Op == limit.Some:
		return slices.ContainsFunc(words, func(w string) bool { return acceptsWord(c.Args[0], w) })
	case c.Op == limit.All && c.Brackets():
		return !slices.ContainsFunc(c.Args, func(a limit.Constraint) bool { return !within(a) })
	case c.Op == limit.Any && c.Brackets():
		return slices.ContainsFunc(c.Args, within)
	}
	return slices.ContainsFunc(words, func(w string) bool { return acceptsWord(c, w) })
}

// candidates lists the words to try for a fact that is no number.
func candidates(l *fact.Leaf, is limit.Constraint) []string {
	switch {
	case l.Type == fact.Truth:
		return []string{"true", "false"}
	case l.Type == fact.Word:
		return l.Words
	}
	return append(named(is, nil), l.Example, "x")
}

// named lists the words that a constraint names.
func named(c limit.Constraint, out []string) []string {
	if c.Operand != nil && c.Op == limit.Equals && c.Operand.Fact == "" {
		out = append(out, c.Operand.Text)
	}
	for _, a := range c.Args {
		out = named(a, out)
	}
	return out
}

// acceptsWord tells whether a constraint accepts a word, or true or false. One that
// takes its words from a fact is not met: what that lists is not known here.
func acceptsWord(c limit.Constraint, word string) bool {
	switch c.Op {
	case limit.All:
		for _, a := range c.Args {
			if !acceptsWord(a, word) {
				return false
			}
		}
		return true
	case limit.Any:
		for _, a := range c.Args {
			if acceptsWord(a, word) {
				return true
			}
		}
		return false
	case limit.Matches, limit.DoesNotMatch:
		re, err := regexp.Compile(c.Operand.Text)
		return err == nil && re.MatchString(word) == (c.Op == limit.Matches)
	}
	if c.Operand.Fact != "" {
		return false
	}
	want := c.Operand.Text
	if c.Operand.Truth != nil {
		want = fmt.Sprint(*c.Operand.Truth)
	}
	return (word == want) == (c.Op == limit.Equals)
}

// meetNumber gives a number that the constraint accepts, away from its bounds
// where there is room.
func (w *world) meetNumber(e, at *entry, l *fact.Leaf, is limit.Constraint) error {
	r, err := numbers(is, l.Of, func(path string) (*big.Rat, error) { return w.refer(e, path) })
	if err != nil {
		return err
	}
	s, err := scaleOf(l.Of)
	if err != nil {
		return err
	}
	if old, ok := at.text[l]; ok {
		x, err := exactBase(l, old)
		if err == nil && !r.accepts(x) {
			err = fmt.Errorf("the job has %s already", old)
		}
		return err
	}
	for _, base := range between(r.bounds(nil), s) {
		n := s.number(base)
		if l.Type == fact.Count {
			n = floor(n)
			base = s.base(n)
		}
		text, ok := decimalText(n)
		if !ok || n.Sign() < 0 && l.Of.Kind() != quantity.Temperature || !r.accepts(base) {
			continue
		}
		if l.Type != fact.Count {
			text += " " + l.Of.Symbol()
		}
		before := len(w.undo)
		if err = w.remember(at, l, written{text: text, unit: l.Of, side: At, base: base}); err == nil {
			return nil
		}
		w.takeBack(before)
	}
	if err != nil {
		return err
	}
	return fmt.Errorf("no number was found that meets %s", is)
}

// between lists numbers to try: the middles between bounds, beyond each by half
// its size and by one unit, the bounds themselves, and zero, in base units.
func between(bounds []*big.Rat, s scale) []*big.Rat {
	half := big.NewRat(1, 2)
	var middles, beyond []*big.Rat
	for i, b := range bounds {
		for _, c := range bounds[i+1:] {
			m := new(big.Rat).Add(b, c)
			middles = append(middles, m.Mul(m, half))
		}
		n := s.number(b)
		reach := new(big.Rat).Abs(new(big.Rat).Mul(n, half))
		for _, by := range []*big.Rat{reach, big.NewRat(1, 1)} {
			beyond = append(beyond, s.base(new(big.Rat).Sub(n, by)), s.base(new(big.Rat).Add(n, by)))
		}
	}
	return append(append(append(middles, beyond...), bounds...), s.base(new(big.Rat)))
}

// refer gives the value of a fact that a bound is taken from, and sets it where
// the job does not have it.
func (w *world) refer(e *entry, path string) (*big.Rat, error) {
	at, l, err := w.resolve(e, path)
	if err != nil {
		return nil, err
	}
	text, ok := at.text[l]
	if w.asItComes && (!ok || l.Calculation != nil) {
		return w.asFound(at, l)
	}
	if !ok {
		text = l.Example
		switch {
		case l.Type == fact.Count:
			text = "4"
		case text == "" || strings.ContainsAny(text, "±/"):
			text = "40 " + l.Unit
		}
		x, err := exactBase(l, text)
		if err != nil {
			return nil, err
		}
		if err := w.remember(at, l, written{text: text, unit: l.Of, side: At, base: x}); err != nil {
			return nil, err
		}
	}
	return exactBase(l, text)
}

// remember gives a fact a value. Of a calculated one the value is kept too, for
// the next look; it is never written.
func (w *world) remember(e *entry, l *fact.Leaf, v written) error {
	_, err := w.give(e, l, v)
	e.text[l] = v.text
	return err
}
