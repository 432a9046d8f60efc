package supply

import (
	"math"

	"witnessmark.example/checks/quantity"
)

// DemandWithStorage is what the main fuse carries when the storage charges while
// the loads draw their most: maximum demand + charging current.
//
// Inputs: maximum demand without the storage; charging current of all inverters.
// Neither may be below zero. Result in A.
func DemandWithStorage() quantity.Function {
	const demand, charging = 0, 1
	return quantity.Function{
		Name: "supply.DemandWithStorage",
		Parameters: []quantity.Parameter{
			{Name: "maximum demand", Kind: quantity.Current},
			{Name: "charging current", Kind: quantity.Current},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			d, err := notBelowZero("maximum demand", in[demand])
			if err != nil {
				return quantity.Quantity{}, err
			}
			c, err := notBelowZero("charging current", in[charging])
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Note("as if all of it flowed in one phase and at once")
			return result(d+c, in[demand].Quantity.BaseUncertainty()+in[charging].Quantity.BaseUncertainty(), "A")
		},
	}
}

// PhaseImbalance is how much more one phase carries than another: the largest
// minus the smallest of the three currents, times the voltage to earth.
//
// Inputs: current of single-phase sources on each phase, not below zero; voltage
// to earth, above zero; current of what feeds all phases, which is asked for so that
// a contradiction in it is noticed, and changes nothing. Result in kVA.
func PhaseImbalance() quantity.Function {
	const voltage = 3
	return quantity.Function{
		Name: "supply.PhaseImbalance",
		Parameters: []quantity.Parameter{
			{Name: "current on L1", Kind: quantity.Current},
			{Name: "current on L2", Kind: quantity.Current},
			{Name: "current on L3", Kind: quantity.Current},
			{Name: "voltage to earth", Kind: quantity.Voltage},
			{Name: "current on all phases", Kind: quantity.Current},
		},
		Result: quantity.ApparentPower,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			least, most := math.Inf(1), 0.0
			for _, a := range in[:voltage] {
				i, err := notBelowZero("current on a phase", a)
				if err != nil {
					return quantity.Quantity{}, err
				}
				least, most = min(least, i), max(most, i)
			}
			u, err := aboveZero("voltage to earth", in[voltage])
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Base("difference", most-least, "A", "largest minus smallest current")
			return result((most-least)*u, 0, "kVA")
		},
	}
}
