package stack

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// FaultCurrent is the current one stack feeds into a short circuit at its
// terminals. What the maker declares goes before all calculation, since electronics
// may limit or cut it off. Otherwise, for modules directly in series, Ohm's law with
// no cable at all: U_high / (n · R_module). The current depends little on the state
// of charge; the charge ceiling is its upper end.
//
// The tolerances of the datasheet go into the result: as half its band stands what
// the upper end lies above it, (U + u) / (R - r) - U / R, the larger of the two.
//
// Inputs: architecture; the declared current; number of modules; resistance of one
// module; highest voltage of the stack. Result in kA. With a converter and nothing
// declared there is an error.
func FaultCurrent() quantity.Function {
	const architecture, declared, modules, module, voltage = 0, 1, 2, 3, 4
	return quantity.Function{
		Name: "stack.FaultCurrent",
		Parameters: []quantity.Parameter{
			{Name: "architecture", Kind: quantity.None, Optional: true},
			{Name: "declared fault current", Kind: quantity.Current, Optional: true},
			{Name: "modules", Kind: quantity.Count, Optional: true},
			{Name: "resistance of a module", Kind: quantity.Resistance, Optional: true},
			{Name: "highest voltage of the stack", Kind: quantity.Voltage, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if in[declared].Known {
				if _, err := positive("declared fault current", in[declared]); err != nil {
					return quantity.Quantity{}, err
				}
				steps.Note("as the maker declares it; nothing is calculated")
				return calculated(in[declared].Quantity.Base(), in[declared].Quantity.BaseUncertainty(), "kA")
			}
			if err := quantity.Need(in, architecture); err != nil {
				return quantity.Quantity{}, err
			}
			if err := directly(in[architecture].Word); err != nil {
				return quantity.Quantity{}, err
			}
			if err := quantity.Need(in, module, modules, voltage); err != nil {
				return quantity.Quantity{}, err
			}
			return atTerminals(in[modules], in[module], in[voltage], steps)
		},
	}
}

// atTerminals is U / (n · R) with the tolerances of both.
func atTerminals(modules, module, voltage quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
	n, err := positive("number of modules", modules)
	if err != nil {
		return quantity.Quantity{}, err
	}
	if _, err := positive("resistance of a module", module); err != nil {
		return quantity.Quantity{}, err
	}
	r, off := n*module.Quantity.Base(), n*module.Quantity.BaseUncertainty()
	if off >= r {
		return quantity.Quantity{}, fmt.Errorf("the resistance of a module is %s: its tolerance reaches down to zero", module.Quantity)
	}
	steps.Base("R_int", r, "mΩ", "modules directly in series; no cable, since the fault is at the terminals")
	if !module.Quantity.HasUncertainty() {
		steps.Note("the datasheet states no tolerance for the resistance; the current may be larger than this")
	}
	u := voltage.Quantity
	i := u.Base() / r
	return calculated(i, (u.Base()+u.BaseUncertainty())/(r-off)-i, "kA")
}

// FaultAtEnd is the current a stack feeds into a short circuit at the far end of its
// cables: U_high / R, with the resistance of stack and cables there and back. It is
// less than at the terminals: how fast a device clears a fault there and what the
// cable withstands meanwhile go by it, breaking capacity never does.
//
// Inputs: highest voltage of the stack; its resistance with that of its cables;
// resistance of the cables alone, above zero: without any on record it would be the
// current at the terminals. Result in kA, as far up as the tolerances reach.
func FaultAtEnd() quantity.Function {
	const voltage, resistance, cable = 0, 1, 2
	return quantity.Function{
		Name: "stack.FaultAtEnd",
		Parameters: []quantity.Parameter{
			{Name: "highest voltage of the stack", Kind: quantity.Voltage},
			{Name: "resistance of stack and cables", Kind: quantity.Resistance},
			{Name: "resistance of the cables", Kind: quantity.Resistance},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			if _, err := positive("resistance of the stack's cables on record", in[cable]); err != nil {
				return quantity.Quantity{}, err
			}
			r, err := positive("resistance of stack and cables", in[resistance])
			if err != nil {
				return quantity.Quantity{}, err
			}
			off := in[resistance].Quantity.BaseUncertainty()
			if off >= r {
				return quantity.Quantity{}, fmt.Errorf("the resistance of stack and cables is %s: its tolerance reaches down to zero", in[resistance].Quantity)
			}
			u := in[voltage].Quantity
			i := u.Base() / r
			return calculated(i, (u.Base()+u.BaseUncertainty())/(r-off)-i, "kA")
		},
	}
}

// LeastFault is the least current a stack feeds into a short circuit at the far end of
// its cables: U_low / R, at the cut-off of its modules and with hot cables there and
// back, and never more than the maker declares at the terminals. A device there has to
// open in time by this current too.
//
// Inputs: lowest voltage of the stack, above zero; its resistance with that of its hot
// cables; resistance of these alone, above zero; declared fault current, where there is
// one. Result in kA, with half the width of its band as far down as the tolerances reach.
func LeastFault() quantity.Function {
	const voltage, resistance, cable, declared = 0, 1, 2, 3
	return quantity.Function{
		Name: "stack.LeastFault",
		Parameters: []quantity.Parameter{
			{Name: "lowest voltage of the stack", Kind: quantity.Voltage},
			{Name: "resistance of stack and cables", Kind: quantity.Resistance},
			{Name: "resistance of the cables", Kind: quantity.Resistance},
			{Name: "declared fault current", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if _, err := positive("resistance of the stack's cables on record", in[cable]); err != nil {
				return quantity.Quantity{}, err
			}
			r, err := positive("resistance of stack and cables", in[resistance])
			if err != nil {
				return quantity.Quantity{}, err
			}
			if _, err := positive("lowest voltage of the stack", in[voltage]); err != nil {
				return quantity.Quantity{}, err
			}
			u := in[voltage].Quantity
			i, low := u.Base()/r, (u.Base()-u.BaseUncertainty())/(r+in[resistance].Quantity.BaseUncertainty())
			steps.Base("I_calculated", i, "kA", "the voltage at the cut-off over stack and hot cables")
			if d := in[declared]; d.Known {
				if _, err := positive("declared fault current", d); err != nil {
					return quantity.Quantity{}, err
				}
				i, low = min(i, d.Quantity.Base()), min(low, d.Quantity.Base()-d.Quantity.BaseUncertainty())
			}
			return calculated(i, i-low, "kA")
		},
	}
}

// FaultAtDevice is the largest fault current that the device of one stack among
// stacks in parallel may have to break: its own stack's into a fault beyond it, or
// that of all others into a fault at its stack, the larger of I and ΣI - I. The
// upper end of the result is the larger of the upper ends of both: the smaller
// current may have the wider tolerance and reach higher.
//
// Inputs: fault current of the stack; that of all stacks joined with it, itself
// included. Result in kA.
func FaultAtDevice() quantity.Function {
	return quantity.Function{
		Name:       "stack.FaultAtDevice",
		Parameters: []quantity.Parameter{{Name: "fault current of the stack", Kind: quantity.Current}, {Name: "fault current of all stacks", Kind: quantity.Current}},
		Result:     quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			own, all := in[0].Quantity, in[1].Quantity
			others := all.Base() - own.Base()
			spread := max(0, all.BaseUncertainty()-own.BaseUncertainty())
			steps.Base("I_others", others, "kA", "what the other stacks feed into a fault at this one")
			larger := max(own.Base(), others)
			upper := max(own.Base()+own.BaseUncertainty(), others+spread)
			return calculated(larger, upper-larger, "kA")
		},
	}
}
