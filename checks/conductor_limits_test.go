package checks

import (
	"fmt"
	"testing"
)

// A switch, a residual-current device or a surge arrester is no overcurrent device:
// no limit on conductor and device is within by its rating, and practice says so.
func TestOnlyOvercurrentDevicesProtect(t *testing.T) {
	t.Parallel()
	facts := func(carries, kind string) string {
		if kind != "" {
			kind = "kind: " + kind + ", "
		}
		return "protection: [{id: Q, " + kind + "rating: 63 A, dc_rated: true}]\nconductors: [{id: c, carries: " + carries + ", current: 40 A, continuous: true, protected_by: Q}]"
	}
	const protects, rating = "practice#overcurrent-device-protects", "protection[Q].rating"
	var cases []metricCase
	for _, kind := range []string{"switch-disconnector", "residual-current device", "surge arrester"} {
		for _, carries := range []string{"dc", "ac"} {
			cases = append(cases,
				metricCase{kind + " " + carries, protects, facts(carries, kind), "protection[Q].kind", outside, ""},
				metricCase{kind + " " + carries, "practice#device-protects-conductor", facts(carries, kind), rating, notApplicable, ""},
				metricCase{kind + " " + carries, "iec/60364#device-protects-conductor", facts(carries, kind), rating, notApplicable, ""},
				metricCase{kind + " " + carries, "iec/60364#device-carries-design-current", facts(carries, kind), rating, notApplicable, ""},
				metricCase{kind + " " + carries, "uk/bs-7671-2018#device-protects-conductor", facts(carries, kind), rating, notApplicable, ""})
		}
		cases = append(cases,
			metricCase{kind, "us/nec-2017#overcurrent-device-size", facts("dc", kind), rating, notApplicable, ""},
			metricCase{kind, "us/nec-2023#overcurrent-device-size", facts("dc", kind), rating, notApplicable, ""},
			metricCase{kind, "us/nec-2017#dc-device-rated", facts("dc", kind), "protection[Q].dc_rated", notApplicable, ""},
			metricCase{kind, "us/nec-2023#dc-overcurrent-device", facts("dc", kind), "protection[Q].dc_rated", notApplicable, ""},
			metricCase{kind, "us/nec-2023#continuous-load-device", facts("ac", kind), rating, notApplicable, ""})
	}
	cases = append(cases,
		metricCase{"fuse", protects, facts("dc", "fuse"), "protection[Q].kind", within, ""},
		metricCase{"fuse", "iec/60364#device-carries-design-current", facts("dc", "fuse"), rating, within, ""},
		metricCase{"kind not known", protects, facts("dc", ""), "protection[Q].kind", notChecked, "protection[Q].kind"},
		metricCase{"kind not known", "iec/60364#device-carries-design-current", facts("dc", ""), rating, notChecked, "protection[Q].kind"})
	judgeFactsAt(t, "designed", cases, nil)
}

// The run of an inverter carries its output current, all the time.
func TestRunOfAnInverter(t *testing.T) {
	t.Parallel()
	run := func(current, device, output string) string {
		return "inverters: [{id: I, " + output + "}]\nprotection: [{id: Q, kind: circuit-breaker, rating: " + device + "}]\n" +
			"conductors: [{id: c, carries: ac, inverter: I, size: 8 AWG, material: copper, insulation: 75 °C, current: " + current + ", continuous: false, protected_by: Q, terminals: [{end: from, temperature: 75 °C}, {end: to, temperature: 75 °C}]}]"
	}
	const output, device = "practice#ac-conductor-carries-output", "-circuit-device"
	cases := []metricCase{
		{"all of it", output, run("32 A", "40 A", "ac_current: 32 A"), "conductors[c].current", within, ""},
		{"typed too small", output, run("20 A", "40 A", "ac_current: 32 A"), "conductors[c].current", outside, ""},
		{"output not known", output, run("20 A", "40 A", "power: 6 kW"), "conductors[c].current", notChecked, "inverters[I].ac_current"},
	}
	for _, edition := range []string{"us/nec-2017", "us/nec-2020", "us/nec-2023"} {
		cases = append(cases,
			metricCase{"125 %", edition + "#inverter" + device, run("10 A", "40 A", "ac_current: 32 A"), "protection[Q].rating", within, ""},
			metricCase{"said not to be continuous", edition + "#inverter" + device, run("10 A", "35 A", "ac_current: 32 A"), "protection[Q].rating", outside, ""},
			metricCase{"50 A at the terminals", edition + "#inverter-circuit-conductor", run("10 A", "40 A", "ac_current: 40 A"), "conductors[c].ampacity_at_terminals_nec", within, ""},
			metricCase{"50 A at the terminals", edition + "#inverter-circuit-conductor", run("10 A", "40 A", "ac_current: 40.1 A"), "conductors[c].ampacity_at_terminals_nec", outside, ""})
	}
	judgeFactsAt(t, "designed", cases, nil)
}

