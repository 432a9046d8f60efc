package stack

import (
	"errors"
	"fmt"

	"witnessmark.example/checks/quantity"
)

// CableDifference is how much longer the cables of one stack are than those of
// another in parallel with it: greatest less least. A stack with no cable on record
// gives an error, since nothing is known of it then. Result in m.
func CableDifference() quantity.Function {
	f := difference("stack.CableDifference", quantity.Length, "m")
	plain := f.Of
	f.Of = func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
		if in[1].Quantity.Base() <= 0 {
			return quantity.Quantity{}, errors.New("no DC cable is recorded for one of the stacks")
		}
		return plain(in, steps)
	}
	return f
}

// VoltageDifference is how far the voltages of stacks lie apart before they are
// joined: greatest less least, with the uncertainties of both readings. Result in V.
func VoltageDifference() quantity.Function {
	return difference("stack.VoltageDifference", quantity.Voltage, "V")
}

func difference(name string, kind quantity.Kind, unit string) quantity.Function {
	return quantity.Function{
		Name:       name,
		Parameters: []quantity.Parameter{{Name: "greatest", Kind: kind}, {Name: "least", Kind: kind}},
		Result:     kind,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			most, least := in[0].Quantity, in[1].Quantity
			return calculated(most.Base()-least.Base(), most.BaseUncertainty()+least.BaseUncertainty(), unit)
		},
	}
}

// Resistance is that of a stack and its cables: n · R_module + R_cable for modules
// directly in series. A converter shows no resistance of that kind, and there is an
// error. Cables whose resistance is not known are left out, which gives too much
// current: deliberately careful.
//
// Inputs: architecture; number of modules; resistance of one module, above zero;
// resistance of the cables there and back. Result in mΩ.
func Resistance() quantity.Function {
	const architecture, modules, module, cable = 0, 1, 2, 3
	return quantity.Function{
		Name: "stack.Resistance",
		Parameters: []quantity.Parameter{
			{Name: "architecture", Kind: quantity.None},
			{Name: "modules", Kind: quantity.Count},
			{Name: "resistance of a module", Kind: quantity.Resistance, Optional: true},
			{Name: "resistance of the cables", Kind: quantity.Resistance, Optional: true},
		},
		Result: quantity.Resistance,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if err := directly(in[architecture].Word); err != nil {
				return quantity.Quantity{}, err
			}
			if err := quantity.Need(in, module); err != nil {
				return quantity.Quantity{}, err
			}
			n, err := positive("number of modules", in[modules])
			if err != nil {
				return quantity.Quantity{}, err
			}
			if _, err := positive("resistance of a module", in[module]); err != nil {
				return quantity.Quantity{}, err
			}
			r := in[module].Quantity
			steps.Base("R_int", n*r.Base(), "mΩ", "modules directly in series")
			base, spread := n*r.Base(), n*r.BaseUncertainty()
			if in[cable].Known {
				base, spread = base+in[cable].Quantity.Base(), spread+in[cable].Quantity.BaseUncertainty()
			} else {
				steps.Note("the cables are left out, since their resistance is not known: more current flows in this calculation than on site")
			}
			return calculated(base, spread, "mΩ")
		},
	}
}

// directly returns an error unless the modules are directly in series.
func directly(architecture string) error {
	switch architecture {
	case ModulesInSeries:
		return nil
	case ConverterPerModule, ConverterPerStack:
		return fmt.Errorf("a stack with a %s shows no internal resistance of its modules at the terminals; the maker has to declare what it feeds", architecture)
	}
	return unknownArchitecture(architecture)
}

// EqualisingCurrent is what flows at first when a stack is joined to the others,
// in the worst case: that one alone differs and the others, in parallel, agree.
// ΔU / (R + R / (m - 1)), with the least resistance of all for each of them
// (Ohm's law; common practice, no source).
//
// Inputs: voltage difference; least resistance of a stack with its cables, above
// zero; number of stacks, at least 2. Result in A.
func EqualisingCurrent() quantity.Function {
	return quantity.Function{
		Name: "stack.EqualisingCurrent",
		Parameters: []quantity.Parameter{
			{Name: "voltage difference", Kind: quantity.Voltage},
			{Name: "least resistance of a stack", Kind: quantity.Resistance},
			{Name: "stacks", Kind: quantity.Count},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			m := in[2].Quantity.Base()
			if m < 2 {
				return quantity.Quantity{}, errors.New("a stack by itself has no other to equalise with")
			}
			r, err := positive("least resistance of a stack", in[1])
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Base("R_others", r/(m-1), "mΩ", "the other stacks in parallel, each with the least resistance")
			loop := r + r/(m-1)
			steps.Base("R_loop", loop, "mΩ", "one stack against the others")
			du := in[0].Quantity
			return calculated(du.Base()/loop, du.BaseUncertainty()/loop, "A")
		},
	}
}
