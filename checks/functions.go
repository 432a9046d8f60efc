package checks

import (
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/stack"
)

// Functions lists every calculation of the physics rooms. A new one is a line
// here; its description stands in package measure of the definitions.
func Functions() []quantity.Function {
	return []quantity.Function{
		stack.NameplateEnergy(),
		stack.HighestVoltage(),
	}
}
