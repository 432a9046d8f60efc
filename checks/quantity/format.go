package quantity

import (
	"math"
	"strconv"
	"strings"
)

// significantWhenCalculated is how many digits of a calculated value are shown.
const significantWhenCalculated = 6

// leastSignificant is how many digits of a converted value are shown even if
// its author wrote fewer: "3 ft" is 914 mm, not 900 mm.
const leastSignificant = 3

// Format gives number and unit in u, without the ± part. A written value in its
// own unit keeps the author's digits. A converted one is shown as finely as it
// was written, with at least three significant digits and no trailing zeros; a
// calculated one has at most six significant digits. Where u is of another
// kind, or is AWG and the area no AWG size, the value's own unit is used. The
// zero Quantity gives "".
func (q Quantity) Format(u Unit) string {
	if q.IsZero() {
		return ""
	}
	value := q.In(u)
	if math.IsNaN(value) {
		u, value = q.unit, q.In(q.unit)
	}
	switch {
	case u.OrderReversed():
		size, _ := sizeByNumber(Decimal{Coef: int64(value)})
		return withUnit(size.name, u)
	case q.IsCalculated():
		return withUnit(shortFloat(value), u)
	case u == q.unit:
		return withUnit(q.number.String(), u)
	}
	return withUnit(fixed(value, max(q.placesIn(u), placesFor(value, leastSignificant))), u)
}

// String gives the quantity in its own unit with its ± part, as Parse reads it.
func (q Quantity) String() string { return q.FormatBand(q.unit) }

// FormatBand is Format followed by the ± part, if there is one: "22 mm ± 1 mm".
// A relative band stays relative; in another unit than the value's own the band
// is converted too.
func (q Quantity) FormatBand(u Unit) string {
	text := q.Format(u)
	if !q.HasUncertainty() {
		return text
	}
	if math.IsNaN(q.In(u)) {
		u = q.unit
	}
	number, unit := q.uncertainty, q.uncertaintyUnit
	if q.flags&floatSpread == 0 && (q.flags&relative != 0 || u == q.unit) {
		if q.flags&relative != 0 && unit.printedWithoutUnit() {
			// 0.04 of the value can be read back only as a percentage.
			number.Exp += 2
			unit = table.percent
		}
		if u.printedWithoutUnit() && unit != u {
			text += " " + u.Symbol() // else the band's unit would be taken for both
		}
		return text + " ± " + withUnit(number.String(), unit)
	}
	unit = u.differenceUnit()
	return text + " ± " + withUnit(shortFloat(unit.row().fromBase(q.baseUncertainty)), unit)
}

// withUnit joins number and unit; count and ratio print as a bare number.
func withUnit(number string, u Unit) string {
	if u.printedWithoutUnit() {
		return number
	}
	return number + " " + u.Symbol()
}

// shortFloat prints a calculated number: at most six significant digits, no
// trailing zeros, an exponent only for the very large and very small.
func shortFloat(value float64) string {
	text := strconv.FormatFloat(value, 'e', significantWhenCalculated-1, 64)
	rounded, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return text // cannot happen for a finite value
	}
	if rounded == 0 {
		return "0"
	}
	if size := math.Abs(rounded); size >= 1e-6 && size < 1e15 {
		return strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	return strconv.FormatFloat(rounded, 'e', -1, 64)
}

// fixed prints a number to some decimals and drops trailing zeros.
func fixed(value float64, places int) string {
	if size := math.Abs(value); size >= 1e15 || size != 0 && size < 1e-9 {
		return shortFloat(value)
	}
	text := strconv.FormatFloat(value, 'f', places, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// placesFor gives the decimals at which a number shows some significant digits.
func placesFor(value float64, significant int) int {
	if value == 0 {
		return 0
	}
	return max(0, significant-1-int(math.Floor(math.Log10(math.Abs(value)))))
}

// calculatedPlaces gives the decimals shortFloat shows of a value.
func calculatedPlaces(value float64) int {
	text := shortFloat(value)
	number, err := ParseDecimal(text)
	if err != nil {
		return 0
	}
	return number.Places()
}

// plain prints a number without an exponent where that stays readable.
func plain(d Decimal) string {
	if d.Exp > 0 && d.Exp <= maxDigits {
		return strconv.FormatInt(d.Coef, 10) + strings.Repeat("0", int(d.Exp))
	}
	return d.String()
}
