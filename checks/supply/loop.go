package supply

import (
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
// residual current. Result in A.
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
			device, of, times := in[kind].Word, residual, func() (quantity.Quantity, error) { return multiple(t, residualTable, residualDevice, steps) }
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
			case device == circuitBreaker:
				if !in[curve].Known {
					return quantity.Quantity{}, &quantity.Absent{Input: curve}
				}
				of, times = rating, func() (quantity.Quantity, error) { return ofCurve(t, in[curve].Word, steps) }
			}
			if !in[of].Known {
				return quantity.Quantity{}, &quantity.Absent{Input: of}
			}
			i, err := aboveZero("rated current of the device", in[of])
			if err != nil {
				return quantity.Quantity{}, err
			}
			n, err := times()
			if err != nil {
				return quantity.Quantity{}, err
			}
			return result(n.Base()*i, 0, "A")
		},
	}
}

// ofCurve is the multiple of a curve, from what was read or else from what is
// recalled.
func ofCurve(t *table.Set, curve string, steps *quantity.Steps) (quantity.Quantity, error) {
	n, err := multiple(t, tripTable, curve, steps)
	if err == nil {
		return n, nil
	}
	if n, err = multiple(t, tripTableRecalled, curve, steps); err != nil {
		return n, fmt.Errorf("no multiple is known for the curve %s: read the current at which the device trips in time from its curve and record it as its operating current: %w", curve, err)
	}
	return n, nil
}

func multiple(t *table.Set, name, key string, steps *quantity.Steps) (quantity.Quantity, error) {
	figures, err := t.Get(name)
	if err != nil {
		return quantity.Quantity{}, err
	}
	n, err := figures.At("multiple", table.Word(key))
	if err == nil {
		steps.Value("n", n, figures.Cite())
	}
	return n, err
}

// MostLoopImpedance is the loop impedance at which a fault still drives the
// current that makes the device trip: U0 / Ia. What a code takes off, for a low
// voltage or a loop that was measured cold, stands in its limit.
//
// Inputs: voltage to earth; current that makes the device trip. Both above zero.
// Result in Ω.
func MostLoopImpedance() quantity.Function {
	const voltage, trip = 0, 1
	return quantity.Function{
		Name: "supply.MostLoopImpedance",
		Parameters: []quantity.Parameter{
			{Name: "voltage to earth", Kind: quantity.Voltage},
			{Name: "trip current", Kind: quantity.Current},
		},
		Result: quantity.Resistance,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			u, err := aboveZero("voltage to earth", in[voltage])
			if err != nil {
				return quantity.Quantity{}, err
			}
			i, err := aboveZero("trip current", in[trip])
			if err != nil {
				return quantity.Quantity{}, err
			}
			return result(u/i, 0, "Ω")
		},
	}
}

// TouchVoltage is the voltage that exposed parts take while the residual current
// that just does not trip the device flows through the earth electrode: R · I.
//
// Inputs: resistance of the electrode; rated residual current. Both above zero.
// Result in V.
func TouchVoltage() quantity.Function {
	const resistance, residual = 0, 1
	return quantity.Function{
		Name: "supply.TouchVoltage",
		Parameters: []quantity.Parameter{
			{Name: "resistance of the electrode", Kind: quantity.Resistance},
			{Name: "rated residual current", Kind: quantity.Current},
		},
		Result: quantity.Voltage,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			r, err := aboveZero("resistance of the electrode", in[resistance])
			if err != nil {
				return quantity.Quantity{}, err
			}
			i, err := aboveZero("rated residual current", in[residual])
			if err != nil {
				return quantity.Quantity{}, err
			}
			return result(r*i, in[resistance].Quantity.BaseUncertainty()*i, "V")
		},
	}
}
