package jobgen

import (
	"fmt"
	"maps"
	"slices"
)

// Firm returns a firm's repository as file names and texts: root file, three
// products, a policy, and n job files in the folder jobs. Job i depends on the
// seed and on i only, so that a larger firm begins with the jobs of a smaller.
func Firm(n int, seed uint64) map[string]string {
	files := map[string]string{
		"witnessmark.cue":      rootFile,
		"rules/policy.cue":     policy,
		"equipment/tarnel.cue": tarnel,
		"equipment/vessik.cue": vessik,
		"equipment/selmar.cue": selmar,
	}
	for i := range n {
		files[JobName(i)] = Job(i, seed)
	}
	return files
}

// JobName is the name of the i-th job file of a firm.
func JobName(i int) string { return fmt.Sprintf("jobs/2026/%05d.yaml", i+1) }

// Write hands the files of a map to put in the order of their names, and stops
// at its first error.
func Write(files map[string]string, put func(name string, data []byte) error) error {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if err := put(name, []byte(files[name])); err != nil {
			return fmt.Errorf("write %s: %w", name, err)
		}
	}
	return nil
}

const rootFile = `package witnessmark

import "witnessmark.example/schema/firm"

#firm: firm.#Firm & {name: "Generated"}
`

// The figures are made up; only their form is that of a datasheet.
const tarnel = `package equipment

import (
	"witnessmark.example/schema/equipment"
	"witnessmark.example/schema/limit"
)

#products: tarnel: C: equipment.#Storage & {
	title:        "Tarnel stack, sheet for installers"
	edition:      "C, 2025-09"
	architecture: "modules in series"
	chemistry:    "lithium iron phosphate"
	module: {energy: "1.9 kWh", voltage: {low: "42 V", nominal: "48 V", high: "54 V"}, mass: "21 kg", resistance: "14 mΩ"}
	controller: {mass: "9 kg", consumption: "8 W"}
	current: {charge: "30 A", discharge: "30 A", peak: "45 A", peak_time: "10 s", fault: "1.9 kA", built_in_device: "63 A"}
	energy: {depth_of_discharge: "92 %", efficiency: "94 %", efficiency_out: "97 %", end_of_life: "70 %"}
	derating: {above: "40 °C", stops: "50 °C", left: "50 %", cold_charge: "5 °C", altitude: "2000 m"}
	series: {fewest: 4, most: 9}
	mixing: {unequal_stacks: "not allowed", firmware: "same"}
	parallel: {most_stacks: 2, voltage_difference: "3 V", cable_difference: "0.5 m"}
	compatible_inverters: ["selmar"]
	dimensions: {module_height: "150 mm", width: "580 mm", depth: "190 mm"}
	limits: [string]: limit.#Limit & {clause: "Placing", grade: "document", reviewed: "2026-10-01", review_by: "2027-10-01", why: "Stated by the sheet."}
	limits: {
		"series": {measure: "stacks.modules", within: >=4 & <=9, unit: "modules"}
		"parallel": {measure: "units.stack_count", within: <=2, unit: "stacks"}
		"gap": {measure: "stacks.wall_gap", within: >=22 & <=35, unit: "mm"}
		"above": {measure: "stacks.clearance.above", within: >=450, unit: "mm"}
		"left": {measure: "stacks.clearance.left", within: >=250, unit: "mm"}
		"right": {measure: "stacks.clearance.right", within: >=250, unit: "mm"}
		"warm": {measure: "stacks.unit.location.air.high", within: <=44, unit: "°C"}
		"cold": {measure: "stacks.unit.location.air.low", within: >=-12, unit: "°C"}
		"bracket": {measure: "joints.torque.set", within: >=6.8 & <=7.6, unit: "N·m", when: joints: joint: "wall bracket"}
		"link": {measure: "joints.torque.set", within: >=2.6 & <=3.2, unit: "N·m", when: joints: joint: "between modules"}
	}
}
`

