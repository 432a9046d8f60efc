package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// judgeFacts judges each case as a job of its own, energised; limit has its full
// name. Facts that begin with the premises bring their own.
func judgeFacts(t *testing.T, cases []metricCase, more firm) {
	t.Helper()
	judgeFactsAt(t, "energised", cases, more)
}

func judgeFactsAt(t *testing.T, stage string, cases []metricCase, more firm) {
	t.Helper()
	f := firm{"witnessmark.cue": rootFile}
	for name, text := range more {
		f[name] = text
	}
	for i, c := range cases {
		set, _, _ := strings.Cut(c.limit, "#")
		sets := "rule_sets: [" + set + "]\n"
		if set == "practice" || strings.HasPrefix(set, "equipment/") { // no job names them
			sets = ""
		}
		head := fmt.Sprintf("job: J-%d\nstage: %s\n%s", i, stage, sets)
		if !strings.HasPrefix(c.facts, "premises:") {
			head += fmt.Sprintf("premises: {id: p-%d, occupancy: dwelling, supply_voltage: 230 V}\n", i)
		}
		f[fmt.Sprintf("jobs/%03d.yaml", i)] = head + c.facts + "\n"
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for i, c := range cases {
		t.Run(c.limit+" "+c.name, func(t *testing.T) {
			s, ok := out.full[fmt.Sprintf("jobs/%03d.yaml %s %s", i, c.limit, c.of)]
			require.True(t, ok, "no outcome for %s: %s", c.of, out.all)
			assert.Equal(t, c.kind.String(), s.kind.String(), "%s (waits on %s)", s.reason, s.waits)
			if c.kind == judge.NotChecked && c.absent != "" { // without one the reason stands in the words
				assert.Contains(t, s.waits, c.absent)
			}
		})
	}
}

// The busbar by its three rules: equality passes, a source whose current is not
// known leaves the sum open, and a source of another busbar does not count.
func TestBusbar(t *testing.T) {
	t.Parallel()
	const rating = "supply.busbar.rating"
	bus := func(position, more, sources string) string {
		return "supply: {busbar: {rating: 200 A, main: 200 A, position: " + position + more + "}}\ninverters:\n" + sources
	}
	at := func(current string) string { return "  - {id: I, ac_current: " + current + "}" }
	const end, any = "opposite end of the main", "anywhere"
	var cases []metricCase
	for _, edition := range []string{"us/nec-2017", "us/nec-2020", "us/nec-2023"} {
		e, a, c := edition+"#busbar-opposite-end", edition+"#busbar-any-position", edition+"#busbar-centre-fed"
		cases = append(cases, []metricCase{
			{"240 A are within 240 A", e, bus(end, "", at("32 A")), rating, within, ""},
			{"a little more", e, bus(end, "", at("32.01 A")), rating, outside, ""},
			{"elsewhere not even that", a, bus(any, "", at("32 A")), rating, outside, ""},
			{"by the sum of the devices", a, bus(any, ", devices: 200 A", at("32 A")), rating, within, ""},
			{"by no rule", a, bus(any, ", devices: 201 A", at("32 A")), rating, outside, ""},
			{"at the end by the devices", e, bus(end, ", devices: 190 A", at("64 A")), rating, within, ""},
			{"two sources", e, bus(end, "", at("32 A")+"\n  - {id: J, ac_current: 1 A}"), rating, outside, ""},
			{"the second one not known", e, bus(end, "", at("32 A")+"\n  - {id: J}"), rating, notChecked, "inverters[J].ac_current"},
			{"the second one elsewhere", e, bus(end, "", at("32 A")+"\n  - {id: J, feeds_busbar: false}"), rating, within, ""},
			{"generation counts", e, bus(end, "", at("32 A")) + "\ngeneration: [{id: G, current: 5 A}]", rating, outside, ""},
			{"generation behind the inverter", e, bus(end, "", at("32 A")) + "\ngeneration: [{id: G, current: 5 A, behind_inverter: true}]", rating, within, ""},
			{"on the supply side", e, bus("supply side of the main", "", at("64 A")), rating, notApplicable, ""},
			{"position not known", e, "supply: {busbar: {rating: 200 A, main: 200 A}}\ninverters: [{id: I, ac_current: 64 A}]", rating, notChecked, "supply.busbar.position"},
			{"centre-fed", c, bus("one end of a centre-fed busbar", "", at("32 A")), rating, within, ""},
		}...)
	}
	// What is only recalled stands beside the rules and relaxes none.
	cases = append(cases,
		metricCase{"held down", "us/nec-2023#busbar-power-control-opposite-end", bus(end, ", controlled_current: 32 A", at("64 A")), rating, within, ""},
		metricCase{"held down, by the sources", "us/nec-2023#busbar-opposite-end", bus(end, ", controlled_current: 32 A", at("64 A")), rating, outside, ""})
	judgeFacts(t, cases, nil)
}

// A published table prints 1.37 Ω for B 32 A, rounded up from 1.3656 Ω: a loop of
// 1.37 Ω is outside.
func TestLoopImpedance(t *testing.T) {
	t.Parallel()
	loop := func(measured, device string) string {
		return "supply: {system: TN-S}\nprotection:\n  - {id: Q, " + device + "}\ntests:\n  - {id: T, test: loop impedance, device: Q, low_resistance: " + measured + "}"
	}
	const of, b32 = "tests[T].low_resistance", "kind: circuit-breaker, curve: B, rating: {built: 32 A}"
	judgeFacts(t, []metricCase{
		{"as calculated", "uk/bs-7671-2018#loop-impedance", loop("1.3656 Ω", b32), of, within, ""},
		{"as printed", "uk/bs-7671-2018#loop-impedance", loop("1.37 Ω", b32), of, outside, ""},
		{"cold", "uk/bs-7671-2018#loop-impedance-cold", loop("1.0925 Ω", b32), of, within, ""},
		{"cold, warm figure", "uk/bs-7671-2018#loop-impedance-cold", loop("1.3656 Ω", b32), of, outside, ""},
		{"no allowance", "iec/60364#loop-impedance", loop("1.4375 Ω", b32), of, within, ""},
		{"no allowance, above", "iec/60364#loop-impedance", loop("1.438 Ω", b32), of, outside, ""},
		{"curve not known", "iec/60364#loop-impedance", loop("1 Ω", "kind: circuit-breaker, rating: {built: 32 A}"), of, notChecked, "protection[Q].curve"},
		{"fuse by its rating", "iec/60364#loop-impedance", loop("1 Ω", "kind: fuse, curve: gG, rating: {built: 32 A}"), of, notChecked, "protection[Q].operating_current"},
		{"no electrode too high", "uk/bs-7671-2018#touch-voltage", "supply: {system: TT, electrode_resistance: {built: 1667 Ω}}\nprotection: [{id: Q, kind: residual-current device, residual: 30 mA}]", "protection[Q].touch_voltage", outside, ""},
		{"at 50 V", "uk/bs-7671-2018#touch-voltage", "supply: {system: TT, electrode_resistance: {built: 500 Ω}}\nprotection: [{id: Q, kind: residual-current device, residual: 100 mA}]", "protection[Q].touch_voltage", within, ""},
	}, nil)
}

// In an island an inverter of 40 A trips a breaker B 6 A and no B 10 A.
func TestFaultInIsland(t *testing.T) {
	t.Parallel()
	island := func(device string) string {
		return "supply: {island: {changeover: automatic}}\ninverters: [{id: I, equipment: {built: x@A}}]\nprotection:\n  - {id: Q, kind: circuit-breaker, serves: backup circuits, inverter: I, " + device + "}"
	}
	const of = "protection[Q].trip_current"
	sheet := "package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: x: A: equipment.#Inverter & {title: \"Sheet\", edition: \"A\", ac: fault_current: \"40 A\"}\n"
	var cases []metricCase
	for _, set := range []string{"iec/60364", "uk/bs-7671-2018"} {
		l := set + "#island-fault-current"
		cases = append(cases,
			metricCase{"small device", l, island("curve: B, rating: {built: 6 A}, earth_faults_by: itself"), of, within, ""},
			metricCase{"at the current", l, island("curve: B, rating: {built: 8 A}, earth_faults_by: itself"), of, within, ""},
			metricCase{"too large", l, island("curve: B, rating: {built: 10 A}, earth_faults_by: itself"), of, outside, ""},
			metricCase{"behind a residual-current device", l, island("curve: C, rating: {built: 16 A}, earth_faults_by: residual-current device"), of, notApplicable, ""},
			metricCase{"not known by what", l, island("curve: B, rating: {built: 6 A}"), of, notChecked, "protection[Q].earth_faults_by"})
	}
	judgeFacts(t, cases, firm{"equipment/x.cue": sheet})
}

// A setting is no proof, and neither is a test that failed.
func TestExportIsProved(t *testing.T) {
	t.Parallel()
	const proved, of = "practice#export-proved", "supply.passed_export_tests"
	const set = "supply: {system: TN-S, export_allowed: 5 kW}\nconfiguration: {grid: {export_limit: 3.6 kW, locked: true}}\ninverters: [{id: I, power: 6 kW, export_limit: 3.6 kW}]\n"
	judgeFacts(t, []metricCase{
		{"set", "practice#export-allowed", set, "supply.export_power", within, ""},
		{"set, not proved", proved, set, of, outside, ""},
		{"failed", proved, set + "tests: [{id: T, test: export limit, result: failed, power: 6 kW}]", of, outside, ""},
		{"proved", proved, set + "tests: [{id: T, test: export limit, result: passed, power: 3.6 kW}]", of, within, ""},
		{"measured above", "practice#export-measured", set + "tests: [{id: T, test: export limit, result: passed, power: 5.1 kW}]", "tests[T].power", outside, ""},
		{"no limit recorded", "practice#export-allowed", "supply: {system: TN-S, export_allowed: 5 kW}\ninverters: [{id: I, power: 6 kW}]", "supply.export_power", outside, ""},
		{"together too much", "practice#export-allowed", set + "generation: [{id: G, power: 2 kW}]", "supply.export_power", outside, ""},
		{"not asked", proved, "supply: {system: TN-S}\ninverters: [{id: I, power: 6 kW}]", of, notChecked, "supply.export_allowed"},
	}, nil)
}

// A shutdown, an isolation and a dead cable are three facts: each alone leaves the
// others open.
func TestNoneOfThreeStandsForAnother(t *testing.T) {
	t.Parallel()
	const (
		proved, isolated, dead = "practice#shutdown-proved", "practice#worked-on-isolated", "practice#worked-on-dead"
		tests, by, lock, volts = "supply.passed_shutdown_tests", "conductors[c].isolated_by", "isolations[L].locked", "isolations[L].dead_test.voltage"

		button   = "supply: {shutdown: [{id: S, initiator: push button, makes_dead: [cable to the inverter], cable: dead}]}\n"
		pressed  = "tests: [{id: T, test: emergency shutdown, result: passed}]\n"
		bare     = "conductors: [{id: c, carries: dc, worked_on: true}]\n"
		cable    = "conductors: [{id: c, carries: dc, worked_on: true, isolated_by: L}]\n"
		locked   = "isolations: [{id: L, part: cable to the inverter, locked: true}]\n"
		measured = "isolations: [{id: L, part: cable to the inverter, dead_test: {voltage: 0.4 V, all_poles: true}}]\n"
		warm     = "isolations: [{id: L, part: cable to the inverter, locked: true, dead_test: {voltage: 48 V, all_poles: true}}]\n"
	)
	judgeFacts(t, []metricCase{
		{"button and press", proved, button + pressed + bare, tests, within, ""},
		{"button and press, not isolated", isolated, button + pressed + bare, by, notChecked, "conductors[c].isolated_by"},
		{"button and press, not dead", dead, button + pressed + bare, by, notChecked, "conductors[c].isolated_by"},
		{"a button alone proves nothing", proved, button + bare, tests, outside, ""},

		{"isolated", isolated, button + cable + locked, lock, within, ""},
		{"isolated, shutdown not proved", proved, button + cable + locked, tests, outside, ""},
		{"isolated, not dead", dead, button + cable + locked, volts, notChecked, "isolations[L].dead_test.voltage"},

		{"dead", dead, button + cable + measured, volts, within, ""},
		{"dead, shutdown not proved", proved, button + cable + measured, tests, outside, ""},
		{"dead, not isolated", isolated, button + cable + measured, lock, notChecked, "isolations[L].locked"},

		{"said to be dead, pressed, not measured", "practice#shutdown-cable-proved", button + pressed + bare, "supply.passed_dead_tests", outside, ""},
		{"said to be dead and measured", "practice#shutdown-cable-proved", button + "tests: [{id: T, test: dead cable, result: passed}]\n", "supply.passed_dead_tests", within, ""},
		{"isolated and still live", dead, button + cable + warm, volts, outside, ""},
		{"nobody worked on it", isolated, "conductors: [{id: c, carries: dc, worked_on: false}]", by, notApplicable, ""},
		{"what the button does to the cable is not known", "practice#shutdown-cable", "supply: {shutdown: [{id: S, initiator: push button, makes_dead: [cable to the inverter]}]}", "supply.shutdown[S].cable", notChecked, "supply.shutdown[S].cable"},
		{"live without a label", "practice#shutdown-cable", "supply: {shutdown: [{id: S, initiator: push button, cable: live}]}", "supply.shutdown[S].cable", outside, ""},
	}, nil)
}
