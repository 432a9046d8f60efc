package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// Datasheets of an invented stack, one with modules in series and one with a
// converter, and of an inverter.
const (
	seriesStack = `package equipment

import "witnessmark.example/schema/equipment"

#products: series: A: equipment.#Storage & {
	title:   "Sheet"
	edition: "A"
	architecture: "modules in series"
	module: {energy: "2.4 kWh", capacity: "50 A·h", resistance: "18 mΩ", voltage: {low: "44 V", nominal: "51.2 V", high: "57.6 V"}}
	current: {charge: "50 A", discharge: "50 A", peak: "75 A"}
	energy: {depth_of_discharge: "90 %", efficiency: "94 %", end_of_life: "70 %"}
	series: {fewest: 4, most: 9}
	parallel: {most_stacks: 3, voltage_difference: "2 V", cable_difference: "0.5 m"}
	mixing: {unequal_stacks: "not allowed", firmware: "same"}
}
`
	converterStack = `package equipment

import "witnessmark.example/schema/equipment"

#products: converter: A: equipment.#Storage & {
	title:   "Sheet"
	edition: "A"
	architecture: "converter per module"
	module: {energy: "2.4 kWh", resistance: "18 mΩ", voltage: {low: "44 V", nominal: "51.2 V", high: "57.6 V"}}
	output: {voltage_low: "360 V", voltage_nominal: "400 V", voltage_high: "450 V"}
	current: {charge: "12 A", discharge: "12 A"}
}
`
	plainInverter = `package equipment

import "witnessmark.example/schema/equipment"

#products: plain: A: equipment.#Inverter & {
	title:   "Sheet"
	edition: "A"
	dc: {voltage_low: "160 V", voltage_start: "300 V", voltage_high: "500 V", current: "30 A"}
	efficiency: "97 %"
}
`
)

// jobOfTwo is a job with two stacks, in which %s are fields of the two and of the job.
const jobOfTwo = `units: [{id: U, stacks: [A, B]}]
inverters: [{id: I, equipment: plain@A, power: 6 kW, forms_island: true, dc_window: {low: 150 V, high: 550 V}}]
stacks:
  - {id: A, equipment: series@A, inverter: I, %s}
  - {id: B, equipment: series@A, inverter: I, %s}
%s`

// jobOfOne is a job with one stack.
const jobOfOne = `units: [{id: U, stacks: [A]}]
inverters: [{id: I, equipment: plain@A, power: 6 kW, forms_island: true, dc_window: {low: 150 V, high: %s}}]
stacks: [{id: A, equipment: %s, inverter: I, modules: %d}]
%s`

