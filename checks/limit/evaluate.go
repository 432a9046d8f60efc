package limit

import (
	"math"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// Verdict is what a predicate says of one value.
type Verdict struct {
	Holds  Truth
	Guard  Truth             // holds for the whole uncertainty of the value too
	Signed float64           // distance to the deciding bound in base units, negative outside
	Bound  quantity.Quantity // the deciding bound; zero where there is no number
	From   *fact.Value       // the fact that the deciding bound is taken from, a number or a list of words; nil for one of the limit's own
	At     fact.Lack         // whose fact that is, and which; empty with From
	Lacks  []fact.Lack       // what is not known of a bound taken from a fact
}

// evaluate judges a value, seen from the entry the limit is judged for.
func (p *predicate) evaluate(v *fact.Value, q quantity.Quantity, in *fact.Instance) Verdict {
	switch p.op {
	case All:
		return p.combine(v, q, in, false)
	case Any:
		return p.combine(v, q, in, true)
	case Some, Every:
		return p.ofWords(v, in)
	}
	switch p.what {
	case fact.Quantity, fact.Count:
		return p.compare(q, in)
	case fact.Truth:
		return plain((v.Truth == p.truth) == (p.op == Equals))
	}
	if p.way != nil {
		return p.among(v, in)
	}
	switch p.op {
	case Matches, DoesNotMatch:
		return plain(p.re.MatchString(v.Text) == (p.op == Matches))
	default:
		return plain((v.Text == p.text) == (p.op == Equals))
	}
}

func plain(holds bool) Verdict {
	t := truth(holds)
	signed := math.Inf(1)
	if !holds {
		signed = math.Inf(-1)
	}
	return Verdict{Holds: t, Guard: t, Signed: signed}
}

func truth(b bool) Truth {
	if b {
		return Yes
	}
	return No
}

// combine judges all or any of the parts. A part known to decide beats one that
// is not known. The part with the least room (for any: the most) carries the
// margin.
func (p *predicate) combine(v *fact.Value, q quantity.Quantity, in *fact.Instance, anyOf bool) Verdict {
	decisive, rest := No, Yes
	if anyOf {
		decisive, rest = Yes, No
	}
	out := Verdict{Holds: rest, Guard: rest}
	have := false
	for i := range p.args {
		one := p.args[i].evaluate(v, q, in)
		out.Holds = join(out.Holds, one.Holds, decisive)
		out.Guard = join(out.Guard, one.Guard, decisive)
		out.Lacks = append(out.Lacks, one.Lacks...)
		if one.Holds == Unknown {
			continue
		}
		if !have || (one.Signed < out.Signed) != anyOf && one.Signed != out.Signed {
			out.Signed, out.Bound, out.From, out.At = one.Signed, one.Bound, one.From, one.At
		}
		have = true
	}
	if out.Holds != Unknown {
		out.Lacks = nil
	}
	return out
}

// join combines two values of which one, the decisive, beats everything.
func join(a, b, decisive Truth) Truth {
	switch {
	case a == decisive || b == decisive:
		return decisive
	case a == Unknown || b == Unknown:
		return Unknown
	}
	return a
}

func (p *predicate) compare(q quantity.Quantity, in *fact.Instance) Verdict {
	bound, from, at, lack := p.boundFor(in)
	if lack != nil {
		return Verdict{Lacks: lack}
	}
	c := quantity.Compare(q, bound)
	out := Verdict{Holds: truth(p.accepts(c)), Bound: bound, From: from, At: at}
	distance := math.Abs(bound.Base() - q.Base())
	if c == 0 {
		distance = 0
	}
	out.Signed = distance
	if out.Holds == No {
		out.Signed = -distance
	}
	out.Guard = out.Holds
	if bound.HasUncertainty() {
		q = widened(q, bound)
	}
	if out.Holds == Yes && q.HasUncertainty() {
		out.Guard = truth(p.accepts(quantity.CompareUpper(q, bound)) && p.accepts(quantity.CompareLower(q, bound)))
		if p.op == Differs && quantity.CompareUpper(q, bound) != quantity.CompareLower(q, bound) {
			out.Guard = No
		}
	}
	return out
}

// widened gives a value the uncertainty of the bound on top of its own: the two may
// lie towards each other as far as both together.
func widened(q, bound quantity.Quantity) quantity.Quantity {
	return withBand(q, q.BaseUncertainty()+bound.BaseUncertainty())
}

// withBand gives a quantity an uncertainty in base units, or leaves it without
// where that is no number.
func withBand(q quantity.Quantity, base float64) quantity.Quantity {
	banded, err := q.WithSpread(base)
	if err != nil {
		return q
	}
	return banded
}

// accepts tells whether a value that compares like this (−1, 0, 1) is within.
func (p *predicate) accepts(c int) bool {
	switch p.op {
	case Less:
		return c < 0
	case AtMost:
		return c <= 0
	case Greater:
		return c > 0
	case AtLeast:
		return c >= 0
	case Equals:
		return c == 0
	}
	return c != 0
}

// boundFor returns the number to compare with: a constant, or k·fact + c with the
// value of that fact, and whose fact it is.
func (p *predicate) boundFor(in *fact.Instance) (bound quantity.Quantity, from *fact.Value, at fact.Lack, lacks []fact.Lack) {
	if p.way == nil {
		return p.bound, nil, at, nil
	}
	v, of, leaf, broken := p.way.Value(in)
	if v == nil || broken || v.State != fact.Known {
		return quantity.Quantity{}, nil, at, fact.LacksOf(v, of, leaf)
	}
	if p.times.Coef == 1 && p.times.Exp == 0 && p.plus.Coef == 0 {
		return v.Quantity, v, fact.Lack{Of: of, Leaf: leaf}, nil
	}
	b, err := quantity.CalculatedIn(v.Quantity.In(p.unit)*p.times.Float64()+p.plus.Float64(), p.unit)
	if err != nil {
		return quantity.Quantity{}, nil, at, []fact.Lack{{Of: of, Leaf: leaf}}
	}
	if v.Quantity.HasUncertainty() {
		b = withBand(b, math.Abs(p.times.Float64())*v.Quantity.BaseUncertainty())
	}
	return b, v, fact.Lack{Of: of, Leaf: leaf}, nil
}
