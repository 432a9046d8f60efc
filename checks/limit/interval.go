package limit

import (
	"math"

	"witnessmark.example/checks/fact"
)

// Interval returns the range of values, in base units, that the limit allows for
// an entry, with bounds taken from facts filled in. ok is false where the limit is
// no single range, or a fact is not known. An end that is not reached counts as
// reached: contradictions are told apart only where ranges do not even touch.
func (l *Compiled) Interval(in *fact.Instance) (low, high float64, ok bool) {
	return l.within.interval(in)
}

// IntervalFor is Interval of the main value, or of the second one that the source
// prints, to which a value written in that system of units is held.
func (l *Compiled) IntervalFor(second bool, in *fact.Instance) (low, high float64, ok bool) {
	if second && l.printed != nil {
		return l.printed.interval(in)
	}
	return l.within.interval(in)
}

// Refers tells whether a bound is taken from a fact, so that contradictions with
// other limits show only job by job.
func (l *Compiled) Refers() bool { return l.within.refers() }

func (p *predicate) interval(in *fact.Instance) (low, high float64, ok bool) {
	low, high = math.Inf(-1), math.Inf(1)
	if p.op == All {
		for i := range p.args {
			a, b, ok := p.args[i].interval(in)
			if !ok {
				return low, high, false
			}
			low, high = max(low, a), min(high, b)
		}
		return low, high, true
	}
	if p.what != fact.Quantity && p.what != fact.Count || p.op == Any || p.op == Differs {
		return low, high, false
	}
	bound, _, _, lacks := p.boundFor(in)
	if lacks != nil {
		return low, high, false
	}
	switch p.op {
	case Less, AtMost:
		high = bound.Base()
	case Greater, AtLeast:
		low = bound.Base()
	case Equals:
		low, high = bound.Base(), bound.Base()
	}
	return low, high, true
}