// What the limits of practice say of stacks, inverter, cables and devices.
func TestStorageInPractice(t *testing.T) {
	const in, out = judge.Within, judge.Outside
	series := func(modules int, more string) string {
		return fmt.Sprintf(jobOfOne, "550 V", "series@A", modules, more)
	}
	two := func(a, b, more string) string { return fmt.Sprintf(jobOfTwo, a, b, more) }
	device := func(serves, more string) string {
		return fmt.Sprintf("protection: [{id: F, kind: fuse, serves: %s, %s}]\n", serves, more)
	}
	type storageCase struct {
		name, limit, of, facts string
		kind                   judge.Kind
		waits                  string
	}
	cases := []storageCase{
		{"8 · 57.6 V fit into 500 V", "inverter-voltage-high-datasheet", "inverters[I].stack_voltage_high", series(8, ""), in, ""},
		{"9 · 57.6 V do not", "inverter-voltage-high-datasheet", "inverters[I].stack_voltage_high", series(9, ""), out, ""},
		{"but into the job's 550 V", "inverter-voltage-high", "inverters[I].stack_voltage_high", series(9, ""), in, ""},
		{"a converter is never n times U", "inverter-voltage-high-datasheet", "inverters[I].stack_voltage_high", fmt.Sprintf(jobOfOne, "550 V", "converter@A", 12, ""), in, ""},
		{"4 · 44 V", "inverter-voltage-low-datasheet", "inverters[I].stack_voltage_low", series(4, ""), in, ""},
		{"3 · 44 V", "inverter-voltage-low", "inverters[I].stack_voltage_low", series(3, ""), out, ""},
		{"5 · 51.2 V", "inverter-voltage-start", "inverters[I].stack_voltage_nominal", series(5, ""), out, ""},
		{"no inverter named", "inverter-voltage-high", "inverters[I].stack_voltage_high", strings.Replace(series(6, ""), "inverter: I, ", "", 1), notChecked, "stacks[A].inverter"},
		{"taller than the maker tested", "modules-most", "stacks[A].modules", series(10, ""), out, ""},
		{"6 kW near empty", "inverter-input-current", "inverters[I].input_current", series(6, ""), in, ""},
		{"6 kW near empty, few modules", "inverter-input-current", "inverters[I].input_current", series(4, ""), out, ""},
		{"backup", "backup-time", "supply.island.hours", series(6, "supply: {island: {changeover: automatic, load: 2 kW, backup: 5.9 h}}\n"), in, ""},
		{"backup", "backup-time-without-grid", "supply.island.hours", series(6, "supply: {system: island, island: {load: 2 kW, backup: 5.9 h}}\n"), in, ""},
		{"backup too long", "backup-time", "supply.island.hours", series(6, "supply: {island: {changeover: automatic, load: 2 kW, backup: 6 h}}\n"), out, ""},
		{"backup too long", "backup-time-without-grid", "supply.island.hours", series(6, "supply: {system: island, island: {load: 2 kW, backup: 6 h}}\n"), out, ""},
		{"nominal voltage is not enough", "device-by-highest-voltage", "protection[F].voltage", series(6, device("one stack", "stack: A, voltage: 320 V")), out, ""},
		{"insulation", "insulation-by-highest-voltage", "conductors[c].insulation_voltage", series(6, "conductors: [{id: c, carries: dc, stack: A, insulation_voltage: 300 V}]\n"), out, ""},
		{"connector current", "connector-current", "connectors[k].current", series(6, "conductors: [{id: c, carries: dc, stack: A}]\nconnectors: [{id: k, conductor: c, current: 40 A}]\n"), out, ""},
		{"cable by nominal voltage", "conductor-carries-input-current", "conductors[c].current", series(6, "conductors: [{id: c, carries: dc, stack: A, inverter: I, current: 20 A}]\n"), out, ""},
		{"the run they share", "common-conductor-carries-input-current", "conductors[m].current", two("modules: 6", "modules: 6", "conductors: [{id: m, carries: dc, serves: several stacks together, inverter: I, current: 20 A}]\n"), out, ""},
		{"a single stack shares none", "common-conductor-carries-input-current", "conductors[m].current", series(6, "conductors: [{id: m, carries: dc, inverter: I, current: 30 A}]\n"), notApplicable, ""},
		{"insulation of the run they share", "insulation-by-highest-voltage-at-inverter", "conductors[m].insulation_voltage", two("modules: 6", "modules: 7", "conductors: [{id: m, carries: dc, serves: several stacks together, inverter: I, insulation_voltage: 400 V}]\n"), out, ""},
		{"own current", "breaking-capacity-stack", "protection[F].breaking_capacity", series(6, device("one stack", "stack: A, breaking_capacity: 3 kA")), out, ""},
		{"own current", "breaking-capacity-stack", "protection[F].breaking_capacity", series(6, device("one stack", "stack: A, breaking_capacity: 4 kA")), in, ""},
		{"nothing declared behind a converter", "breaking-capacity-stack", "protection[F].breaking_capacity", fmt.Sprintf(jobOfOne, "550 V", "converter@A", 6, device("one stack", "stack: A, breaking_capacity: 4 kA")), notChecked, ""},
		{"on paper", "recorded-fault-current-stack", "protection[F].fault_current", series(6, device("one stack", "stack: A, fault_current: 2 kA")), out, ""},
		{"both together", "breaking-capacity-common", "protection[F].breaking_capacity", two("modules: 6", "modules: 6", device("several stacks together", "unit: U, breaking_capacity: 6 kA")), out, ""},
		{"both together on paper", "recorded-fault-current-common", "protection[F].fault_current", two("modules: 6", "modules: 6", device("several stacks together", "unit: U, fault_current: 6.5 kA")), in, ""},
		{"both together in service", "common-device-rating", "protection[F].rating", two("modules: 6", "modules: 6", device("several stacks together", "unit: U, rating: 63 A")), out, ""},
		{"unequal", "stacks-equal", "inverters[I].modules_most", two("modules: 6", "modules: 5", ""), out, ""},
		{"equal", "stacks-equal", "inverters[I].modules_most", two("modules: 6", "modules: 6", ""), in, ""},
		{"two leads", "one-lead", "inverters[I].leads", two("role: lead", "role: lead", ""), out, ""},
		{"no lead", "one-lead", "inverters[I].leads", two("role: follower", "role: follower", ""), out, ""},
		{"one lead", "one-lead", "inverters[I].leads", two("role: lead", "role: follower", ""), in, ""},
		{"a role is not known", "one-lead", "inverters[I].leads", two("role: lead", "modules: 6", ""), notChecked, "stacks[B].role"},
		{"one address twice", "addresses-differ", "inverters[I].addresses", two(`address: "1"`, `address: "1"`, ""), out, ""},
		{"two addresses", "addresses-differ", "inverters[I].addresses", two(`address: "1"`, `address: "2"`, ""), in, ""},
		{"firmware", "firmware-same", "inverters[I].firmwares", two(`firmware: "4.2"`, `firmware: "4.1"`, ""), out, ""},
		{"products", "product-same", "inverters[I].products", strings.Replace(two("modules: 6", "modules: 6", ""), "series@A", "converter@A", 1), out, ""},
		{"cables", "cable-lengths-equal", "inverters[I].cable_difference", two("modules: 6", "modules: 6", "conductors: [{id: a, carries: dc, stack: A, length: 9 m}, {id: b, carries: dc, stack: B, length: 8 m}, {id: g, carries: ac}]\n"), out, ""},
		{"a run of nobody knows which stack", "cable-lengths-equal", "inverters[I].cable_difference", two("modules: 6", "modules: 6", "conductors: [{id: a, carries: dc, stack: A, length: 9 m}, {id: b, carries: dc, length: 9 m}]\n"), notChecked, "conductors[b].stack"},
		{"voltages", "voltages-close", "inverters[I].voltage_difference", two("voltage_at_energising: 306 V", "voltage_at_energising: 303 V", ""), out, ""},
		{"equalising", "equalising-current", "inverters[I].equalising_current", two("modules: 6, voltage_at_energising: 320 V", "modules: 6, voltage_at_energising: 303 V", ""), out, ""},
	}
	apart := func(facts string) string {
		return strings.Replace(facts, "units: [{id: U, stacks: [A, B]}]", "units: [{id: U, stacks: [A]}, {id: V, stacks: [B]}]", 1)
	}
	loose := func(facts string) string { return strings.ReplaceAll(facts, "inverter: I, ", "") }
	cases = append(cases, []storageCase{
		{"units of their own at one inverter", "stacks-equal", "inverters[I].modules_most", apart(two("modules: 7", "modules: 5", "")), out, ""},
		{"units of their own at one inverter", "one-lead", "inverters[I].leads", apart(two("role: lead", "role: lead", "")), out, ""},
		{"units of their own at one inverter", "addresses-differ", "inverters[I].addresses", apart(two(`address: "1"`, `address: "1"`, "")), out, ""},
		{"units of their own at one inverter", "voltages-close", "inverters[I].voltage_difference", apart(two("voltage_at_energising: 403 V", "voltage_at_energising: 288 V", "")), out, ""},
		{"units of their own at one inverter", "breaking-capacity-common", "protection[F].breaking_capacity", apart(two("modules: 6", "modules: 6", device("several stacks together", "unit: U, breaking_capacity: 6 kA"))), out, ""},
		{"units of their own at one inverter", "common-device-rating", "protection[F].rating", apart(two("modules: 6", "modules: 6", device("several stacks together", "unit: U, rating: 63 A"))), out, ""},
		{"at no inverter", "breaking-capacity-stack", "protection[F].breaking_capacity", loose(two("modules: 6", "modules: 6", device("one stack", "stack: A, breaking_capacity: 20 kA"))), notChecked, "stacks[A].inverter"},
		{"at no inverter", "stacks-equal", "stacks[A].inverter", loose(two("modules: 6", "modules: 6", "")), notChecked, "stacks[A].inverter"},
		{"at no inverter and alone", "one-lead", "stacks[A].inverter", loose(series(6, "")), notApplicable, ""},
		{"at no inverter and alone", "breaking-capacity-stack", "protection[F].breaking_capacity", loose(series(6, device("one stack", "stack: A, breaking_capacity: 4 kA"))), in, ""},
	}...)
	f := firm{"witnessmark.cue": rootFile, "equipment/series.cue": seriesStack, "equipment/converter.cue": converterStack, "equipment/plain.cue": plainInverter}
	built := strings.NewReplacer("equipment: series@A", "equipment: {built: series@A}", "modules: 6", "modules: {built: 6}")
	for i, c := range cases {
		stage := "designed"
		if c.limit == "voltages-close" || c.limit == "equalising-current" {
			stage, c.facts = "energised", built.Replace(c.facts)
		}
		f[fmt.Sprintf("jobs/%03d.yaml", i)] = fmt.Sprintf("job: J-%d\npremises: {id: p-%d}\nstage: %s\n%s", i, i, stage, c.facts)
	}
	run, lines := lint(t, f)
	require.Empty(t, run.Problems)
	for i, c := range cases {
		t.Run(c.limit+" "+c.name, func(t *testing.T) {
			s, ok := lines.full[fmt.Sprintf("jobs/%03d.yaml practice#%s %s", i, c.limit, c.of)]
			require.True(t, ok, "no outcome for %s", c.of)
			assert.Equal(t, c.kind.String(), s.kind.String(), "%s (waits on %s)", s.reason, s.waits)
			assert.False(t, s.blocking, "customs do not block")
			if c.waits != "" {
				assert.Contains(t, s.waits, c.waits)
			}
		})
	}
}
