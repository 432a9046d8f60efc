package checks

import (
	"fmt"
	"testing"
)

// In a TT system a breaker that itself cuts off faults to earth is held to the loop
// through both electrodes, and a residual-current device that is named must exist.
func TestEarthFaultsInTT(t *testing.T) {
	t.Parallel()
	const (
		measured, most, devices = "tests[T].low_resistance", "protection[Q].loop_impedance_most", "supply.residual_devices"

		b16 = "kind: circuit-breaker, serves: inverter grid side, curve: B, rating: {built: 16 A}"
	)
	tt := func(supply, device, more string) string {
		return "supply: {system: TT" + supply + "}\nprotection:\n  - {id: Q, " + device + "}\n" + more
	}
	loop := func(r, device string) string {
		return tt("", device, "tests: [{id: T, test: loop impedance, device: Q, low_resistance: "+r+"}]")
	}
	const itself, rcd = b16 + ", earth_faults_by: itself", b16 + ", earth_faults_by: residual-current device"
	cases := []metricCase{
		{"not known by what", "iec/60364#loop-impedance-tt", loop("1 Ω", b16), measured, notChecked, "protection[Q].earth_faults_by"},
		{"230 V by 80 A", "iec/60364#loop-impedance-tt", loop("2.875 Ω", itself), measured, within, ""},
		{"an electrode in the loop", "iec/60364#loop-impedance-tt", loop("22 Ω", itself), measured, outside, ""},
		{"cold", "iec/60364#loop-impedance-tt-cold", loop("2.875 Ω", itself), measured, outside, ""},
		{"with Cmin", "uk/bs-7671-2018#loop-impedance-tt", loop("2.73125 Ω", itself), measured, within, ""},
		{"above it", "uk/bs-7671-2018#loop-impedance-tt", loop("2.732 Ω", itself), measured, outside, ""},
		{"cold", "uk/bs-7671-2018#loop-impedance-tt-cold", loop("2.2 Ω", itself), measured, outside, ""},
		{"held by the other device", "uk/bs-7671-2018#loop-impedance-tt", loop("22 Ω", rcd), measured, notApplicable, ""},
	}
	for _, set := range []string{"iec/60364", "uk/bs-7671-2018"} {
		external, device := set+"#external-loop-impedance-tt", set+"#residual-current-device-tt"
		cases = append(cases,
			metricCase{"not silent", external, tt("", b16, ""), most, notChecked, "protection[Q].earth_faults_by"},
			metricCase{"loop not known", external, tt("", itself, ""), most, notChecked, "supply.loop_impedance"},
			metricCase{"loop too large", external, tt(", loop_impedance: 21 Ω", itself, ""), most, outside, ""},
			metricCase{"loop small", external, tt(", loop_impedance: 2 Ω", itself, ""), most, within, ""},
			metricCase{"named and not there", device, tt("", rcd, ""), devices, outside, ""},
			metricCase{"named and there", device, tt("", rcd, "  - {id: R, kind: residual-current device}\n"), devices, within, ""},
			metricCase{"not known whether one is named", device, tt("", b16, ""), devices, notChecked, "protection[Q].earth_faults_by"})
	}
	judgeFacts(t, cases, nil)
}

