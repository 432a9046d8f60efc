package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/judge"
)

// What a job records of a device or a cable, against the datasheet of the product it
// names: a figure that the product does not have would carry every other limit.
func TestRecordedAsTheProductStates(t *testing.T) {
	t.Parallel()
	sheet := func(kind, figures string) string {
		return "package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: NAME: A: equipment.#" + kind + " & {\n\ttitle: \"Sheet\", edition: \"A\"\n\t" + figures + "\n}\n"
	}
	f := firm{}
	for name, text := range map[string]string{
		"fuse":    sheet("Protection", `device: "fuse", rating: "50 A", dc: {voltage: "600 V", breaking_capacity: "10 kA"}`),
		"ac-fuse": sheet("Protection", `device: "fuse", rating: "50 A", ac: {voltage: "400 V", breaking_capacity: "6 kA"}`),
		"breaker": sheet("Protection", `device: "circuit-breaker", rating: "63 A", ac: {voltage: "400 V", breaking_capacity: "6 kA"}`),
		"rcd":     sheet("Protection", `device: "residual-current device", rating: "40 A", rcd_type: "A", residual: "30 mA"`),
		"switch":  sheet("Protection", `device: "switch-disconnector", rating: "63 A", dc: voltage: "600 V"`),
		"cable":   sheet("Conductor", `size: "16 mm²", material: "copper", temperature: "70 °C", voltage: "750 V"`),
		"bare":    sheet("Conductor", `size: "16 mm²"`),
	} {
		f["equipment/"+name+".cue"] = strings.Replace(text, "NAME", `"`+name+`"`, 1)
	}
	device := func(facts string) string { return "protection: [{id: F, " + facts + "}]" }
	cable := func(facts string) string { return "conductors: [{id: c, carries: dc, " + facts + "}]" }
	const (
		fuse, acFuse, breaker = "equipment: {built: fuse@A}, serves: one stack, ", "equipment: {built: ac-fuse@A}, serves: one stack, ", "equipment: {built: breaker@A}, serves: inverter grid side, "
		rcd, open, laid, bare = "equipment: {built: rcd@A}, ", "equipment: {built: switch@A}, serves: maintenance of a stack, ", "equipment: cable@A, ", "equipment: bare@A, "
		volts, breaks, amps   = "protection[F].voltage", "protection[F].breaking_capacity", "protection[F].rating"
	)
	var cases []metricCase
	add := func(l, of, name, facts string, kind judge.Kind, absent string) {
		cases = append(cases, metricCase{name, "practice#" + l, facts, of, kind, absent})
	}
	add("device-dc-voltage-as-stated", volts, "what the datasheet states", device(fuse+"voltage: 600 V"), within, "")
	add("device-dc-voltage-as-stated", volts, "more than the datasheet states", device(fuse+"voltage: 601 V"), outside, "")
	add("device-dc-voltage-as-stated", volts, "another unit", device(fuse+"voltage: 0.5 kV"), within, "")
	add("device-dc-voltage-as-stated", volts, "a datasheet for alternating current alone", device(acFuse+"voltage: 400 V"), notChecked, "ac-fuse@A.dc.voltage")
	add("device-dc-voltage-as-stated", volts, "not recorded", device(strings.TrimSuffix(fuse, ", ")), notChecked, volts)
	add("device-dc-voltage-as-stated", volts, "no product", device("serves: one stack, voltage: 600 V"), notApplicable, "")
	add("device-dc-voltage-as-stated", volts, "a switch", device(open+"voltage: 800 V"), outside, "")
	add("device-ac-voltage-as-stated", volts, "on the grid side", device(breaker+"voltage: 500 V"), outside, "")
	add("device-ac-voltage-as-stated", volts, "at the stack", device(fuse+"voltage: 500 V"), notApplicable, "")
	add("device-dc-breaking-capacity-as-stated", breaks, "what the datasheet states", device(fuse+"breaking_capacity: 10 kA"), within, "")
	add("device-dc-breaking-capacity-as-stated", breaks, "more", device(fuse+"breaking_capacity: 10.1 kA"), outside, "")
	add("device-dc-breaking-capacity-as-stated", breaks, "a switch has none", device(open+"breaking_capacity: 10 kA"), notApplicable, "")
	add("device-ac-breaking-capacity-as-stated", breaks, "more on the grid side", device(breaker+"breaking_capacity: 10 kA"), outside, "")
	add("device-ac-breaking-capacity-as-stated", breaks, "what the datasheet states", device(breaker+"breaking_capacity: 6 kA"), within, "")
	add("device-rating-as-stated", amps, "set below its rating", device(breaker+"rating: {built: 50 A}"), within, "")
	add("device-rating-as-stated", amps, "above its rating", device(breaker+"rating: {built: 80 A}"), outside, "")
	add("device-rating-not-below-stated", amps, "a fuse cannot be set", device(fuse+"rating: {built: 40 A}"), outside, "")
	add("device-rating-not-below-stated", amps, "its rating", device(fuse+"rating: {built: 50 A}"), within, "")
	add("device-rating-not-below-stated", amps, "a breaker can be set", device(breaker+"rating: {built: 40 A}"), notApplicable, "")
	add("device-kind-as-stated", "protection[F].kind", "a fuse", device(fuse+"kind: fuse"), within, "")
	add("device-kind-as-stated", "protection[F].kind", "a switch recorded as a breaker", device(open+"kind: circuit-breaker"), outside, "")
	add("device-kind-as-stated-breaker", "protection[F].kind", "a breaker as what it is", device(breaker+"kind: circuit-breaker"), within, "")
	add("device-kind-as-stated-breaker", "protection[F].kind", "with an overcurrent release", device(rcd+"kind: circuit-breaker"), within, "")
	add("device-kind-as-stated-breaker", "protection[F].kind", "a breaker recorded as a fuse", device(breaker+"kind: fuse"), outside, "")
	add("device-residual-type-as-stated", "protection[F].rcd_type", "its type", device(rcd+"rcd_type: A"), within, "")
	add("device-residual-type-as-stated", "protection[F].rcd_type", "a type that it is not", device(rcd+"rcd_type: B"), outside, "")
	add("device-residual-type-as-stated", "protection[F].rcd_type", "a breaker has none", device(breaker+"rcd_type: B"), notApplicable, "")
	add("device-residual-current-as-stated", "protection[F].residual", "what it trips at", device(rcd+"residual: 30 mA"), within, "")
	add("device-residual-current-as-stated", "protection[F].residual", "less than it trips at", device(rcd+"residual: 10 mA"), outside, "")
	add("conductor-insulation-temperature-as-stated", "conductors[c].insulation", "as stated", cable(laid+"insulation: 70 °C"), within, "")
	add("conductor-insulation-temperature-as-stated", "conductors[c].insulation", "hotter", cable(laid+"insulation: 90 °C"), outside, "")
	add("conductor-insulation-temperature-as-stated", "conductors[c].insulation", "a datasheet that says little", cable(bare+"insulation: 90 °C"), notChecked, "bare@A.temperature")
	add("conductor-insulation-voltage-as-stated", "conductors[c].insulation_voltage", "more", cable(laid+"insulation_voltage: 1000 V"), outside, "")
	add("conductor-insulation-voltage-as-stated", "conductors[c].insulation_voltage", "no product", cable("insulation_voltage: 1000 V"), notApplicable, "")
	add("conductor-size-as-stated", "conductors[c].size", "as stated", cable(laid+"size: {built: 16 mm²}"), within, "")
	add("conductor-size-as-stated", "conductors[c].size", "thicker", cable(laid+"size: {built: 25 mm²}"), outside, "")
	add("conductor-size-as-stated", "conductors[c].size", "thinner, which is only careful", cable(laid+"size: {built: 10 mm²}"), within, "")
	add("conductor-material-as-stated", "conductors[c].material", "another metal", cable(laid+"material: {built: aluminium}"), outside, "")
	add("conductor-material-as-stated", "conductors[c].material", "as stated", cable(laid+"material: {built: copper}"), within, "")
	// A product that is too weak stays outside what is asked of the device, since another
	// could be chosen: the two limits do not contradict each other.
	cases = append(cases, metricCase{"the product is too weak", "practice#ac-device-by-supply-voltage", "supply: {voltage: 480 V}\n" + device(breaker+"kind: circuit-breaker, voltage: 400 V"), volts, outside, ""})
	// So does what the datasheet of the product limits itself.
	f["equipment/limited.cue"] = strings.Replace(sheet("Protection", `device: "circuit-breaker", limits: "fault": {measure: "protection.fault_current", within: <=6, unit: "kA", clause: "1", grade: "document", reviewed: "2026-01-01", review_by: "2027-01-01", why: "Because."}`), "NAME", "limited", 1)
	cases = append(cases, metricCase{"more than the product may meet", "practice#recorded-fault-current-whole", "supply: {system: TT, fault_current: 8 kA}\n" + device("equipment: {built: limited@A}, serves: whole installation, fault_current: 3 kA"), "protection[F].fault_current", outside, ""})
	judgeFacts(t, cases, f)
}

