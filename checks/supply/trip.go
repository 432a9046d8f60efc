package supply

import (
	"errors"
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The tables of multiples of the rated current at which devices surely trip.
const (
	tripTable         = "iec/60898/trip"
	tripTableRecalled = "iec/60898/trip-from-memory"
	residualTable     = "iec/61008/trip"
)

// The kinds of device that cut off a fault to earth, as a job names them.
const (
	circuitBreaker = "circuit-breaker"
	residualDevice = "residual-current device"
	fuse           = "fuse"
)

// TripCurrent is the current to earth that surely makes a device trip at once: of
// a circuit-breaker the upper end of its curve's band times its rated current, of a
// residual-current device the multiple of its residual current at which its times
// are stated. A current that was read from the curve and recorded comes first;
// fuses and curves without a band need it.
//
// Inputs: kind of device; operating current recorded; curve; rated current;
// residual current. Result in A. A device that cuts off no fault is an error.
func TripCurrent(t *table.Set) quantity.Function {
	const kind, operating, curve, rating, residual = 0, 1, 2, 3, 4
	return quantity.Function{
		Name: "supply.TripCurrent",
		Parameters: []quantity.Parameter{
			{Name: "kind of device", Kind: quantity.None},
			{Name: "operating current", Kind: quantity.Current, Optional: true},
			{Name: "tripping curve", Kind: quantity.None, Optional: true},
			{Name: "rated current", Kind: quantity.Current, Optional: true},
			{Name: "rated residual current", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			device := in[kind].Word
			switch {
			case device != circuitBreaker && device != residualDevice && device != fuse:
				return quantity.Quantity{}, fmt.Errorf("a %s cuts off no fault to earth", device)
			case in[operating].Known:
				if _, err := aboveZero("operating current", in[operating]); err != nil {
					return quantity.Quantity{}, err
				}
				steps.Note("read from the curve of the device and recorded")
				return kept("operating current", in[operating], "A")
			case device == fuse:
				return quantity.Quantity{}, &quantity.Absent{Input: operating}
			case device == residualDevice && !in[residual].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: residual}
			case device == residualDevice:
				n, err := figure(t, residualTable, "multiple", "n", steps, residualDevice)
				return times(n, err, in[residual])
			case !in[curve].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: curve}
			case !in[rating].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: rating}
			}
			n, err := ofCurve(t, in[curve].Word, steps)
			return times(n, err, in[rating])
		},
	}
}

// times multiplies a rated current by what was looked up, unless that was in vain.
func times(n float64, err error, rated quantity.Argument) (quantity.Quantity, error) {
	if err != nil {
		return quantity.Quantity{}, err
	}
	i, err := aboveZero("rated current of the device", rated)
	if err != nil {
		return quantity.Quantity{}, err
	}
	return result(n*i, n*rated.Quantity.BaseUncertainty(), "A")
}

// ofCurve is the multiple of a curve, from what was read or else, where that has no
// such row or no figure in it, from what is recalled. A table that is missing or
// broken is an error: what is recalled does not stand in for it.
func ofCurve(t *table.Set, curve string, steps *quantity.Steps) (float64, error) {
	n, err := figure(t, tripTable, "multiple", "n", steps, curve)
	var none *table.Error
	if err == nil || !errors.As(err, &none) || none.Reason != table.NoRow && none.Reason != table.NoFigure {
		return n, err
	}
	n, err = figure(t, tripTableRecalled, "multiple", "n", steps, curve)
	if err != nil {
		return 0, fmt.Errorf("no multiple is known for the curve %q: read the current at which the device trips in time from its curve and record it as its operating current: %w", curve, err)
	}
	return n, nil
}
