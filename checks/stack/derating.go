package stack

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// HotDerating is the share of the current that is left at the highest air
// temperature: 100 % up to where derating begins, from there in a straight line to
// the share left where it ends, nothing above that. The straight line is assumed:
// datasheets state the two ends. Above the altitude up to which the datasheet holds
// nothing is known, and there is an error.
//
// Inputs: highest air temperature; where derating begins; where it ends, and the
// share left there (needed only above its beginning); altitude of the place (needed
// where the datasheet states one), and that up to which the datasheet holds. Result
// in %.
func HotDerating() quantity.Function {
	const air, above, stops, left, place, altitude = 0, 1, 2, 3, 4, 5
	return quantity.Function{
		Name: "stack.HotDerating",
		Parameters: []quantity.Parameter{
			{Name: "highest air temperature", Kind: quantity.Temperature},
			{Name: "derating begins at", Kind: quantity.Temperature},
			{Name: "derating ends at", Kind: quantity.Temperature, Optional: true},
			{Name: "current left when derating ends", Kind: quantity.Ratio, Optional: true},
			{Name: "altitude", Kind: quantity.Length, Optional: true},
			{Name: "altitude without derating", Kind: quantity.Length, Optional: true},
		},
		Result: quantity.Ratio,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if in[altitude].Known {
				if err := quantity.Need(in, place); err != nil {
					return quantity.Quantity{}, err
				}
				if in[place].Quantity.Base() > in[altitude].Quantity.Base() {
					return quantity.Quantity{}, fmt.Errorf("the place lies at %s, and the figures of the datasheet hold up to %s", in[place].Quantity, in[altitude].Quantity)
				}
			}
			t, from := in[air].Quantity.Base(), in[above].Quantity.Base()
			if t <= from {
				return calculated(1, 0, "%")
			}
			if err := quantity.Need(in, stops); err != nil {
				return quantity.Quantity{}, err
			}
			to := in[stops].Quantity.Base()
			switch {
			case to < from:
				return quantity.Quantity{}, fmt.Errorf("derating ends at %s, below where it begins (%s)", in[stops].Quantity, in[above].Quantity)
			case t > to:
				steps.Note("hotter than where derating ends: nothing flows")
				return calculated(0, 0, "%")
			}
			if err := quantity.Need(in, left); err != nil {
				return quantity.Quantity{}, err
			}
			end, err := share("current left when derating ends", in[left])
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Note("a straight line between the two points of the datasheet is assumed")
			return calculated(1-(1-end)*(t-from)/(to-from), 0, "%")
		},
	}
}

// ColdDerating is the share of the charge current that is left at the lowest air
// temperature: 100 % down to where derating begins, nothing below. Datasheets state
// no slope; that nothing flows below is deliberately careful.
//
// Inputs: lowest air temperature; charge derating begins below. Result in %.
func ColdDerating() quantity.Function {
	return quantity.Function{
		Name: "stack.ColdDerating",
		Parameters: []quantity.Parameter{
			{Name: "lowest air temperature", Kind: quantity.Temperature},
			{Name: "charge derating begins below", Kind: quantity.Temperature},
		},
		Result: quantity.Ratio,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if in[0].Quantity.Base() >= in[1].Quantity.Base() {
				return calculated(1, 0, "%")
			}
			steps.Note("colder than where charging is lowered: nothing is assumed to flow, since the datasheet states no slope")
			return calculated(0, 0, "%")
		},
	}
}