// The number of modules that is recorded against those that are listed: voltage and
// energy go by the number. One that was taken out, or stores nothing, is none of them.
func TestModulesAsListed(t *testing.T) {
	t.Parallel()
	const below, above, of = "practice#modules-not-below-listed", "practice#modules-not-above-listed", "stacks[A].modules"
	stack := func(n, slots string) string {
		return "stacks: [{id: A, modules: {built: " + n + "}, slots: [" + slots + "]}]"
	}
	const three = "{slot: 1}, {slot: 2}, {slot: 3, role: storage}"
	var cases []metricCase
	for _, l := range []string{below, above} {
		cases = append(cases,
			metricCase{"as many", l, stack("3", three), of, within, ""},
			metricCase{"a controller and one taken out", l, stack("3", three+", {slot: 4, role: controller}, {slot: 3a, removed_on: 2020-01-01}"), of, within, ""},
			metricCase{"none is listed", l, "stacks: [{id: A, modules: {built: 3}}]", of, notApplicable, ""},
			metricCase{"no number", l, "stacks: [{id: A, slots: [" + three + "]}]", of, notChecked, of})
	}
	judgeFacts(t, append(cases,
		metricCase{"one more is listed", below, stack("2", three), of, outside, ""},
		metricCase{"one more is listed", above, stack("2", three), of, within, ""},
		metricCase{"one less is listed", below, stack("4", three), of, within, ""},
		metricCase{"one less is listed", above, stack("4", three), of, outside, ""}), nil)
	judgeFactsAt(t, "designed", []metricCase{{"nothing stands yet", below, "stacks: [{id: A, modules: 4, slots: [" + three + "]}]", of, notApplicable, ""}}, nil)
}

