package quantity

import (
	"math"
	"math/big"
)

// agreement is how close two floats are, relative to the larger, when they are
// no longer trusted to tell which value is the larger. Floats here are good to
// a few parts in 1e16, so the gap is wide.
const agreement = 1e-9

// edge says which end of a band is meant.
type edge int

const (
	lowerEdge edge = -1
	centre    edge = 0
	upperEdge edge = +1
)

// leastTemperatureScale keeps floats in K from being trusted near absolute
// zero, where taking off an offset leaves only noise.
const leastTemperatureScale = 1.0

// Compare tells whether a is below (-1), equal to (0) or above (+1) b. Bands
// play no part. Two written values are told apart exactly; if either is
// calculated, values within 1e-9 of each other are equal. Quantities of
// different kinds come in the order of their kinds, no quantity first: that is
// an order, not a judgement, so callers see to it that kinds agree.
func Compare(a, b Quantity) int { return compare(&a, centre, &b) }

// CompareUpper compares a plus its uncertainty with b; otherwise as Compare. A
// band that just touches b is equal to it.
func CompareUpper(a, b Quantity) int { return compare(&a, upperEdge, &b) }

// CompareLower compares a minus its uncertainty with b; otherwise as Compare.
func CompareLower(a, b Quantity) int { return compare(&a, lowerEdge, &b) }

// compare takes pointers only to spare copies; it keeps neither.
func compare(a *Quantity, end edge, b *Quantity) int {
	if a.kind != b.kind {
		return sign(int64(a.kind), int64(b.kind))
	}
	left := a.base
	scale := math.Abs(a.base)
	if end != centre {
		left += float64(end) * a.baseUncertainty
		scale += a.baseUncertainty // taking one from the other must not shrink the scale
	}
	if scale < math.Abs(b.base) {
		scale = math.Abs(b.base)
	}
	if a.kind == Temperature && scale < leastTemperatureScale {
		scale = leastTemperatureScale
	}
	if difference := left - b.base; difference > agreement*scale {
		return 1
	} else if difference < -agreement*scale {
		return -1
	}
	return compareClose(a, end, b)
}

// near tells whether two base values count as the same on a scale.
func near(a, b, scale float64) bool { return math.Abs(a-b) <= agreement*math.Abs(scale) }

// compareClose decides where floats cannot.
func compareClose(a *Quantity, end edge, b *Quantity) int {
	if (a.flags|b.flags)&calculated != 0 || end != centre && a.flags&floatSpread != 0 {
		return 0
	}
	if !a.HasUncertainty() {
		end = centre
	}
	if a.unit == b.unit && (end == centre || a.uncertainty.Coef == 0) {
		return a.number.Cmp(b.number)
	}
	return a.exactEdge(end).Cmp(b.exact())
}

// exactEdge gives one end of the band of a written value, exactly, in the base unit.
func (q Quantity) exactEdge(end edge) *big.Rat {
	value := q.exact()
	switch end {
	case upperEdge:
		value.Add(value, q.exactUncertainty())
	case lowerEdge:
		value.Sub(value, q.exactUncertainty())
	}
	return value
}
