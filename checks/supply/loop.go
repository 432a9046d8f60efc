package supply

import "witnessmark.example/checks/quantity"

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
