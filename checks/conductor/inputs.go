package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// positive returns an error unless q is above zero: "the length is 0 m; it has to
// be above zero". The name is what the reader calls it.
func positive(name string, q quantity.Quantity) error {
	if q.Base() > 0 {
		return nil
	}
	return fmt.Errorf("the %s is %s; it has to be above zero", name, q.Format(q.Unit()))
}

// whole gives a count as a number, and an error unless it is at least one.
func whole(name string, q quantity.Quantity) (float64, error) {
	if n := q.Base(); n >= 1 {
		return n, nil
	}
	return 0, fmt.Errorf("%s: %s; there is at least one", name, q.Format(q.Unit()))
}

// The materials of a conductor, as the shape names them.
const (
	Copper              = "copper"
	Aluminium           = "aluminium"
	CopperCladAluminium = "copper-clad aluminium"
)