// A tester whose leads are swapped shows a live cable with a minus; and what else is
// written below zero for no reason but a sign is not taken for little.
func TestSignsHideNothing(t *testing.T) {
	t.Parallel()
	dead := func(volts string) string {
		return "isolations: [{id: i, part: cable to the inverter, waited: 5 min, dead_test: {voltage: " + volts + "}}]\nconductors: [{id: c, carries: dc, worked_on: true, isolated_by: i}]"
	}
	const of = "isolations[i].dead_test.voltage"
	judgeFacts(t, []metricCase{
		{"dead", "practice#worked-on-dead", dead("0.4 V"), of, within, ""},
		{"dead, with a minus", "practice#worked-on-dead", dead("-5 V"), of, within, ""},
		{"live", "practice#worked-on-dead", dead("345 V"), of, outside, ""},
		{"live, the leads swapped", "practice#worked-on-dead", dead("-345 V"), of, outside, ""},
		{"capacitors, the leads swapped", "us/nec-2023#capacitors-discharged", dead("-51 V"), of, outside, ""},
	}, nil)
	f := firm{"witnessmark.cue": rootFile, "jobs/1.yaml": "job: J\nstage: energised\npremises: {id: p, occupancy: dwelling}\nsupply: {system: TT, export_allowed: 4 kW}\n" +
		"tests: [{id: t, test: export limit, power: -5 kW}]\ninverters: [{id: I, export_limit: -3 kW, power: 5 kW, dc_setting: {discharge: -200 A}}]\n"}
	run, out := lint(t, f)
	assert.Len(t, run.Problems, 3, "%v", run.Problems)
	for _, line := range []string{"practice#export-measured tests[t].power", "practice#export-allowed supply.export_power"} {
		assert.Equal(t, notChecked.String(), out.full["jobs/1.yaml "+line].kind.String(), line)
	}
}

// Line and load marked on a device that storage charges and discharges through; where no
// job records the direction nothing is asked.
func TestDeviceBothWays(t *testing.T) {
	t.Parallel()
	const l, of = "practice#device-both-ways", "protection[F].both_ways"
	device := func(facts string) string {
		return "protection: [{id: F, kind: circuit-breaker" + facts + "}, {id: G, both_ways: true}]"
	}
	judgeFacts(t, []metricCase{
		{"both ways", l, device(", serves: inverter grid side, both_ways: true"), of, within, ""},
		{"one way at the grid", l, device(", serves: inverter grid side, both_ways: false"), of, outside, ""},
		{"one way at a stack", l, device(", serves: one stack, both_ways: false"), of, outside, ""},
		{"of another it is recorded", l, device(", serves: one stack"), of, notChecked, of},
		{"whole installation", l, device(", serves: whole installation, both_ways: false"), of, notApplicable, ""},
		{"nothing recorded", l, "protection: [{id: F, kind: circuit-breaker, serves: one stack}]", of, notApplicable, ""},
	}, nil)
}
