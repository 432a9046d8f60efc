package supply

import "witnessmark.example/checks/quantity"

// IslandPower is what an inverter adds to the power of the island: the power its
// datasheet states for island operation, and nothing where it stops with the grid.
//
// Inputs: power in island operation, needed of an inverter that forms the island;
// whether it does. Result in kW.
func IslandPower() quantity.Function {
	const power, forms = 0, 1
	return quantity.Function{
		Name: "supply.IslandPower",
		Parameters: []quantity.Parameter{
			{Name: "power in island operation", Kind: quantity.Power, Optional: true},
			{Name: "forms the island", Kind: quantity.None},
		},
		Result: quantity.Power,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			switch {
			case in[forms].Word != quantity.Yes:
				return nothing("kW")
			case !in[power].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: power}
			}
			return kept("power in island operation", in[power], "kW")
		},
	}
}

// IslandEnergy is what an inverter adds to the energy of the island: all that
// reaches its grid side, and nothing where it stops with the grid.
//
// Inputs: usable energy behind the inverter, needed of one that forms the island;
// whether it does. Result in kWh.
func IslandEnergy() quantity.Function {
	const energy, forms = 0, 1
	return quantity.Function{
		Name: "supply.IslandEnergy",
		Parameters: []quantity.Parameter{
			{Name: "usable energy behind the inverter", Kind: quantity.Energy, Optional: true},
			{Name: "forms the island", Kind: quantity.None},
		},
		Result: quantity.Energy,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch {
			case in[forms].Word != quantity.Yes:
				steps.Note("it stops with the grid, and its energy cannot be had")
				return nothing("kWh")
			case !in[energy].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: energy}
			}
			return kept("usable energy", in[energy], "kWh")
		},
	}
}

// ExportPower is what an inverter may send into the grid: its export limit, and its
// rated power where none is recorded.
//
// Inputs: export limit; rated power; one of them is needed. Result in kW.
func ExportPower() quantity.Function {
	const limit, rated = 0, 1
	return quantity.Function{
		Name: "supply.ExportPower",
		Parameters: []quantity.Parameter{
			{Name: "export limit", Kind: quantity.Power, Optional: true},
			{Name: "rated power", Kind: quantity.Power, Optional: true},
		},
		Result: quantity.Power,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch {
			case in[limit].Known:
				return kept("export limit", in[limit], "kW")
			case !in[rated].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: rated}
			}
			steps.Note("its whole rated power, since no export limit is recorded")
			return kept("rated power", in[rated], "kW")
		},
	}
}

// GenerationExport is what generation may send into the grid beside the inverters:
// its rated power, and nothing where an inverter counts it, it is held within an
// inverter's export limit or it never runs in parallel.
//
// Inputs: rated power; parallel; behind an inverter of the job; within an export
// limit. Result in kW.
func GenerationExport() quantity.Function {
	const power, parallel, behind, within = 0, 1, 2, 3
	return quantity.Function{
		Name: "supply.GenerationExport",
		Parameters: []quantity.Parameter{
			{Name: "rated power", Kind: quantity.Power, Optional: true},
			{Name: "in parallel with the grid", Kind: quantity.None, Optional: true},
			{Name: "behind an inverter of the job", Kind: quantity.None, Optional: true},
			{Name: "within an export limit", Kind: quantity.None, Optional: true},
		},
		Result: quantity.Power,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch {
			case is(in[behind], quantity.Yes) || is(in[within], quantity.Yes):
				steps.Note("counted with the inverter")
				return nothing("kW")
			case is(in[parallel], quantity.No):
				steps.Note("it does not run in parallel with the grid")
				return nothing("kW")
			case !in[power].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: power}
			}
			return kept("rated power", in[power], "kW")
		},
	}
}
