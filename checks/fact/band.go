package fact

import (
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
)

// banded gives a result the uncertainty of its inputs: how far it moves when each
// of them stands at either end of its own, added up in full, since nothing says
// that errors cancel. A larger uncertainty that the function told itself stays.
// Where there is no result at one of the ends there is none at all: the true value
// may lie there.
func (r *run) banded(q quantity.Quantity, args []quantity.Argument) (quantity.Quantity, error) {
	spread := 0.0
	for i := range args {
		a := args[i]
		if !a.Known || !a.Quantity.HasUncertainty() {
			continue
		}
		far := 0.0
		for _, side := range []float64{-1, 1} {
			edge, err := quantity.Calculated(a.Quantity.Base()+side*a.Quantity.BaseUncertainty(), a.Quantity.Unit())
			if err != nil {
				return q, err
			}
			args[i].Quantity = edge
			moved, err := r.function.Of(args, nil)
			args[i] = a
			if err != nil {
				return q, fmt.Errorf("with %s %s, at the end of its uncertainty: %w", r.inputs[i].symbol, edge.Format(a.Quantity.Unit()), err)
			}
			far = math.Max(far, math.Abs(moved.Base()-q.Base()))
		}
		spread += far
	}
	if spread <= q.BaseUncertainty() {
		return q, nil
	}
	return q.WithSpread(spread)
}
