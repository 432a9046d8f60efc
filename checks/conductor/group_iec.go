package conductor

import (
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// How circuits that are laid side by side lie, as a job names it.
const (
	alone         = "apart"
	bunched       = "bunched"
	singleLayer   = "single layer on a surface"
	perforatedRow = "single layer on a perforated tray"
)

// groupFactor is k_G. It counts circuits, not conductors, and takes all of them as
// equally loaded; each set of conductors in parallel is a circuit. In conduit and
// where nothing is recorded they are bunched, which has the smallest factors.
func groupFactor(t *table.Set, in []quantity.Argument, parallel float64, steps *quantity.Steps) (float64, error) {
	circuits, err := aboveZero("number of circuits", in[cGrouped])
	if err != nil {
		return 0, err
	}
	n, err := quantity.Calculated(math.Max(circuits, parallel), quantity.Count.BaseUnit())
	if err != nil {
		return 0, err
	}
	steps.Value("n", n, "circuits together, each set of parallel conductors one; all taken as fully loaded")
	name := "iec/60364-5-52/group-bunched"
	switch lie := in[cLayer]; {
	case !lie.Known:
		steps.Note("how the circuits lie is not recorded: bunched, which has the smallest factors")
	case lie.Word == bunched || lie.Word == alone: // apart from others, one circuit; of several, nothing better is held
	case in[cMethod].Word != "C":
		steps.Note("enclosed by method " + in[cMethod].Word + ", and so bunched")
	case lie.Word == singleLayer:
		name = "iec/60364-5-52/group-single-layer"
	case lie.Word == perforatedRow:
		return 0, fmt.Errorf("cables on a perforated tray are installation method E or F, for which no table is held; method C is on a closed surface")
	default:
		return 0, fmt.Errorf("the arrangement %q is not known", lie.Word)
	}
	k, err := upTo(t, name, "factor", "k_G", steps, table.Quantity(n))
	return k.Base(), err
}