// A job under the British rules alone has design current, device and cable held
// against each other, and a job under none at all device and cable.
func TestDeviceAndCableWithoutOtherRules(t *testing.T) {
	t.Parallel()
	run := func(rating, current string) string {
		return "protection: [{id: Q, kind: fuse, rating: " + rating + ", fault_current: 4 kA, clearing_time: 200 ms}]\n" +
			"conductors:\n  - {id: c, carries: dc, size: 2.5 mm², material: copper, method: B1, insulation_type: PVC, insulation: 70 °C, ambient: 30 °C, grouped: 1, current: " + current + ", protected_by: Q}\n" +
			"  - {id: p, carries: protective earth, size: 1.5 mm², material: copper, protects: c}"
	}
	const rating = "protection[Q].rating"
	american := func(device string) string {
		return "protection: [{id: Q, kind: fuse, rating: " + device + "}]\nconductors: [{id: c, carries: dc, size: 4 AWG, material: copper, insulation: 75 °C, ambient: 30 °C, current_carrying: 4, current: 50 A, protected_by: Q, terminals: [{end: from, temperature: 75 °C}, {end: to, temperature: 75 °C}]}]"
	}
	judgeFactsAt(t, "designed", []metricCase{
		{"24 A of cable", "uk/bs-7671-2018#device-protects-conductor", run("20 A", "16 A"), rating, within, ""},
		{"24 A of cable", "uk/bs-7671-2018#device-protects-conductor", run("25 A", "16 A"), rating, outside, ""},
		{"design current", "uk/bs-7671-2018#device-carries-design-current", run("20 A", "25 A"), rating, outside, ""},
		{"4 kA for 0.2 s", "uk/bs-7671-2018#conductor-stands-fault", run("20 A", "16 A"), "conductors[c].size", outside, ""},
		{"thinner than the line", "uk/bs-7671-2018#protective-conductor-size", run("20 A", "16 A"), "conductors[p].size", outside, ""},
		{"24 A of cable", "practice#device-protects-conductor", run("20 A", "16 A"), rating, within, ""},
		{"24 A of cable", "practice#device-protects-conductor", run("25 A", "16 A"), rating, outside, ""},
		{"68 A, next standard rating", "practice#device-protects-conductor", american("70 A"), rating, within, ""},
		{"68 A, the one after", "practice#device-protects-conductor", american("80 A"), rating, outside, ""},
		{"12 AWG is the first", "us/nec-2017#smallest-copper-clad", "conductors: [{id: c, carries: dc, size: 14 AWG, material: copper-clad aluminium}]", "conductors[c].size", outside, ""},
		{"12 AWG is the first", "us/nec-2020#smallest-copper-clad", "conductors: [{id: c, carries: dc, size: 12 AWG, material: copper-clad aluminium}]", "conductors[c].size", within, ""},
	}, nil)
}

