package quantity

import (
	"math"
	"math/big"
)

// Margin says by how much a value is inside or outside a bound: the difference
// of the two, in u, to the decimals of the finer of the two, as text with its
// unit and as a number. It is rounded towards the bound (down) when within and
// away from it (up) when outside, so a margin is never better than it is. An
// outside margin is never 0: it is at least one in the last decimal, also
// where the value lies on a bound that must not be reached. Bands play no part.
//
// A calculated value counts as having the decimals of its six leading digits,
// and differences below 1e-9 of the values are not told apart. For a
// temperature the margin is a difference, in K or Δ°F; for AWG it is in mm².
// Without a value, a bound, or a unit of their kind the text is empty.
func Margin(value, bound Quantity, u Unit, within bool) (string, Decimal) {
	amount, unit := MarginNumber(value, bound, u, within)
	if unit.IsZero() {
		return "", Decimal{}
	}
	return withUnit(plain(amount), unit), amount
}

// MarginNumber is Margin without its text: the number and the unit it is in.
// The unit is zero where there is no margin.
func MarginNumber(value, bound Quantity, u Unit, within bool) (Decimal, Unit) {
	if value.IsZero() || bound.IsZero() || value.kind != bound.kind || u.Kind() != value.kind {
		return Decimal{}, Unit{}
	}
	if value.unit == u && bound.unit == u && !value.IsCalculated() && !bound.IsCalculated() && !u.OrderReversed() {
		if amount, ok := sameUnitMargin(value.number, bound.number, within); ok {
			return amount, u.differenceUnit()
		}
	}
	if u.OrderReversed() {
		u = table.squareMillimetre
	}
	unit := u.differenceUnit()
	places := max(value.placesIn(unit), bound.placesIn(unit))
	if value.IsCalculated() || bound.IsCalculated() {
		return floatMargin(value.base, bound.base, unit.row().factor, places, within), unit
	}
	return exactMargin(value, bound, unit.row().exact, places, within), unit
}

// sameUnitMargin is the usual case, two numbers written in the unit of the
// limit: their difference is exact in whole numbers, so that nothing is rounded.
// ok is false where the digits do not fit.
func sameUnitMargin(value, bound Decimal, within bool) (amount Decimal, ok bool) {
	exp := min(value.Exp, bound.Exp, 0)
	v, fits := value.withExp(exp)
	w, alsoFits := bound.withExp(exp)
	const most = maxCoef / 4 // so that the difference cannot overflow
	if !fits || !alsoFits || max(v, w) > most || min(v, w) < -most {
		return Decimal{}, false
	}
	steps := max(v-w, w-v)
	if !within {
		steps = max(steps, 1)
	}
	return Decimal{Coef: steps, Exp: exp}, true
}

// exactMargin works out the margin between two written values.
func exactMargin(value, bound Quantity, factor *big.Rat, places int, within bool) Decimal {
	difference := value.exact()
	difference.Sub(difference, bound.exact())
	difference.Abs(difference)
	difference.Quo(difference, factor)
	for ; ; places-- {
		scaled := new(big.Rat).Mul(difference, Decimal{Coef: 1, Exp: int32(places)}.Rat())
		whole, rest := new(big.Int).QuoRem(scaled.Num(), scaled.Denom(), new(big.Int))
		if !within && (rest.Sign() != 0 || whole.Sign() == 0) {
			whole.Add(whole, big.NewInt(1))
		}
		if whole.IsInt64() && whole.Int64() <= maxCoef {
			return Decimal{Coef: whole.Int64(), Exp: int32(-places)}
		}
	}
}

// floatMargin works out the margin where a calculation is involved.
func floatMargin(value, bound, factor float64, places int, within bool) Decimal {
	difference := math.Abs(value - bound)
	noise := agreement * max(math.Abs(value), math.Abs(bound))
	for !within && difference > noise && places < 12 && difference < factor*math.Pow10(-places) {
		places++ // a calculated value just outside shows by how little, not a whole step of its rounding
	}
	for ; ; places-- {
		step := factor * math.Pow10(-places)
		steps := difference / step
		// A hair beside a whole step is taken for the step.
		if whole := math.Round(steps); math.Abs(steps-whole)*step <= noise && noise < step/2 {
			steps = whole
		}
		if within {
			steps = math.Floor(steps)
		} else {
			steps = max(1, math.Ceil(steps))
		}
		if steps <= 1e15 {
			return Decimal{Coef: int64(steps), Exp: int32(-places)}
		}
	}
}

// placesIn gives the decimals that show the value in u as finely as its author
// wrote it: for its own unit the author's, for another the fewest that are as
// fine or finer.
func (q Quantity) placesIn(u Unit) int {
	if q.IsCalculated() {
		if q.kind == Temperature {
			return calculatedPlaces(q.In(q.unit))
		}
		return calculatedPlaces(u.row().fromBase(q.base))
	}
	if q.unit.OrderReversed() {
		return 2 // mm², as tables of wire sizes print it
	}
	if q.unit.row().factor == u.row().factor {
		return q.number.Places()
	}
	resolution := q.unit.row().factor / u.row().factor * math.Pow10(-q.number.Places())
	// The hair keeps 0.001 from counting as coarser than 10^-3.
	return min(maxExponent, max(0, int(math.Ceil(-math.Log10(resolution)-agreement))))
}
