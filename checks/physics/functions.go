// Package physics lists the calculations of the rooms of physics.
package physics

import (
	"witnessmark.example/checks/conductor"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/stack"
	"witnessmark.example/checks/supply"
	"witnessmark.example/checks/table"
)

// Functions lists every calculation. A new one is a line here; its description
// stands in package measure of the definitions. Those that look figures up take
// the tables; where one of these is missing they say so when they are used.
func Functions(t *table.Set) []quantity.Function {
	return []quantity.Function{
		stack.LowestVoltage(),
		stack.NominalVoltage(),
		stack.HighestVoltage(),
		stack.MostModules(),
		stack.FewestModules(),
		stack.NameplateEnergy(),
		stack.UsableEnergy(),
		stack.EnergyAtEndOfLife(),
		stack.ThroughInverter(),
		stack.BackupTime(),
		stack.HotDerating(),
		stack.ColdDerating(),
		stack.DischargeCurrent(),
		stack.ChargeCurrent(),
		stack.RatedCurrent(),
		stack.EvenShare(),
		stack.InputCurrent(),
		stack.ChargeRate(),
		stack.CableDifference(),
		stack.VoltageDifference(),
		stack.Resistance(),
		stack.EqualisingCurrent(),
		stack.FaultCurrent(),
		stack.FaultAtEnd(),
		stack.LeastFault(),
		stack.FaultAtDevice(),
		stack.JoinedCurrent(),
		stack.JoinedVoltage(),

		conductor.AmpacityNEC(t),
		conductor.AmpacityNEC2020(t),
		conductor.AmpacityAtTerminalsNEC(t),
		conductor.ContinuousNEC(t),
		conductor.StorageAmpacityNEC(),
		conductor.DeviceMostNEC2023(t),
		conductor.DeviceMostNEC2020(t),
		conductor.StandardRatingNEC2023(t),
		conductor.StandardRatingNEC2020(t),
		conductor.EquipmentGroundingNEC2023(t),
		conductor.EquipmentGroundingNEC2017(t),
		conductor.ElectrodeConductorNEC(t),

		conductor.Resistance(t),
		conductor.LoopResistance(),
		conductor.Drop(t),
		conductor.DropShare(),
		conductor.DropPower(),
		conductor.Together(),
		conductor.CommonShare(),
		conductor.EndToEnd(),
		conductor.CapacityIEC(t),
		conductor.Capacity(),
		conductor.DeviceMost(),
		conductor.ProtectiveTable(t),
		conductor.ProtectiveAdiabatic(t),
		conductor.ProtectiveSize(),
		conductor.FaultSize(t),

		supply.OutputCurrent(),
		supply.GenerationCurrent(),
		supply.BusbarCurrent(),
		supply.ChargingCurrent(),
		supply.BusbarSum(t),
		supply.RatingFedFromBothEnds(t),
		supply.NeededRating(t),
		supply.DemandWithStorage(),
		supply.PhaseImbalance(),
		supply.TripCurrent(t),
		supply.MostLoopImpedance(),
		supply.TouchVoltage(),
		supply.IslandPower(),
		supply.IslandEnergy(),
		supply.ExportPower(),
		supply.GenerationExport(),
		supply.ExistingCurrent(),
		supply.SourcesTogether(),
		supply.ChargingTogether(),
		supply.EvenCurrent(),
		supply.ServiceRating(),
	}
}