// What stacks feed and carry together counts for the run and the devices that they
// share, and in every edition.
func TestStacksTogether(t *testing.T) {
	t.Parallel()
	const of = "protection[F].breaking_capacity"
	stacks := fmt.Sprintf(jobOfTwo, "modules: 6", "modules: 6", "")
	device := func(more string) string { return stacks + "protection: [{id: F, kind: fuse, " + more + "}]" }
	run := func(more string) string {
		return stacks + "protection: [{id: F, kind: fuse, rating: 125 A}]\nconductors: [{id: m, carries: dc, size: 2 AWG, material: copper, insulation: 75 °C, ambient: 30 °C, current_carrying: 2, protected_by: F, terminals: [{end: from, temperature: 75 °C}, {end: to, temperature: 75 °C}], " + more + "}]"
	}
	// Each stack: 345.6 V over 108 mΩ, 3.2 kA.
	var cases []metricCase
	for _, edition := range []string{"us/nec-2017", "us/nec-2020", "us/nec-2023"} {
		one, common, ampacity := edition+"#dc-device-breaking-capacity", edition+"#dc-device-breaking-capacity-common", edition+"#storage-conductor-ampacity"
		carries := "conductors[m].ampacity_nec_2020"
		if edition == "us/nec-2023" {
			carries = "conductors[m].ampacity_nec"
		}
		cases = append(cases,
			metricCase{"the other stack", one, device("serves: one stack, stack: A, breaking_capacity: 3.1 kA"), of, outside, ""},
			metricCase{"the other stack", one, device("serves: one stack, stack: A, breaking_capacity: 3.2 kA"), of, within, ""},
			metricCase{"both", common, device("serves: several stacks together, unit: U, breaking_capacity: 6.3 kA"), of, outside, ""},
			metricCase{"both", common, device("serves: several stacks together, unit: U, breaking_capacity: 6.4 kA"), of, within, ""},
			metricCase{"not known which", common, device("unit: U, breaking_capacity: 6.3 kA"), of, notChecked, "protection[F].serves"},
			metricCase{"115 A for 125 A", ampacity, run("serves: several stacks together, inverter: I, current: 50 A"), carries, outside, ""},
			metricCase{"whose stacks is not known", ampacity, run("serves: several stacks together, current: 50 A"), carries, notChecked, "conductors[m].inverter"},
			metricCase{"whose stack is not known", ampacity, run("serves: one stack, current: 50 A"), carries, notChecked, "conductors[m].stack"})
	}
	cases = append(cases,
		metricCase{"at the inverter", "practice#breaking-capacity-inverter", device("serves: inverter DC side, inverter: I, breaking_capacity: 6.3 kA"), of, outside, ""},
		metricCase{"at the inverter", "practice#breaking-capacity-inverter", device("serves: inverter DC side, inverter: I, breaking_capacity: 6.4 kA"), of, within, ""},
		metricCase{"for maintenance", "practice#breaking-capacity-maintenance", device("serves: maintenance of a stack, stack: A, breaking_capacity: 3.1 kA"), of, outside, ""},
		metricCase{"one stack's current", "practice#common-conductor-carries-stacks", run("serves: several stacks together, inverter: I, current: 50 A"), "conductors[m].current", outside, ""},
		metricCase{"both", "practice#common-conductor-carries-stacks", run("serves: several stacks together, inverter: I, current: 100 A"), "conductors[m].current", within, ""})
	judgeFactsAt(t, "designed", cases, firm{"equipment/series.cue": seriesStack, "equipment/plain.cue": plainInverter})
}

// Between 19 and 23 mm above a roof the older editions count its heat, and the
// newest does not.
func TestHeightAboveRoof(t *testing.T) {
	t.Parallel()
	run := func(height string) string {
		return "protection: [{id: F, kind: fuse, rating: 40 A}]\nconductors: [{id: c, carries: dc, size: 10 AWG, material: copper, insulation: 90 °C, insulation_type: THHN, ambient: 35 °C, current_carrying: 2, above_roof: " + height + ", current: 30 A, protected_by: F, terminals: [{end: from, temperature: 75 °C}, {end: to, temperature: 75 °C}]}]"
	}
	const limit, of = "#ampacity-at-least-the-current", "conductors[c].current"
	judgeFactsAt(t, "designed", []metricCase{
		{"18 mm", "us/nec-2023" + limit, run("18 mm"), of, outside, ""},
		{"20 mm", "us/nec-2023" + limit, run("20 mm"), of, within, ""},
		{"20 mm", "us/nec-2020" + limit, run("20 mm"), of, outside, ""},
		{"22.9 mm", "us/nec-2017" + limit, run("22.9 mm"), of, outside, ""},
		{"23 mm", "us/nec-2017" + limit, run("23 mm"), of, within, ""},
		{"in the sun", "practice#cable-out-of-the-sun", "conductors: [{id: c, carries: dc, laid: in free air, in_sun: true}]", "conductors[c].in_sun", outside, ""},
		{"not recorded", "practice#cable-out-of-the-sun", "conductors: [{id: c, carries: dc, laid: clipped to a surface}]", "conductors[c].in_sun", notChecked, "conductors[c].in_sun"},
		{"in a wall", "practice#cable-out-of-the-sun", "conductors: [{id: c, carries: dc, laid: in a wall}]", "conductors[c].in_sun", notApplicable, ""},
		{"its device", "us/nec-2017#device-protects-conductor", run("20 mm"), "protection[F].rating", outside, ""},
	}, nil)
}
