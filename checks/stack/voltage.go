package stack

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// The architectures of a stack, as equipment data names them.
const (
	ModulesInSeries    = "modules in series"
	ConverterPerModule = "converter per module"
	ConverterPerStack  = "converter per stack"
)

// HighestVoltage is the highest voltage at the terminals of a stack in any state
// of charge. Modules directly in series add up: n · U at the charge ceiling
// (voltages in series add up; common practice, no source). With converters the
// terminals have the output voltage the datasheet states, never the sum of the
// modules.
//
// Inputs: architecture; number of modules; charge ceiling of one module (in
// series only); highest output voltage (with converters only). Result in V. An
// architecture that is not known gives an error: nothing is assumed.
func HighestVoltage() quantity.Function {
	const modules, ceiling, output = 1, 2, 3
	return quantity.Function{
		Name: "stack.HighestVoltage",
		Parameters: []quantity.Parameter{
			{Name: "architecture", Kind: quantity.None},
			{Name: "modules", Kind: quantity.Count, Optional: true},
			{Name: "charge ceiling of a module", Kind: quantity.Voltage, Optional: true},
			{Name: "highest output voltage", Kind: quantity.Voltage, Optional: true},
		},
		Result: quantity.Voltage,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			volt := quantity.MustUnit("V")
			switch in[0].Word {
			case ModulesInSeries:
				if err := need(in, modules, ceiling); err != nil {
					return quantity.Quantity{}, err
				}
				return quantity.Calculated(in[modules].Quantity.Base()*in[ceiling].Quantity.Base(), volt)
			case ConverterPerModule, ConverterPerStack:
				if err := need(in, output); err != nil {
					return quantity.Quantity{}, err
				}
				return quantity.Calculated(in[output].Quantity.Base(), volt)
			}
			return quantity.Quantity{}, fmt.Errorf("the architecture %q is not known", in[0].Word)
		},
	}
}

// need returns an error for the first of the inputs that is not known.
func need(in []quantity.Argument, inputs ...int) error {
	for _, i := range inputs {
		if !in[i].Known {
			return &quantity.Absent{Input: i}
		}
	}
	return nil
}
