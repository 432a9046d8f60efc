package quantity

import (
	"math"
	"math/big"
	"strconv"
)

// leastBeside and mostBeside are how many significant digits of a calculated value
// are shown beside a bound: as few as tell the two apart.
const (
	leastBeside = 4
	mostBeside  = 15
)

// mostAstray is how far the difference of what is shown may lie from the true one,
// as a share of it.
const mostAstray = 0.05

// Beside writes a value and the bound it is held to in u, as a reader compares
// them, and the difference of what is written. Calculated numbers have four
// significant digits (whole ones keep all digits before the point), and more where
// the two would else look equal though they are not, or in the wrong order. Written
// ones are given as Format gives them. The difference is empty where Margin has to
// say it: where nothing was calculated, both are equal, or u is no plain unit (a
// temperature, a wire size).
func Beside(value, bound Quantity, u Unit) (valueText, boundText, difference string) {
	comparable := !value.IsZero() && !bound.IsZero() && value.kind == bound.kind && u.Kind() == value.kind && !u.OrderReversed()
	if !comparable || !value.IsCalculated() && !bound.IsCalculated() {
		return value.Format(u), bound.Format(u), ""
	}
	order := Compare(value, bound)
	for digits := leastBeside; digits <= mostBeside; digits++ {
		v, fits := value.shownIn(u, digits)
		w, alsoFits := bound.shownIn(u, digits)
		if !fits || !alsoFits {
			break
		}
		room := new(big.Rat).Sub(v.Rat(), w.Rat())
		if room.Sign() != order || order != 0 && !tells(room, value.In(u)-bound.In(u)) {
			continue
		}
		valueText, boundText = withUnit(plain(v), u), withUnit(plain(w), u)
		if order != 0 && u == u.differenceUnit() {
			places := max(v.Places(), w.Places())
			amount, _ := ParseDecimal(room.Abs(room).FloatString(places))
			difference = withUnit(plain(amount), u)
		}
		return valueText, boundText, difference
	}
	return value.Format(u), bound.Format(u), ""
}

// tells tells whether the difference of what is shown is about the true one.
func tells(shown *big.Rat, difference float64) bool {
	number, _ := shown.Float64()
	return math.Abs(number-difference) <= mostAstray*math.Abs(difference)
}

// shownIn is the number in u as it is shown with some significant digits.
func (q Quantity) shownIn(u Unit, digits int) (Decimal, bool) {
	text := strconv.FormatFloat(q.In(u), 'f', -1, 64)
	switch {
	case !q.IsCalculated() && u == q.unit:
		return q.number, true
	case !q.IsCalculated(): // converted
		text = fixed(q.In(u), max(q.placesIn(u), placesFor(q.In(u), max(leastSignificant, digits-1))))
	case math.Abs(q.In(u)) < 1e15:
		text = fixed(q.In(u), placesFor(q.In(u), digits))
	}
	d, err := ParseDecimal(text)
	return d, err == nil
}
