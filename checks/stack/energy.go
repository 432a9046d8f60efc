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
