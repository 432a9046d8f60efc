package supply

import "witnessmark.example/checks/quantity"

// OutputCurrent is the rated output current of an inverter: what the job records
// or the datasheet states, and the larger where both are known. It is the current
// of the inverter, never the rating of its breaker.
//
// Inputs: current recorded; current of the datasheet; one of them is needed.
// Result in A.
func OutputCurrent() quantity.Function {
	const recorded, datasheet = 0, 1
	return quantity.Function{
		Name: "supply.OutputCurrent",
		Parameters: []quantity.Parameter{
			{Name: "rated current recorded", Kind: quantity.Current, Optional: true},
			{Name: "rated current of the datasheet", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			take := recorded
			switch r, d := in[recorded], in[datasheet]; {
			case !r.Known && !d.Known:
				return quantity.Quantity{}, &quantity.Absent{Input: recorded}
			case !r.Known:
				take = datasheet
			case d.Known && d.Quantity.Base() > r.Quantity.Base():
				steps.Note("the datasheet states more than is recorded, and counts")
				take = datasheet
			}
			if _, err := aboveZero("rated AC current", in[take]); err != nil {
				return quantity.Quantity{}, err
			}
			return kept("rated AC current", in[take], "A")
		},
	}
}

// GenerationCurrent is what generation feeds into the installation in parallel
// with the grid: its rated current, and nothing where it feeds through an inverter
// that counts itself or is known never to run in parallel.
//
// Inputs: current; parallel; behind an inverter of the job. The current is needed
// unless one of the others says that nothing is fed. Result in A.
func GenerationCurrent() quantity.Function {
	const current, parallel, behind = 0, 1, 2
	return quantity.Function{
		Name: "supply.GenerationCurrent",
		Parameters: []quantity.Parameter{
			{Name: "current of the generation", Kind: quantity.Current, Optional: true},
			{Name: "in parallel with the grid", Kind: quantity.None, Optional: true},
			{Name: "behind an inverter of the job", Kind: quantity.None, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch {
			case is(in[behind], quantity.Yes):
				steps.Note("it feeds through an inverter, whose current counts")
				return nothing("A")
			case is(in[parallel], quantity.No):
				steps.Note("it does not run in parallel with the grid")
				return nothing("A")
			case !in[current].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: current}
			}
			return kept("current of the generation", in[current], "A")
		},
	}
}

// BusbarCurrent is the part of a source's current that the busbar has to carry:
// all of it, unless the source is known to feed another one.
//
// Inputs: current of the source, needed unless it feeds another busbar; whether it
// feeds this one, and counted where that is not known. Result in A.
func BusbarCurrent() quantity.Function {
	const current, feeds = 0, 1
	return quantity.Function{
		Name: "supply.BusbarCurrent",
		Parameters: []quantity.Parameter{
			{Name: "current of the source", Kind: quantity.Current, Optional: true},
			{Name: "feeds the busbar", Kind: quantity.None, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch {
			case is(in[feeds], quantity.No):
				steps.Note("it feeds another busbar")
				return nothing("A")
			case !in[current].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: current}
			case !in[feeds].Known:
				steps.Note("counted, since nothing says that it feeds another busbar")
			}
			return kept("current of the source", in[current], "A")
		},
	}
}

// ChargingCurrent is what an inverter draws from the grid at most: what is set and
// recorded, else what the datasheet states, else its rated output current.
//
// Inputs: charging current recorded; of the datasheet; rated output current; one of
// them is needed. Result in A.
func ChargingCurrent() quantity.Function {
	const recorded, datasheet, output = 0, 1, 2
	return quantity.Function{
		Name: "supply.ChargingCurrent",
		Parameters: []quantity.Parameter{
			{Name: "charging current recorded", Kind: quantity.Current, Optional: true},
			{Name: "charging current of the datasheet", Kind: quantity.Current, Optional: true},
			{Name: "rated output current", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			for i := range in {
				if !in[i].Known {
					continue
				}
				if i == output {
					steps.Note("charging at the rated output current, since no charging current is known")
				}
				return kept("charging current", in[i], "A")
			}
			return quantity.Quantity{}, &quantity.Absent{Input: recorded}
		},
	}
}