const vessik = `package equipment

import (
	"witnessmark.example/schema/equipment"
	"witnessmark.example/schema/limit"
)

#products: vessik: A: equipment.#Storage & {
	title:        "Vessik stack, installation data"
	edition:      "A, 2026-02"
	architecture: "converter per stack"
	chemistry:    "lithium iron phosphate"
	module: {energy: "2.2 kWh", voltage: {low: "40 V", nominal: "46 V", high: "52 V"}, mass: "24 kg"}
	output: {voltage_low: "360 V", voltage_nominal: "390 V", voltage_high: "410 V"}
	controller: {mass: "12 kg", consumption: "14 W"}
	current: {charge: "28 A", discharge: "28 A", peak: "40 A", peak_time: "5 s", fault: "0.9 kA", built_in_device: "50 A"}
	energy: {depth_of_discharge: "90 %", efficiency: "93 %", efficiency_out: "96 %", end_of_life: "70 %"}
	derating: {above: "42 °C", stops: "52 °C", left: "40 %", cold_charge: "3 °C", altitude: "2000 m"}
	series: {fewest: 2, most: 6}
	mixing: {unequal_stacks: "allowed", firmware: "same"}
	parallel: {most_stacks: 3, voltage_difference: "5 V", cable_difference: "1 m"}
	compatible_inverters: ["selmar"]
	dimensions: {module_height: "170 mm", width: "600 mm", depth: "205 mm"}
	limits: [string]: limit.#Limit & {clause: "2", grade: "document", reviewed: "2026-10-01", review_by: "2027-10-01", why: "Stated by the sheet."}
	limits: {
		"series": {measure: "stacks.modules", within: >=2 & <=6, unit: "modules"}
		"gap": {measure: "stacks.wall_gap", within: >=16 & <=40, unit: "mm"}
		"above": {measure: "stacks.clearance.above", within: >=500, unit: "mm"}
		"warm": {measure: "stacks.unit.location.air.high", within: <=46, unit: "°C"}
		"cold": {measure: "stacks.unit.location.air.low", within: >=-15, unit: "°C"}
		"damp": {measure: "stacks.unit.location.humidity.high", within: <=93, unit: "%"}
		"bracket": {measure: "joints.torque.set", within: >=6.5 & <=7.8, unit: "N·m", when: joints: joint: "wall bracket"}
	}
}
`

const selmar = `package equipment

import "witnessmark.example/schema/equipment"

#products: selmar: B: equipment.#Inverter & {
	title:       "Selmar inverter, data sheet"
	edition:     "B, 2025-11"
	phases:      "split-phase"
	isolated:    false
	dc_earthing: "functionally grounded"
	modes: ["self-consumption", "backup", "island"]
	listed_to:   "UL 1741"
	interactive: true
	dc: {voltage_low: "120 V", voltage_start: "150 V", voltage_high: "600 V", current: "95 A", capacitance: "1800 µF", discharge_time: "5 min"}
	ac: {power: "7.6 kW", current: "32 A", charging_current: "20 A", island_power: "7 kW", fault_current: "48 A", rcd_type: "A"}
	efficiency: "97 %"
}
`

const policy = `package rules

import "witnessmark.example/schema/limit"

#policy: limit.#RuleSet & {
	source: {name: "policy", title: "How we work", edition: "2026", kind: "policy", decision: "guarded", always: true, decided_by: "The firm."}
	bands: {"joints.torque.set": "3 %", "stacks.wall_gap": "1 mm"}
	promotes: ["practice#paint-mark"]
	limits: [string]: {grade: "document", clause: "Work", reviewed: "2026-10-01", review_by: "2027-10-01", why: "Decided by the firm."}
	limits: {
		"front": {measure: "stacks.clearance.front", within: >=800, unit: "mm"}
		"fixings": {measure: "stacks.wall.fixings", within: >=4, unit: "fixings", when: stacks: wall: material: "hollow masonry" | "timber frame"}
		"lean": {measure: "stacks.lean", within: <=4, unit: "mm"}
	}
}
`
