package explain

import (
	"math"
	"regexp"
	"slices"
	"strconv"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// values finds a value within a limit and one outside, as written in its unit;
// empty where none was found. The values are those a person would choose: the
// middle of a range, or a little beside a bound, never a hair. What the limit's
// conditions ask of the value itself is kept to by both.
func (b *Book) values(l *limit.Compiled) (within, outside string) {
	leaf := l.Way.Leaf
	tried, accepts := b.candidates(leaf, l.Of, l.Within)
	judged := func(string) bool { return true }
	for _, c := range l.When {
		if c.Fact == l.Measure && c.Is != nil {
			more, meets := b.candidates(leaf, leaf.Of, *c.Is)
			before := judged
			tried, judged = append(tried, more...), func(text string) bool { return before(text) && meets(text) }
		}
	}
	for _, text := range tried {
		ok := accepts(text)
		if ok && within == "" && judged(text) {
			within = text
		}
		if !ok && outside == "" && judged(text) {
			outside = text
		}
	}
	return within, outside
}

// numbersToTry gives numbers beside the bounds of a constraint, with the unit.
// Known is false where a bound is taken from a fact of which there is no example.
func (b *Book) numbersToTry(leaf *fact.Leaf, unit quantity.Unit, c limit.Constraint) (out []string, known bool) {
	bounds, known := b.bounds(c, unit, nil)
	if !known || len(bounds) == 0 {
		return nil, false
	}
	low, high := slices.Min(bounds), slices.Max(bounds)
	tried := make([]float64, 0, 1+3*len(bounds))
	try := func(x, step float64) {
		p := max(0, -int(math.Floor(math.Log10(step))))
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'f', p, 64), 64)
		if rounded < 0 && low >= 0 {
			return // a length, a count or a share is not negative
		}
		tried = append(tried, rounded)
	}
	if low < high {
		try((low+high)/2, stepBeside((low+high)/2, leaf))
	}
	for _, x := range bounds {
		step := stepBeside(x, leaf)
		try(x-step, step)
		try(x+step, step)
	}
	for _, x := range bounds {
		try(x, stepBeside(x, leaf)/10)
	}
	for _, x := range tried {
		text := strconv.FormatFloat(x, 'f', -1, 64)
		if leaf.Type != fact.Count {
			text += " " + unit.Symbol()
		}
		out = append(out, text)
	}
	return out, true
}

// stepBeside is what "a little" is: a tenth of the size of the first digit.
func stepBeside(x float64, l *fact.Leaf) float64 {
	if l.Type == fact.Count || x == 0 {
		return 1
	}
	return math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-1)
}

// bounds lists the numbers of a constraint in a unit. Known is false where a
// bound is taken from a fact of which there is no example.
func (b *Book) bounds(c limit.Constraint, u quantity.Unit, out []float64) (all []float64, known bool) {
	for _, a := range c.Args {
		if out, known = b.bounds(a, u, out); !known {
			return out, false
		}
	}
	if c.Operand == nil {
		return out, true
	}
	x, ok := b.bound(c.Operand, u)
	return append(out, x), ok
}

func (b *Book) bound(o *limit.Operand, u quantity.Unit) (float64, bool) {
	if o.Fact == "" {
		n, err := quantity.ParseDecimal(o.Number)
		return n.Float64(), err == nil
	}
	w, err := b.Shape.Way(o.Fact)
	if err != nil {
		return 0, false
	}
	x, err := strconv.ParseFloat(sample(w.Leaf), 64)
	if w.Leaf.Type == fact.Quantity {
		var q quantity.Quantity
		q, err = quantity.Parse(sample(w.Leaf), w.Leaf.Of, quantity.Options{})
		x = q.In(u)
	}
	for _, part := range []struct {
		text string
		to   func(n float64)
	}{{o.Times, func(n float64) { x *= n }}, {o.Plus, func(n float64) { x += n }}} {
		if n, bad := quantity.ParseDecimal(part.text); part.text != "" && bad == nil {
			part.to(n.Float64())
		}
	}
	return x, err == nil
}

// accepts tells whether a number is within a constraint.
func (b *Book) accepts(c limit.Constraint, u quantity.Unit, x float64) bool {
	one := func(a limit.Constraint) bool { return b.accepts(a, u, x) }
	switch c.Op {
	case limit.All:
		return !slices.ContainsFunc(c.Args, func(a limit.Constraint) bool { return !one(a) })
	case limit.Any:
		return slices.ContainsFunc(c.Args, one)
	}
	bound, _ := b.bound(c.Operand, u)
	equal := math.Abs(x-bound) <= 1e-9*math.Max(math.Abs(x), math.Abs(bound))
	switch c.Op {
	case limit.Less:
		return x < bound && !equal
	case limit.AtMost:
		return x < bound || equal
	case limit.Greater:
		return x > bound && !equal
	case limit.AtLeast:
		return x > bound || equal
	case limit.Equals:
		return equal
	}
	return !equal
}

// wordsToTry gives the words a field may have; of free text, those that the
// constraint names and a few others.
func wordsToTry(leaf *fact.Leaf, c limit.Constraint) []string {
	switch {
	case leaf.Type == fact.Truth:
		return []string{"true", "false"}
	case len(leaf.Words) > 0:
		return leaf.Words
	case leaf.Type == fact.Link && leaf.Target.List.IsEquipment():
		return append(texts(c, []string{sample(leaf)}), "other@A")
	}
	return append(texts(c, []string{sample(leaf)}), "1", "0", "A", "a", "none", "other")
}

func texts(c limit.Constraint, out []string) []string {
	for _, a := range c.Args {
		out = texts(a, out)
	}
	if c.Operand != nil && (c.Op == limit.Equals || c.Op == limit.Differs) && c.Operand.Text != "" {
		out = append(out, c.Operand.Text)
	}
	return out
}

func acceptsText(c limit.Constraint, text string) bool {
	one := func(a limit.Constraint) bool { return acceptsText(a, text) }
	switch c.Op {
	case limit.All:
		return !slices.ContainsFunc(c.Args, func(a limit.Constraint) bool { return !one(a) })
	case limit.Any:
		return slices.ContainsFunc(c.Args, one)
	}
	named := c.Operand.Text
	if c.Operand.Truth != nil {
		named = strconv.FormatBool(*c.Operand.Truth)
	}
	switch c.Op {
	case limit.Matches, limit.DoesNotMatch:
		re, err := regexp.Compile(named)
		return err == nil && re.MatchString(text) == (c.Op == limit.Matches)
	case limit.Differs:
		return text != named
	}
	return text == named
}
