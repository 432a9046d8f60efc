package quantity

import (
	"math"
	"math/big"
	"strconv"
)

// Quantity is a value with its unit and, where stated, its uncertainty. The
// zero value is no quantity. It is a small value without pointers; copy it
// freely. Use Compare rather than == : "1 m" and "100 cm" differ under ==.
type Quantity struct {
	number          Decimal
	uncertainty     Decimal
	base            float64
	baseUncertainty float64
	unit            Unit
	uncertaintyUnit Unit
	kind            Kind
	flags           uint8
}

const (
	calculated  uint8 = 1 << iota // base comes from a calculation; number is unused
	uncertain                     // uncertainty is stated, perhaps as 0
	relative                      // uncertainty is a ratio of the value
	floatSpread                   // the band was itself calculated; uncertainty is unused
)

// New makes the quantity "number u". It is the zero Quantity when there is no
// unit, or when no such wire size exists. Unlike Parse it does not refuse a
// temperature below 0 K.
func New(number Decimal, u Unit) Quantity {
	if u.IsZero() {
		return Quantity{}
	}
	q := Quantity{number: number, unit: u, kind: u.Kind()}
	if u.OrderReversed() {
		size, ok := sizeByNumber(number)
		if !ok {
			return Quantity{}
		}
		q.base = size.area()
		return q
	}
	r := u.row()
	q.base = r.toBase(number.Float64() + r.offset)
	return q
}

// Calculated makes a quantity from a calculation: base is in the base unit of
// u's kind (Kind.BaseUnit), and it is printed in u. It refuses NaN, infinities,
// temperatures below 0 K, and a unit that is none or that no result can be
// given in (AWG). Errors are of type *Error.
func Calculated(base float64, u Unit) (Quantity, error) {
	refuse := func(p Problem, detail string) (Quantity, error) {
		return Quantity{}, &Error{Text: strconv.FormatFloat(base, 'g', -1, 64), Problem: p, Detail: detail}
	}
	switch {
	case u.IsZero():
		return refuse(MissingUnit, "was calculated without a unit")
	case u.OrderReversed():
		return refuse(NoSuchSize, "is an area that was calculated; it has no AWG size")
	case math.IsNaN(base) || math.IsInf(base, 0):
		return refuse(NotFinite, "was calculated where a finite number belongs")
	case u.Kind() == Temperature && base < 0:
		return refuse(BelowAbsoluteZero, "K was calculated, which is below absolute zero")
	}
	return Quantity{base: base, unit: u, kind: u.Kind(), flags: calculated}, nil
}

// IsZero tells whether there is no quantity.
func (q Quantity) IsZero() bool { return q.unit.id == 0 }

// Kind tells what the quantity is of.
func (q Quantity) Kind() Kind { return q.kind }

// Unit gives the unit it is written in, or for a calculated one printed in.
func (q Quantity) Unit() Unit { return q.unit }

// Number gives the author's number in Unit. It is 0 for a calculated quantity.
// AWG sizes from 1/0 count on as 0, -1, -2, -3.
func (q Quantity) Number() Decimal { return q.number }

// Uncertainty gives the ± part as stated, its unit, and whether it is a ratio
// of the value. It is zero without one. On a temperature the unit is that of a
// difference, even if written °C.
func (q Quantity) Uncertainty() (number Decimal, u Unit, isRelative bool) {
	return q.uncertainty, q.uncertaintyUnit, q.flags&relative != 0
}

// Base gives the value in the base unit of its kind.
func (q Quantity) Base() float64 { return q.base }

// BaseUncertainty gives half the width of the band in the base unit, never
// below 0; 0 without an uncertainty.
func (q Quantity) BaseUncertainty() float64 { return q.baseUncertainty }

// HasUncertainty tells whether a ± part was stated or given by policy.
func (q Quantity) HasUncertainty() bool { return q.flags&uncertain != 0 }

// IsCalculated tells whether the value came from a calculation.
func (q Quantity) IsCalculated() bool { return q.flags&calculated != 0 }

