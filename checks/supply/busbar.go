package supply

import (
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The table of the factors of the busbar rules, and its rows: sources count with
// more than their rated output current, since they last for hours; a busbar fed
// from both ends may be reached by more than its rating, since no point of it
// carries both currents.
const (
	busbarTable = "us/nec-2017/705.12"
	ofSources   = "output current of the sources"
	ofBothEnds  = "rating of a busbar fed from both ends"
)

// BusbarSum is what a busbar has to carry wherever the sources are connected:
// 1.25 · I + main (NEC 705.12), with I the sum of the rated output currents of the
// sources.
//
// Inputs: current of the sources, not below zero; rating of the main device, above
// zero. Result in A.
func BusbarSum(t *table.Set) quantity.Function {
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
			f, err := figure(t, busbarTable, "factor", "f", steps, ofSources)
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Base("f · I", f*i, "A", "of the rated output currents, not of the breakers")
			return result(f*i+m, f*in[sources].Quantity.BaseUncertainty()+in[main].Quantity.BaseUncertainty(), "A")
		},
	}
}

// RatingFedFromBothEnds is the rating a busbar needs where the sources are
// connected at the end opposite the main device: its sum divided by 1.2.
//
// Input: the sum that BusbarSum gives. Result in A.
func RatingFedFromBothEnds(t *table.Set) quantity.Function {
	return quantity.Function{
		Name:       "supply.RatingFedFromBothEnds",
		Parameters: []quantity.Parameter{{Name: "sum on the busbar", Kind: quantity.Current}},
		Result:     quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			sum, err := aboveZero("sum on the busbar", in[0])
			if err != nil {
				return quantity.Quantity{}, err
			}
			f, err := figure(t, busbarTable, "factor", "f", steps, ofBothEnds)
			if err != nil {
				return quantity.Quantity{}, err
			}
			return result(sum/f, in[0].Quantity.BaseUncertainty()/f, "A")
		},
	}
}

// NeededRating is the smallest rating that one of the rules for a busbar is
// content with: the rating by the sources, or the sum of all load and source
// devices without the main one, where that sum is recorded. Each rule is enough.
// Each source has a device of 1.25 times its current at least, so a sum that is
// smaller than that leaves devices out and is refused.
//
// Inputs: rating by the sources; sum of the devices; current of the sources. Result
// in A.
func NeededRating(t *table.Set) quantity.Function {
	const bySources, devices, sources = 0, 1, 2
	return quantity.Function{
		Name: "supply.NeededRating",
		Parameters: []quantity.Parameter{
			{Name: "rating by the sources", Kind: quantity.Current},
			{Name: "sum of the devices", Kind: quantity.Current, Optional: true},
			{Name: "current of the sources", Kind: quantity.Current},
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
			if err := sourcesFit(t, sum, in[sources], steps); err != nil {
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

// sourcesFit refuses a sum of devices that cannot hold the devices of the sources.
func sourcesFit(t *table.Set, sum float64, sources quantity.Argument, steps *quantity.Steps) error {
	i, err := notBelowZero("current of the sources", sources)
	if err != nil {
		return err
	}
	f, err := figure(t, busbarTable, "factor", "f", steps, ofSources)
	if err != nil {
		return err
	}
	least, err := quantity.Calculated(f*i, sources.Quantity.Unit())
	if err != nil {
		return err
	}
	given, err := quantity.Calculated(sum, sources.Quantity.Unit())
	if err != nil {
		return err
	}
	if quantity.Compare(given, least) < 0 { // equality passes, whatever the last digit
		return fmt.Errorf("the sum of the devices is less than the devices of the sources alone, %g times %s: count the devices of all loads and sources again", f, written(sources.Quantity))
	}
	return nil
}
