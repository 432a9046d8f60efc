package stack

import "witnessmark.example/checks/quantity"

// The architectures of a stack, as equipment data names them.
const (
	ModulesInSeries    = "modules in series"
	ConverterPerModule = "converter per module"
	ConverterPerStack  = "converter per stack"
)

// LowestVoltage is the voltage at the terminals of a stack at the cut-off of its
// modules under load: n · U for modules directly in series, the lowest output
// voltage with converters. Inputs and errors as HighestVoltage.
func LowestVoltage() quantity.Function {
	return terminalVoltage("stack.LowestVoltage", "cut-off voltage of a module", "lowest output voltage")
}

// NominalVoltage is the nominal voltage at the terminals of a stack: n · U for
// modules directly in series, the nominal output voltage with converters. It is
// not what devices and insulation are rated by. Inputs and errors as
// HighestVoltage.
func NominalVoltage() quantity.Function {
	return terminalVoltage("stack.NominalVoltage", "nominal voltage of a module", "nominal output voltage")
}

// HighestVoltage is the highest voltage at the terminals of a stack in any state
// of charge. Modules directly in series add up: n · U at the charge ceiling
// (voltages in series add up; common practice, no source). With converters the
// terminals have the output voltage the datasheet states, never the sum of the
// modules.
//
// Inputs: architecture; number of modules; charge ceiling of one module (in
// series only); highest output voltage (with converters only). Result in V, with
// the tolerance of the datasheet's figure times n. An architecture that is not
// known gives an error: nothing is assumed.
func HighestVoltage() quantity.Function {
	return terminalVoltage("stack.HighestVoltage", "charge ceiling of a module", "highest output voltage")
}

// terminalVoltage is one of the three voltages by architecture.
func terminalVoltage(name, ofModule, ofOutput string) quantity.Function {
	const architecture, modules, module, output = 0, 1, 2, 3
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "architecture", Kind: quantity.None},
			{Name: "modules", Kind: quantity.Count, Optional: true},
			{Name: ofModule, Kind: quantity.Voltage, Optional: true},
			{Name: ofOutput, Kind: quantity.Voltage, Optional: true},
		},
		Result: quantity.Voltage,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch in[architecture].Word {
			case ModulesInSeries:
				if err := quantity.Need(in, modules, module); err != nil {
					return quantity.Quantity{}, err
				}
				n, u := in[modules].Quantity.Base(), in[module].Quantity
				steps.Note("modules directly in series: their voltages add up")
				return calculated(n*u.Base(), n*u.BaseUncertainty(), "V")
			case ConverterPerModule, ConverterPerStack:
				if err := quantity.Need(in, output); err != nil {
					return quantity.Quantity{}, err
				}
				steps.Note("a converter sets the voltage at the terminals: the output of the datasheet, whatever the number of modules")
				u := in[output].Quantity
				return calculated(u.Base(), u.BaseUncertainty(), "V")
			}
			return quantity.Quantity{}, unknownArchitecture(in[architecture].Word)
		},
	}
}
