package boundary

import (
	"fmt"
	"math"
	"math/big"

	"witnessmark.example/checks/quantity"
)

// Side says where a value lies beside a bound. The zero value is invalid.
type Side uint8

// The sides.
const (
	_ Side = iota
	Below
	At
	Above
)

// String gives the side in a word.
func (s Side) String() string { return [...]string{"invalid", "below", "at", "above"}[s] }

// written is one value as an installer would write it.
type written struct {
	text string
	unit quantity.Unit
	side Side
	base *big.Rat // exactly, in the base unit of its kind
}

// around gives the values beside and at a bound, in one unit. A bound that has
// no finite decimal in the unit gives the two sides only.
func around(bound *big.Rat, u quantity.Unit) ([]written, error) {
	switch {
	case u == quantity.Count.BaseUnit():
		return aroundCount(bound, u), nil
	case u.OrderReversed():
		return aroundSize(bound, u)
	}
	s, err := scaleOf(u)
	if err != nil {
		return nil, err
	}
	x := s.number(bound)
	step := stepFor(x, u)
	var out []written
	add := func(side Side, n *big.Rat) {
		if text, ok := decimalText(n); ok {
			out = append(out, written{text + " " + u.Symbol(), u, side, s.base(n)})
		}
	}
	steps := floor(new(big.Rat).Quo(x, step))
	low := new(big.Rat).Mul(steps, step)
	// Nearer than a tenth of a step could fall under the engine's rule for ties.
	if gap := new(big.Rat).Sub(x, low); gap.Cmp(new(big.Rat).Quo(step, big.NewRat(10, 1))) < 0 {
		low.Sub(low, step)
	}
	high := new(big.Rat).Mul(steps, step)
	high.Add(high, step)
	if gap := new(big.Rat).Sub(high, x); gap.Cmp(new(big.Rat).Quo(step, big.NewRat(10, 1))) < 0 {
		high.Add(high, step)
	}
	add(Below, low)
	add(At, x)
	add(Above, high)
	if len(out) < 2 {
		return nil, fmt.Errorf("no decimal beside %s in %s", x.FloatString(9), u)
	}
	return out, nil
}

// stepFor is what "just" means: one in the seventh significant digit. That is
// finer than anything read on site and a hundred times coarser than the
// engine's rule for ties (1e-9). Of temperatures it is at least 1e-5, because
// there the rule is relative to absolute zero.
func stepFor(x *big.Rat, u quantity.Unit) *big.Rat {
	size, _ := new(big.Rat).Abs(x).Float64()
	exponent := -6
	if size > 0 {
		exponent = int(math.Floor(math.Log10(size))) - 6
	}
	if u.Kind() == quantity.Temperature {
		exponent = max(exponent, -5)
	}
	return power(exponent)
}

// power gives 10^n.
func power(n int) *big.Rat {
	p := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n, -n))), nil))
	if n < 0 {
		p.Inv(p)
	}
	return p
}

func floor(x *big.Rat) *big.Rat {
	return new(big.Rat).SetInt(new(big.Int).Div(x.Num(), x.Denom())) // Euclidean: rounds down for a positive divisor
}

// aroundCount gives whole numbers: nothing lies between them, so that the sides
// are the neighbours. There is no count below 0.
func aroundCount(bound *big.Rat, u quantity.Unit) []written {
	var out []written
	low := floor(bound)
	for i := int64(-1); i <= 1; i++ {
		n := new(big.Rat).Add(low, big.NewRat(i, 1))
		side := Side(2 + n.Cmp(bound))
		if n.Sign() >= 0 {
			out = append(out, written{n.Num().String(), u, side, n})
		}
	}
	return out
}

// aroundSize gives the wire sizes next to an area. The areas are those of the
// engine's table, which has a test of its own against a printed one.
func aroundSize(bound *big.Rat, u quantity.Unit) ([]written, error) {
	mil, err := scaleOf(quantity.MustUnit("cmil"))
	if err != nil {
		return nil, err
	}
	var out []written
	var below *written
	for n := int64(40); n >= -3; n-- { // from thin to thick; 1/0 counts on as 0, 4/0 is -3
		q := quantity.New(quantity.Decimal{Coef: n}, u)
		if q.IsZero() {
			continue
		}
		approximate := new(big.Rat).SetFloat64(q.Base())
		mils := floor(new(big.Rat).Add(mil.number(approximate), big.NewRat(1, 2))) // the table is in whole circular mils
		w := written{q.String(), u, At, mil.base(mils)}
		w.side = Side(2 + w.base.Cmp(bound))
		switch w.side {
		case Below:
			below = &w
		case At:
			out = append(out, w)
		case Above:
			if below != nil {
				out = append(out, *below)
			}
			return append(out, w), nil
		}
	}
	if below != nil {
		out = append(out, *below)
	}
	return out, nil
}
