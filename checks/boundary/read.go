package boundary

import (
	"fmt"
	"math/big"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// exactBase reads a written number exactly.
func exactBase(l *fact.Leaf, text string) (*big.Rat, error) {
	q, err := quantity.Parse(text, l.Of, quantity.Options{})
	if err != nil {
		return nil, err
	}
	if q.Unit().OrderReversed() {
		return exactOf(q)
	}
	s, err := scaleOf(q.Unit())
	if err != nil {
		return nil, fmt.Errorf("%s: %s cannot be read exactly here", l.Path, text)
	}
	return s.base(q.Number().Rat()), nil
}

// exactOf reads the result of a calculation as the number that was meant: of 12
// digits, in its own unit, so that the noise of floats is left out. An area that
// is a whole number of circular mils is a wire size.
func exactOf(q quantity.Quantity) (*big.Rat, error) {
	base := new(big.Rat).SetFloat64(q.Base())
	if base == nil {
		return nil, fmt.Errorf("%s is no number", q)
	}
	if q.Kind() == quantity.Area {
		mil, err := scaleOf(quantity.MustUnit("cmil"))
		if err != nil {
			return nil, err
		}
		if mils := mil.base(nearest(mil.number(base))); same(mils, base) || q.Unit().OrderReversed() {
			return mils, nil
		}
	}
	s, err := scaleOf(q.Unit())
	if err != nil {
		return nil, err
	}
	n := s.number(base)
	if n.Sign() == 0 {
		return base, nil
	}
	step := stepFor(n, q.Unit()) // the seventh digit, of temperatures no finer than 1e-5
	step.Mul(step, power(-5))
	n = nearest(n.Quo(n, step))
	return s.base(n.Mul(n, step)), nil
}

// nearest rounds to a whole number.
func nearest(x *big.Rat) *big.Rat { return floor(new(big.Rat).Add(x, big.NewRat(1, 2))) }

// same tells whether two numbers agree but for the noise of floats.
func same(a, b *big.Rat) bool { return apart(a, b) <= closeEnough }

// apart is how far two numbers lie apart, relative to the larger.
func apart(a, b *big.Rat) float64 {
	x, _ := a.Float64()
	y, _ := b.Float64()
	d, _ := new(big.Rat).Sub(a, b).Float64()
	if d == 0 {
		return 0
	}
	return max(d, -d) / max(x, -x, y, -y)
}

// asFound finds a value and reads it.
func (w *world) asFound(e *entry, l *fact.Leaf) (*big.Rat, error) {
	if err := w.find(e, l); err != nil {
		return nil, err
	}
	return w.asItIs(e, l)
}

// asItIs reads a value that is known.
func (w *world) asItIs(e *entry, l *fact.Leaf) (*big.Rat, error) {
	if l.Calculation == nil && e.text[l] != "" {
		return exactBase(l, e.text[l])
	}
	a, err := w.evaluate(e, l)
	if err != nil {
		return nil, err
	}
	return exactOf(a.Quantity)
}
