package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// LoopResistance is the resistance of a run there and back, through two live
// conductors of the same kind: 2 · L · R' / p. Of a three-phase run it is the loop
// of a line and a neutral as large as the line.
//
// Inputs: what it carries; length one way; resistance per length; conductors in
// parallel, one where not known. Result in mΩ, with the tolerance of the
// resistance. Anything but a live conductor and a
// length that is not above zero are errors.
func LoopResistance() quantity.Function {
	const carries, length, resistance, parallel = 0, 1, 2, 3
	return quantity.Function{
		Name: "conductor.LoopResistance",
		Parameters: []quantity.Parameter{
			{Name: "what it carries", Kind: quantity.None},
			{Name: "length", Kind: quantity.Length},
			{Name: "resistance", Kind: quantity.ResistancePerLength},
			{Name: "conductors in parallel", Kind: quantity.Count, Optional: true},
		},
		Result: quantity.Resistance,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if w := in[carries].Word; w != direct && w != alternating {
				return quantity.Quantity{}, fmt.Errorf("a conductor of %s has no way back of its own", w)
			}
			l, err := aboveZero("length", in[length])
			if err != nil {
				return quantity.Quantity{}, err
			}
			r, err := aboveZero("resistance", in[resistance])
			if err != nil {
				return quantity.Quantity{}, err
			}
			p, err := sideBySide(in[parallel], steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			q, err := quantity.Calculated(2*l*r/p, quantity.MustUnit("mΩ"))
			if spread := 2 * l * in[resistance].Quantity.BaseUncertainty() / p; err == nil && spread > 0 {
				band, err := quantity.Calculated(spread, quantity.MustUnit("mΩ"))
				return q.WithUncertainty(band), err
			}
			return q, err
		},
	}
}
