// Package physics lists the calculations of the rooms of physics.
package physics

import (
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/stack"
	"witnessmark.example/checks/supply"
	"witnessmark.example/checks/table"
)

// Functions lists every calculation. A new one is a line here; its description
// stands in package measure of the definitions. Those that look figures up take
// the tables; where one of these is missing they say so when they are used.
func Functions(tables *table.Set) []quantity.Function {
	return []quantity.Function{
		stack.NameplateEnergy(),
		stack.HighestVoltage(),
		supply.OutputCurrent(),
		supply.GenerationCurrent(),
		supply.BusbarCurrent(),
		supply.ChargingCurrent(),
		supply.BusbarSum(),
		supply.RatingFedFromBothEnds(),
		supply.NeededRating(),
		supply.DemandWithStorage(),
		supply.PhaseImbalance(),
		supply.TripCurrent(tables),
		supply.MostLoopImpedance(),
		supply.TouchVoltage(),
		supply.IslandPower(),
		supply.ExportPower(),
		supply.GenerationExport(),
	}
}
