// Package conductor is the physics of conductors: what current they may carry,
// what protects them, how large protective and electrode conductors are, voltage
// drop and heating. By the NEC in the files that begin with nec_ and in ampacity_nec.go,
// overcurrent.go, grounding.go and terminal.go; by IEC 60364 in the others.
//
// Figures stand in the tables of the definitions and come through checks/table.
// Nothing is extrapolated and no size is converted from one system to the other:
// what a table does not have is an error that says so.
package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// need returns an error for the first of the inputs that is not known.
func need(in []quantity.Argument, inputs ...int) error {
	for _, i := range inputs {
		if !in[i].Known {
			return &quantity.Absent{Input: i}
		}
	}
	return nil
}

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
