package supply

import (
	"errors"
	"strings"

	"witnessmark.example/checks/quantity"
)

// ExistingCurrent is what storage that was there before feeds into the installation,
// and draws from it: its recorded current, and nothing where it is known not to stay.
//
// Inputs: current, needed of storage that is not known to go; whether it stays.
// Result in A.
func ExistingCurrent() quantity.Function {
	const current, stays = 0, 1
	return quantity.Function{
		Name: "supply.ExistingCurrent",
		Parameters: []quantity.Parameter{
			{Name: "current of the existing storage", Kind: quantity.Current, Optional: true},
			{Name: "stays in use", Kind: quantity.None, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch {
			case is(in[stays], quantity.No):
				steps.Note("it does not stay")
				return nothing("A")
			case !in[current].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: current}
			case !in[stays].Known:
				steps.Note("counted, since nothing says that it goes")
			}
			return kept("current of the existing storage", in[current], "A")
		},
	}
}

// SourcesTogether is the sum of the currents of all sources, where there is any: a job
// in which nothing is recorded that feeds does not feed 0 A, it is not known.
//
// Inputs: the sum, not below zero; number of inverters, of generation, of existing
// storage. Result in A.
func SourcesTogether() quantity.Function {
	return together("supply.SourcesTogether", "inverters", "generation", "existing storage")
}

// ChargingTogether is the sum of the currents of all that charges, where there is any.
//
// Inputs: the sum, not below zero; number of inverters, of existing storage. Result
// in A.
func ChargingTogether() quantity.Function {
	return together("supply.ChargingTogether", "inverters", "existing storage")
}

// together passes a sum on where one of the lists it was added from has an entry.
func together(name string, lists ...string) quantity.Function {
	f := quantity.Function{Name: name, Parameters: []quantity.Parameter{{Name: "sum of the currents", Kind: quantity.Current}}, Result: quantity.Current}
	for _, l := range lists {
		f.Parameters = append(f.Parameters, quantity.Parameter{Name: l, Kind: quantity.Count})
	}
	f.Of = func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
		for _, n := range in[1:] {
			if n.Quantity.Base() > 0 {
				return kept("sum of the currents", in[0], "A")
			}
		}
		return quantity.Quantity{}, errors.New("nothing is recorded that could be added: no " + strings.Join(lists, ", no "))
	}
	return f
}

// EvenCurrent is the current of an inverter on each of all phases. An inverter of one
// phase has no such current, and is refused.
//
// Inputs: current; phases of the inverter. Result in A.
func EvenCurrent() quantity.Function {
	const current, phases = 0, 1
	return quantity.Function{
		Name: "supply.EvenCurrent",
		Parameters: []quantity.Parameter{
			{Name: "current of the inverter", Kind: quantity.Current},
			{Name: "phases of the inverter", Kind: quantity.None, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			if is(in[phases], singlePhase) {
				return quantity.Quantity{}, errors.New("a single-phase inverter is recorded on all phases: record the one phase it is connected to")
			}
			return kept("current of the inverter", in[current], "A")
		},
	}
}

// singlePhase is how a job names an inverter of one phase.
const singlePhase = "single-phase"

// ServiceRating is what the service is made for: the rating of the main fuse or of the
// main device of the panel, the smaller where both are recorded.
//
// Inputs: main fuse; main device; one of them is needed, above zero. Result in A.
func ServiceRating() quantity.Function {
	const mainFuse, mainDevice = 0, 1
	return quantity.Function{
		Name: "supply.ServiceRating",
		Parameters: []quantity.Parameter{
			{Name: "main fuse", Kind: quantity.Current, Optional: true},
			{Name: "main device of the panel", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			take := mainFuse
			switch f, d := in[mainFuse], in[mainDevice]; {
			case !f.Known && !d.Known:
				return quantity.Quantity{}, &quantity.Absent{Input: mainFuse}
			case !f.Known:
				take = mainDevice
			case d.Known && d.Quantity.Base() < f.Quantity.Base():
				steps.Note("the main device of the panel is smaller than the main fuse, and counts")
				take = mainDevice
			}
			if _, err := aboveZero("rating of the service", in[take]); err != nil {
				return quantity.Quantity{}, err
			}
			return kept("rating of the service", in[take], "A")
		},
	}
}