// What stands on alternating current is held to the voltage between the lines.
func TestVoltagesOnAC(t *testing.T) {
	t.Parallel()
	const supply = "supply: {system: TN-S, phases: three-phase, voltage: 400 V}\n"
	device := func(more string) string { return supply + "protection: [{id: Q, " + more + "}]" }
	const cable, plug, of = "conductors[c].insulation_voltage", "connectors[k].voltage", "protection[Q].voltage"
	judgeFacts(t, []metricCase{
		{"insulation", "practice#ac-insulation-by-supply-voltage", supply + "conductors: [{id: c, carries: ac, insulation_voltage: 300 V}]", cable, outside, ""},
		{"insulation", "practice#ac-insulation-by-supply-voltage", supply + "conductors: [{id: c, carries: ac, insulation_voltage: 400 V}]", cable, within, ""},
		{"voltage not known", "practice#ac-insulation-by-supply-voltage", "supply: {system: TN-S}\nconductors: [{id: c, carries: ac, insulation_voltage: 300 V}]", cable, notChecked, "supply.voltage"},
		{"on direct current", "practice#ac-insulation-by-supply-voltage", supply + "conductors: [{id: c, carries: dc, insulation_voltage: 300 V}]", cable, notApplicable, ""},
		{"connector", "practice#ac-connector-by-supply-voltage", supply + "conductors: [{id: c, carries: ac}]\nconnectors: [{id: k, conductor: c, voltage: 250 V}]", plug, outside, ""},
		{"device", "practice#ac-device-by-supply-voltage", device("kind: circuit-breaker, serves: inverter grid side, voltage: 230 V"), of, outside, ""},
		{"device", "practice#ac-device-by-supply-voltage", device("kind: circuit-breaker, serves: inverter grid side, voltage: 400 V"), of, within, ""},
		{"not recorded", "practice#ac-device-by-supply-voltage", device("kind: circuit-breaker, serves: inverter grid side"), of, notChecked, of},
		{"surge arrester", "practice#ac-device-by-supply-voltage", device("kind: surge arrester, serves: inverter grid side, voltage: 275 V"), of, notApplicable, ""},
	}, nil)
}

// A fault current on paper that is lower than what the supply feeds is a finding.
func TestFaultCurrentOfSupply(t *testing.T) {
	t.Parallel()
	const of = "protection[Q].fault_current"
	device := func(more string) string {
		return "supply: {system: TN-S, fault_current: 6 kA}\nprotection: [{id: Q, kind: circuit-breaker, " + more + "}]"
	}
	judgeFacts(t, []metricCase{
		{"main device", "practice#recorded-fault-current-whole", device("serves: whole installation, fault_current: 3 kA"), of, outside, ""},
		{"main device", "practice#recorded-fault-current-whole", device("serves: whole installation, fault_current: 6 kA"), of, within, ""},
		{"at the switchboard", "practice#recorded-fault-current-switchboard", device("serves: inverter grid side, place: main switchboard, fault_current: 3 kA"), of, outside, ""},
		{"elsewhere", "practice#recorded-fault-current-switchboard", device("serves: inverter grid side, place: at the inverter, fault_current: 3 kA"), of, notApplicable, ""},
		{"supply not known", "practice#recorded-fault-current-whole", "supply: {system: TN-S}\nprotection: [{id: Q, kind: fuse, serves: whole installation, fault_current: 3 kA}]", of, notChecked, "supply.fault_current"},
	}, nil)
}

// Existing storage that stays feeds too, and what nobody recorded is not 0 A.
func TestSourcesThatAreNotKnown(t *testing.T) {
	t.Parallel()
	const (
		feedIn, demand, busbar, service = "practice#feed-in-within-main-fuse", "practice#demand-within-main-fuse", "us/nec-2023#busbar-any-position", "us/nec-2023#sources-within-service"

		sources, charging, rating = "supply.sources", "supply.demand_with_storage", "supply.busbar.rating"

		supply  = "supply: {system: TN-S, main_fuse: 40 A, maximum_demand: 10 A, busbar: {rating: 90 A, main: 40 A, position: anywhere}}\n"
		inverts = supply + "inverters: [{id: I, ac_current: 26 A}]\n"
		tapped  = "supply: {system: solidly grounded, busbar: {main: 40 A, position: supply side of the main}}\ninverters: [{id: I, ac_current: 26 A}]\n"
	)
	existing := func(more string) string { return "existing: [{id: E" + more + "}]" }
	const waits = "existing[E].ac_current"
	judgeFacts(t, []metricCase{
		{"inverter alone", feedIn, inverts, sources, within, ""},
		{"nothing recorded", feedIn, supply, sources, notChecked, ""},
		{"existing storage of no known current", feedIn, inverts + existing(", stays: true"), sources, notChecked, waits},
		{"perhaps it stays", feedIn, inverts + existing(""), sources, notChecked, waits},
		{"it goes", feedIn, inverts + existing(", stays: false"), sources, within, ""},
		{"together too much", feedIn, inverts + existing(", ac_current: 16 A"), sources, outside, ""},
		{"nothing recorded that charges", demand, supply + "generation: [{id: G, current: 5 A}]", charging, notChecked, ""},
		{"existing storage of no known current", demand, inverts + existing(""), charging, notChecked, waits},
		{"it charges too", demand, inverts + existing(", ac_current: 16 A"), charging, outside, ""},
		{"inverter on the busbar", busbar, inverts, rating, within, ""},
		{"nothing recorded on the busbar", busbar, supply, rating, notChecked, ""},
		{"existing storage on the busbar", busbar, inverts + existing(""), rating, notChecked, waits},
		{"existing storage on the busbar", busbar, inverts + existing(", ac_current: 16 A"), rating, outside, ""},
		{"within the service", service, tapped, sources, within, ""},
		{"more than the service", service, tapped + "generation: [{id: G, current: 15 A}]", sources, outside, ""},
		{"on the busbar", service, inverts, sources, notApplicable, ""},
	}, nil)
}

