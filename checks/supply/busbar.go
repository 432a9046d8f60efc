package supply

import (
	"math"

	"witnessmark.example/checks/quantity"
)

// The factors of the busbar rules (NEC 705.12): sources count with 125 % of their
// rated output current, and a busbar fed from both ends may be reached by 120 %
// of its rating, since no point of it carries both currents.
const (
	lasting  = 1.25
	bothEnds = 1.20
)

// BusbarSum is what a busbar has to carry wherever the sources are connected:
// 1.25 · I + main, with I the sum of the rated output currents of the sources.
//
// Inputs: current of the sources, not below zero; rating of the main device, above
// zero. Result in A.
func BusbarSum() quantity.Function {
	const sources, main = 0, 1
	return quantity.Function{
		Name: "supply.BusbarSum",
		Parameters: []quantity.Parameter{
			{Name: "current of the sources", Kind: quantity.Current},
			{Name: "main device", Kind: quantity.Current},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			i, err := notBelowZero("current of the sources", in[sources])
			if err != nil {
				return quantity.Quantity{}, err
			}
			m, err := aboveZero("rating of the main device", in[main])
			if err != nil {
				return quantity.Quantity{}, err
			}
			tell(steps, "1.25 · I", lasting*i, "A", "NEC 705.12: 125 % of the rated output currents, not of the breakers")
			spread := lasting*in[sources].Quantity.BaseUncertainty() + in[main].Quantity.BaseUncertainty()
			return result(lasting*i+m, spread, "A")
		},
	}
}

// RatingFedFromBothEnds is the rating a busbar needs where the sources are
// connected at the end opposite the main device: its sum divided by 1.2.
//
// Input: the sum that BusbarSum gives. Result in A.
func RatingFedFromBothEnds() quantity.Function {
	return quantity.Function{
		Name:       "supply.RatingFedFromBothEnds",
		Parameters: []quantity.Parameter{{Name: "sum on the busbar", Kind: quantity.Current}},
		Result:     quantity.Current,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			sum, err := aboveZero("sum on the busbar", in[0])
			if err != nil {
				return quantity.Quantity{}, err
			}
			return result(sum/bothEnds, in[0].Quantity.BaseUncertainty()/bothEnds, "A")
		},
	}
}

// NeededRating is the smallest rating that one of the rules for a busbar is
// content with: the rating by the sources, or the sum of all load and source
// devices without the main one, where that sum is recorded. Each rule is enough.
//
// Inputs: rating by the sources; sum of the devices. Result in A.
func NeededRating() quantity.Function {
	const bySources, devices = 0, 1
	return quantity.Function{
		Name: "supply.NeededRating",
		Parameters: []quantity.Parameter{
			{Name: "rating by the sources", Kind: quantity.Current},
			{Name: "sum of the devices", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			rating, err := aboveZero("rating by the sources", in[bySources])
			if err != nil {
				return quantity.Quantity{}, err
			}
			if !in[devices].Known {
				steps.Note("the sum of the devices is not recorded, so the rule for it is not taken")
				return result(rating, in[bySources].Quantity.BaseUncertainty(), "A")
			}
			// A busbar on which the sources have no device is not one of this rule.
			sum, err := aboveZero("sum of the devices", in[devices])
			if err != nil {
				return quantity.Quantity{}, err
			}
			if sum < rating {
				steps.Note("by the sum of all load and source devices, the main one excluded")
				return result(sum, in[devices].Quantity.BaseUncertainty(), "A")
			}
			return result(rating, in[bySources].Quantity.BaseUncertainty(), "A")
		},
	}
}

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
// to earth, above zero. Result in kVA.
func PhaseImbalance() quantity.Function {
	const voltage = 3
	return quantity.Function{
		Name: "supply.PhaseImbalance",
		Parameters: []quantity.Parameter{
			{Name: "current on L1", Kind: quantity.Current},
			{Name: "current on L2", Kind: quantity.Current},
			{Name: "current on L3", Kind: quantity.Current},
			{Name: "voltage to earth", Kind: quantity.Voltage},
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
			tell(steps, "difference", most-least, "A", "largest minus smallest current")
			return result((most-least)*u, 0, "kVA")
		},
	}
}
