package limit

import (
	"math"

	"witnessmark.example/checks/fact"
)

// Conflict is a pair of limits that can apply together and that no value
// satisfies: a mistake in the definitions, never the fault of a job.
type Conflict struct{ A, B *Compiled }

// FindConflicts looks for contradictory pairs. It decides only for constant
// bounds whose conditions can hold together; what depends on other facts is
// seen when a job is judged. Limits of different products never meet, and a
// limit never meets one that it replaces.
func FindConflicts(limits []*Compiled) []Conflict {
	byMeasure := map[*fact.Leaf][]*Compiled{}
	var order []*fact.Leaf
	for _, l := range limits {
		if byMeasure[l.Way.Leaf] == nil {
			order = append(order, l.Way.Leaf)
		}
		byMeasure[l.Way.Leaf] = append(byMeasure[l.Way.Leaf], l)
	}
	var out []Conflict
	for _, leaf := range order {
		group := byMeasure[leaf]
		for i, a := range group {
			for _, b := range group[i+1:] {
				if disjoint(&a.within, &b.within) && a.meets(b) { // the test that few pairs pass comes first
					out = append(out, Conflict{a, b})
				}
			}
		}
	}
	return out
}

// meets tells whether two limits on one measure can apply to the same value.
func (l *Compiled) meets(o *Compiled) bool {
	if replaces(l, o) || replaces(o, l) {
		return false
	}
	if l.reach != nil && o.reach != nil && l.Source.Name != o.Source.Name {
		return false
	}
	if l.neverWith(o) || o.neverWith(l) {
		return false
	}
	if l.Selects == o.Selects && (l.Until != fact.NoDay && o.From != fact.NoDay && l.Until < o.From ||
		o.Until != fact.NoDay && l.From != fact.NoDay && o.Until < l.From) {
		return false
	}
	for i := range l.when {
		for j := range o.when {
			a, b := &l.when[i], &o.when[j]
			if a.list == nil && b.list == nil && a.way.Text == b.way.Text && disjoint(&a.is, &b.is) {
				return false
			}
		}
	}
	return true
}

// neverWith tells whether what the datasheet of l states rules out that o applies
// to the same entry.
func (l *Compiled) neverWith(o *Compiled) bool {
	if l.figures == nil || l.reach == nil {
		return false
	}
	_, never := o.RuledOutBy(l.figures, l.Along())
	return never
}

func replaces(l, o *Compiled) bool {
	for _, r := range l.Replaces {
		if r == o.FullName {
			return true
		}
	}
	return false
}

// disjoint tells whether surely no value satisfies both predicates.
func disjoint(a, b *predicate) bool {
	switch {
	case a.refers() || b.refers():
		return false
	case a.what == fact.Quantity || a.what == fact.Count:
		return disjointNumbers(a, b)
	case a.leaf.Many:
		return impossible(a.leaf, []*predicate{a, b})
	}
	words := append(a.candidates(nil), b.candidates(nil)...)
	if len(words) == 0 {
		return false // patterns only: not decidable here
	}
	for _, w := range words {
		if a.acceptsWord(w) && b.acceptsWord(w) {
			return false
		}
	}
	// A value outside all words named may satisfy both, unless one of them
	// names every value it accepts.
	return a.closed() || b.closed()
}

type word struct {
	text  string
	truth bool
}

func (p *predicate) candidates(out []word) []word {
	if p.what == fact.Truth {
		return []word{{truth: true}, {truth: false}}
	}
	switch {
	case p.way != nil && p.stated != nil:
		for i := range p.stated.More.List {
			out = append(out, word{text: p.stated.More.List[i].Text})
		}
	case p.way == nil && (p.op == Equals || p.op == Differs):
		out = append(out, word{text: p.text})
	}
	for i := range p.args {
		out = p.args[i].candidates(out)
	}
	return out
}

func (p *predicate) acceptsWord(w word) bool {
	v := fact.Value{State: fact.Known, Text: w.text, Truth: w.truth}
	return p.evaluate(&v, v.Quantity, nil).Holds == Yes
}

// closed tells whether the predicate accepts only values that it names.
func (p *predicate) closed() bool {
	switch p.op {
	case All:
		for i := range p.args {
			if p.args[i].closed() {
				return true
			}
		}
		return false
	case Any:
		for i := range p.args {
			if !p.args[i].closed() {
				return false
			}
		}
		return true
	}
	return p.op == Equals && p.way == nil || p.what == fact.Truth
}

// disjointNumbers tries the points that can decide: every bound, the middle
// between neighbouring bounds, and beyond the outermost.
func disjointNumbers(a, b *predicate) bool {
	var points []float64
	for _, x := range append(a.bounds(nil), b.bounds(nil)...) {
		points = append(points, x.Number.Base())
	}
	tried := append([]float64(nil), points...)
	for _, x := range points {
		for _, y := range points {
			tried = append(tried, (x+y)/2)
		}
		reach := math.Max(1, math.Abs(x))
		tried = append(tried, x-reach, x+reach)
	}
	if a.what == fact.Count { // things are counted whole
		for i, x := range tried {
			tried[i] = math.Floor(x)
			tried = append(tried, math.Ceil(x))
		}
	}
	for _, x := range tried {
		if a.acceptsBase(x) && b.acceptsBase(x) {
			return false
		}
	}
	return true
}

func (p *predicate) refers() bool {
	if p.way != nil {
		return true
	}
	for i := range p.args {
		if p.args[i].refers() {
			return true
		}
	}
	return false
}

// acceptsBase judges a number in base units; within 1e-9 of a bound counts as at
// the bound, as for calculated values.
func (p *predicate) acceptsBase(x float64) bool {
	switch p.op {
	case All:
		for i := range p.args {
			if !p.args[i].acceptsBase(x) {
				return false
			}
		}
		return true
	case Any:
		for i := range p.args {
			if p.args[i].acceptsBase(x) {
				return true
			}
		}
		return false
	}
	b := p.bound.Base()
	c := 0
	if d := x - b; math.Abs(d) > 1e-9*math.Max(math.Abs(x), math.Abs(b)) {
		c = 1
		if d < 0 {
			c = -1
		}
	}
	return p.accepts(c)
}