// A site that never had a grid is held to what an island needs, whatever is recorded
// of a changeover.
func TestIslandWithoutGrid(t *testing.T) {
	t.Parallel()
	const link, own, of = "supply.island.neutral_earth_link", "supply.island.own_electrode", "supply.island.disconnection_time"
	site := func(system, island string) string {
		return "supply: {system: " + system + ", island: {" + island + "}}"
	}
	var cases []metricCase
	for _, set := range []string{"iec/60364#", "uk/bs-7671-2018#"} {
		links, owns, time := set+"island-neutral-earth-link-without-grid", set+"island-own-electrode-without-grid", set+"island-disconnection-120-230-without-grid"
		cases = append(cases,
			metricCase{"no link", links, site("island", "changeover: none, neutral_earth_link: none"), link, outside, ""},
			metricCase{"joined for good", links, site("island", "neutral_earth_link: always closed"), link, within, ""},
			metricCase{"link not recorded", links, "supply: {system: island}", link, notChecked, link},
			metricCase{"on a grid", links, site("TN-S", "neutral_earth_link: none"), link, notApplicable, ""},
			metricCase{"no electrode", owns, site("island", "own_electrode: false"), own, outside, ""},
			metricCase{"too slow", time, site("island", "neutral_earth_link: always closed, disconnection_time: 401 ms"), of, outside, ""},
			metricCase{"in time", time, site("island", "neutral_earth_link: always closed, disconnection_time: 400 ms"), of, within, ""},
			metricCase{"time not recorded", time, site("island", "neutral_earth_link: always closed"), of, notChecked, of})
	}
	judgeFacts(t, cases, nil)
}

// Each voltage to earth has a time in the island: none falls between two rows.
func TestIslandDisconnectionAtEachVoltage(t *testing.T) {
	t.Parallel()
	const of = "supply.island.disconnection_time"
	var cases []metricCase
	at := func(volts, supply, ms string) string {
		return fmt.Sprintf("premises: {id: q-%d, supply_voltage: %s}\nsupply: {%sneutral_earth_link: closed in island operation, disconnection_time: %s}}", len(cases), volts, supply, ms)
	}
	for where, supply := range map[string]string{"": "system: TN-S, island: {changeover: automatic, ", "-without-grid": "system: island, island: {"} {
		for _, set := range []string{"iec/60364#", "uk/bs-7671-2018#"} {
			for _, c := range []struct{ band, volts, in, out string }{
				{"50-120", "110 V", "800 ms", "801 ms"}, {"50-120", "120 V", "800 ms", "801 ms"}, {"120-230", "230 V", "400 ms", "401 ms"},
				{"230-400", "240 V", "200 ms", "201 ms"}, {"230-400", "400 V", "200 ms", "201 ms"}, {"above-400", "401 V", "100 ms", "101 ms"},
			} {
				name := set + "island-disconnection-" + c.band + where
				cases = append(cases, metricCase{c.volts, name, at(c.volts, supply, c.in), of, within, ""})
				cases = append(cases, metricCase{c.volts, name, at(c.volts, supply, c.out), of, outside, ""})
			}
		}
	}
	judgeFacts(t, cases, nil)
}