// In gives the value in u. It is NaN when u is of another kind, and for AWG
// unless the area is that of a size in the table.
func (q Quantity) In(u Unit) float64 {
	switch {
	case q.IsZero() || u.Kind() != q.kind:
		return math.NaN()
	case u == q.unit && !q.IsCalculated():
		return q.number.Float64()
	case u.OrderReversed():
		for _, size := range wireSizes {
			if near(q.base, size.area(), size.area()) {
				return float64(size.number)
			}
		}
		return math.NaN()
	}
	r := u.row()
	value := r.fromBase(q.base) - r.offset
	if r.offset != 0 {
		// Taking the offset off leaves noise where the value is near 0.
		value = math.Round(value*1e9) / 1e9
	}
	return value
}

// FitsAsUncertainty tells whether a band in this unit can be given to a value
// of the kind: a ratio, or the kind itself, or for a temperature a difference.
func (k Kind) FitsAsUncertainty(band Unit) bool {
	if band.IsZero() || band.OrderReversed() {
		return false
	}
	switch band.Kind() {
	case Ratio:
		return k == Ratio || k.relativeBandMakesSense()
	case Temperature:
		return false
	case TemperatureDifference:
		return k == Temperature || k == TemperatureDifference
	}
	return band.Kind() == k
}

// WithSpread returns the quantity with a calculated uncertainty of half the width
// given in base units; a temperature has one in kelvin. Zero gives it none, and a
// wire size, which has none, stays as it is. A spread that is no number is an error.
func (q Quantity) WithSpread(base float64) (Quantity, error) {
	if base == 0 || q.unit.OrderReversed() {
		return q, nil
	}
	unit := q.unit
	if q.kind == Temperature {
		unit = TemperatureDifference.BaseUnit()
	}
	band, err := Calculated(base, unit)
	if err != nil {
		return q, err
	}
	return q.WithUncertainty(band), nil
}

// WithUncertainty gives the value the band ± band, as a policy does for a bare
// reading: "4 %" of the value, or "0.3 N·m". On a ratio "4 %" is four percent
// points. A band already there is replaced; the sign of band is ignored. The
// result is the zero Quantity when FitsAsUncertainty is false; check the
// policy's units with it when loading.
func (q Quantity) WithUncertainty(band Quantity) Quantity {
	if q.IsZero() || q.unit.OrderReversed() || !q.kind.FitsAsUncertainty(band.unit) {
		return Quantity{}
	}
	number := band.number
	number.Coef = max(number.Coef, -number.Coef)
	q.setUncertainty(number, band.unit)
	if band.IsCalculated() {
		q.flags |= floatSpread
		q.baseUncertainty = math.Abs(band.base)
		if q.flags&relative != 0 {
			q.baseUncertainty = math.Abs(q.base) * math.Abs(band.base)
		}
	}
	return q
}

// setUncertainty sets the ± part; u is known to fit.
func (q *Quantity) setUncertainty(number Decimal, u Unit) {
	q.uncertainty, q.uncertaintyUnit = number, u
	q.flags = q.flags&^(relative|floatSpread) | uncertain
	q.baseUncertainty = u.row().toBase(number.Float64()) // an offset plays no part in a difference
	if u.Kind() == Ratio && q.kind != Ratio {
		q.flags |= relative
		q.baseUncertainty *= math.Abs(q.base)
	}
}

// exact gives the written value in the base unit, exactly.
func (q Quantity) exact() *big.Rat {
	if q.unit.OrderReversed() {
		size, _ := sizeByNumber(q.number)
		return size.exactArea()
	}
	r := q.unit.row()
	value := q.number.Rat()
	if r.exactOffset != nil {
		value.Add(value, r.exactOffset)
	}
	return value.Mul(value, r.exact)
}

// exactUncertainty gives half the width of the band in the base unit, exactly.
func (q Quantity) exactUncertainty() *big.Rat {
	half := q.uncertainty.Rat()
	half.Mul(half, q.uncertaintyUnit.row().exact)
	if q.flags&relative != 0 {
		value := q.exact()
		half.Mul(half, value.Abs(value))
	}
	return half
}
