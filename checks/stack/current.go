package stack

import (
	"errors"

	"witnessmark.example/checks/quantity"
)

// The inputs of DischargeCurrent and ChargeCurrent.
const (
	cStack = iota
	cHot
	cDevices
	cDevice
	cBuiltIn
	cInverter
	cCable
	cCold
)

func currentParameters() []quantity.Parameter {
	return []quantity.Parameter{
		{Name: "current of the stack", Kind: quantity.Current},
		{Name: "share left in heat", Kind: quantity.Ratio},
		{Name: "devices of the stack", Kind: quantity.Count},
		{Name: "least rating of a device of the stack", Kind: quantity.Current, Optional: true},
		{Name: "built-in device", Kind: quantity.Current, Optional: true},
		{Name: "DC current of the inverter", Kind: quantity.Current},
		{Name: "least capacity of a DC cable of the stack", Kind: quantity.Current},
	}
}

// DischargeCurrent is the current that stack, cables, protective device and inverter
// carry together, discharging: the smallest of I · F, the least capacity of a cable,
// the least device rating and the inverter's DC current (the weakest part decides;
// common practice, no source).
//
// Inputs: current of the stack by its datasheet, continuous or peak; share left at
// the highest air temperature; number of devices recorded for the stack alone and
// the least of their ratings (needed unless the number is 0); rating of a built-in
// device; highest DC current of the inverter; least capacity of a DC cable of the
// stack. Result in A.
func DischargeCurrent() quantity.Function {
	return quantity.Function{
		Name: "stack.DischargeCurrent", Parameters: currentParameters(), Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			return weakest(in, in[cHot].Quantity.Base(), steps)
		},
	}
}

// ChargeCurrent is the same for charging, where cold counts as well: the smallest of
// I · F and of what cables, device and inverter carry. The inverter's figure is
// that for current from the storage; it is taken for both ways.
//
// Inputs: those of DischargeCurrent, then the share left at the lowest air
// temperature. Heat and cold do not come together, so the smaller of the two shares
// decides. Result in A.
func ChargeCurrent() quantity.Function {
	return quantity.Function{
		Name: "stack.ChargeCurrent", Result: quantity.Current,
		Parameters: append(currentParameters(), quantity.Parameter{Name: "share left in cold", Kind: quantity.Ratio}),
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			steps.Note("the inverter's DC current is taken for both ways")
			return weakest(in, min(in[cHot].Quantity.Base(), in[cCold].Quantity.Base()), steps)
		},
	}
}

// weakest takes the smallest of the currents.
func weakest(in []quantity.Argument, left float64, steps *quantity.Steps) (quantity.Quantity, error) {
	if in[cDevices].Quantity.Base() > 0 {
		if err := quantity.Need(in, cDevice); err != nil {
			return quantity.Quantity{}, err
		}
	}
	least := in[cStack].Quantity.Base() * left
	steps.Base("I_derated", least, "A", "current of the stack times the share left")
	least = min(least, in[cInverter].Quantity.Base(), in[cCable].Quantity.Base())
	if in[cDevices].Quantity.Base() > 0 {
		least = min(least, in[cDevice].Quantity.Base())
	} else {
		steps.Note("no device of the stack alone is recorded, so none limits it")
	}
	if in[cBuiltIn].Known {
		least = min(least, in[cBuiltIn].Quantity.Base())
	}
	if least < 0 {
		return quantity.Quantity{}, errors.New("one of the currents lies below zero")
	}
	return calculated(least, 0, "A")
}

// RatedCurrent is the larger of the continuous charge and discharge currents of the
// datasheet: what cables, connectors and devices of the stack carry in service.
//
// Inputs: continuous charge current; continuous discharge current. Result in A.
func RatedCurrent() quantity.Function {
	return quantity.Function{
		Name:       "stack.RatedCurrent",
		Parameters: []quantity.Parameter{{Name: "charge current", Kind: quantity.Current}, {Name: "discharge current", Kind: quantity.Current}},
		Result:     quantity.Current,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			return calculated(max(in[0].Quantity.Base(), in[1].Quantity.Base()), 0, "A")
		},
	}
}

// EvenShare is what one of several stacks in parallel carries of a current, where they
// share it evenly: I / m.
//
// Inputs: current of all of them; number of stacks, at least 1. Result in A.
func EvenShare() quantity.Function {
	return quantity.Function{
		Name:       "stack.EvenShare",
		Parameters: []quantity.Parameter{{Name: "current of all stacks", Kind: quantity.Current}, {Name: "stacks", Kind: quantity.Count}},
		Result:     quantity.Current,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			m, err := positive("number of stacks", in[1])
			if err != nil {
				return quantity.Quantity{}, err
			}
			return calculated(in[0].Quantity.Base()/m, in[0].Quantity.BaseUncertainty()/m, "A")
		},
	}
}

// InputCurrent is the direct current of an inverter at rated power and the lowest
// voltage: P / (η · U), NEC 2017 706.20(A)(3), copy, by which the lowest voltage and not
// the nominal one counts.
//
// Inputs: rated power; efficiency, above 0 and up to 100 %; lowest voltage of the
// stacks, above zero. Result in A.
func InputCurrent() quantity.Function {
	return quantity.Function{
		Name: "stack.InputCurrent",
		Parameters: []quantity.Parameter{
			{Name: "rated power", Kind: quantity.Power},
			{Name: "efficiency of the inverter", Kind: quantity.Ratio},
			{Name: "lowest voltage", Kind: quantity.Voltage},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			eta, err := efficiency("efficiency of the inverter", in[1])
			if err != nil {
				return quantity.Quantity{}, err
			}
			u, err := positive("lowest voltage of the stacks", in[2])
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Base("P_dc", in[0].Quantity.Base()/eta, "kW", "power on the DC side")
			return calculated(in[0].Quantity.Base()/eta/u, 0, "A")
		},
	}
}

// ChargeRate is a current by the capacity it flows out of or into, I / Q: 0.5/h
// empties a full module in two hours, which the trade calls 0.5 C. Modules directly
// in series carry the same current; behind a converter the current at the terminals
// is not that of the modules, and there is an error.
//
// Inputs: architecture; current of the stack; capacity of a module, above zero.
// Result in 1/h.
func ChargeRate() quantity.Function {
	return quantity.Function{
		Name: "stack.ChargeRate",
		Parameters: []quantity.Parameter{
			{Name: "architecture", Kind: quantity.None},
			{Name: "current", Kind: quantity.Current},
			{Name: "capacity of a module", Kind: quantity.Charge},
		},
		Result: quantity.Rate,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			switch in[0].Word {
			case ModulesInSeries:
				q, err := positive("capacity of a module", in[2])
				if err != nil {
					return quantity.Quantity{}, err
				}
				return calculated(in[1].Quantity.Base()/q, 0, "1/h")
			case ConverterPerModule, ConverterPerStack:
				return quantity.Quantity{}, errors.New("behind a converter the current at the terminals is not the current of the modules")
			}
			return quantity.Quantity{}, unknownArchitecture(in[0].Word)
		},
	}
}
