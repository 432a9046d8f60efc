package stack

import "witnessmark.example/checks/quantity"

// NameplateEnergy is the energy printed on the nameplates of all modules
// together: n · E (nameplate energies add up; common practice, no source).
//
// Inputs: number of modules; nameplate energy of one module. Result in kWh.
func NameplateEnergy() quantity.Function {
	return quantity.Function{
		Name:       "stack.NameplateEnergy",
		Parameters: []quantity.Parameter{{Name: "modules", Kind: quantity.Count}, {Name: "energy of a module", Kind: quantity.Energy}},
		Result:     quantity.Energy,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			return quantity.Calculated(in[0].Quantity.Base()*in[1].Quantity.Base(), quantity.MustUnit("kWh"))
		},
	}
}

// UsableEnergy is what a full stack gives at its terminals: E · DoD · η_out. A
// round-trip efficiency counts the losses of charging as well. Where the datasheet
// states no figure for the way out, the whole round trip stands for it, as if all
// was lost on the way out: nobody knows how the losses divide, and the square root
// of the trade, which divides them evenly, may promise more than there is
// (conservative, no source).
//
// Inputs: nameplate energy; depth of discharge, 0 to 100 %; efficiency on the way
// out, or over the whole cycle, above 0 and up to 100 %. Result in kWh, never above
// the nameplate energy. Without either efficiency it is not calculated.
func UsableEnergy() quantity.Function {
	const energy, depth, out, cycle = 0, 1, 2, 3
	return quantity.Function{
		Name: "stack.UsableEnergy",
		Parameters: []quantity.Parameter{
			{Name: "nameplate energy", Kind: quantity.Energy},
			{Name: "depth of discharge", Kind: quantity.Ratio},
			{Name: "efficiency on the way out", Kind: quantity.Ratio, Optional: true},
			{Name: "round-trip efficiency", Kind: quantity.Ratio, Optional: true},
		},
		Result: quantity.Energy,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			dod, err := share("depth of discharge", in[depth])
			if err != nil {
				return quantity.Quantity{}, err
			}
			if in[out].Known {
				eta, err := efficiency("efficiency on the way out", in[out])
				if err != nil {
					return quantity.Quantity{}, err
				}
				return calculated(in[energy].Quantity.Base()*dod*eta, 0, "kWh")
			}
			if err := quantity.Need(in, cycle); err != nil {
				return quantity.Quantity{}, err
			}
			eta, err := efficiency("round-trip efficiency", in[cycle])
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Base("η_out", eta, "%", "the whole round-trip efficiency, since the datasheet states no figure for the way out: careful")
			return calculated(in[energy].Quantity.Base()*dod*eta, 0, "kWh")
		},
	}
}

// EnergyAtEndOfLife is what is left of the usable energy at the end of the warranted
// life: E · share.
//
// Inputs: usable energy; share that is left, 0 to 100 %. Result in kWh.
func EnergyAtEndOfLife() quantity.Function {
	return quantity.Function{
		Name:       "stack.EnergyAtEndOfLife",
		Parameters: []quantity.Parameter{{Name: "usable energy", Kind: quantity.Energy}, {Name: "share left", Kind: quantity.Ratio}},
		Result:     quantity.Energy,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			left, err := share("share of the energy left", in[1])
			if err != nil {
				return quantity.Quantity{}, err
			}
			return calculated(in[0].Quantity.Base()*left, 0, "kWh")
		},
	}
}

// ThroughInverter is what reaches the grid side of an inverter of the energy its
// stacks give: E · η (common practice, no source).
//
// Inputs: usable energy at the terminals of the stacks; efficiency of the inverter,
// one way, above 0 and up to 100 %. Result in kWh.
func ThroughInverter() quantity.Function {
	return quantity.Function{
		Name:       "stack.ThroughInverter",
		Parameters: []quantity.Parameter{{Name: "usable energy", Kind: quantity.Energy}, {Name: "efficiency of the inverter", Kind: quantity.Ratio}},
		Result:     quantity.Energy,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			eta, err := efficiency("efficiency of the inverter", in[1])
			if err != nil {
				return quantity.Quantity{}, err
			}
			return calculated(in[0].Quantity.Base()*eta, 0, "kWh")
		},
	}
}

// BackupTime is how long the storage carries a load: E / P (common practice, no
// source).
//
// Inputs: energy that reaches the load, after the inverter; load, above zero. Result
// in h.
func BackupTime() quantity.Function {
	return quantity.Function{
		Name:       "stack.BackupTime",
		Parameters: []quantity.Parameter{{Name: "usable energy", Kind: quantity.Energy}, {Name: "load", Kind: quantity.Power}},
		Result:     quantity.Duration,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			load, err := positive("load", in[1])
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Note("full at the start; what devices draw while they wait is not counted")
			return calculated(in[0].Quantity.Base()/load, 0, "h")
		},
	}
}
