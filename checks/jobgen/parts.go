package jobgen

import "fmt"

func (a *author) wiring() {
	a.inverter()
	a.conductors()
	a.devices()
	a.supply()
}

func (a *author) inverter() {
	serial := ""
	if a.stage >= installed && !a.slip(15) {
		serial = fmt.Sprintf(", serial: S%05d", a.number)
	}
	a.line("\ninverters:")
	a.line("  - {id: inv, location: place, equipment: %s, phases: split-phase, coupling: dc-coupled, dc_earthing: functionally grounded, power: %d.6 kW, ac_current: %d A,",
		a.fitted("selmar@B"), 5+a.IntN(3), 24+a.IntN(9))
	a.line("     charging_current: 20 A, feeds_busbar: true, forms_island: true, dc_window: {low: 120 V, high: 600 V}%s}", serial)
}

// conductors are a run of direct current for each stack, the grid side of the
// inverter, and the protective conductor. Sizes are in AWG whatever the tape of
// the installer shows: the tables of the code these jobs name have no others.
func (a *author) conductors() {
	a.line("conductors:")
	for _, id := range a.stacks {
		length := fmt.Sprintf("%d.%d m", 5+a.IntN(4), a.IntN(10))
		if len(a.stacks) > 1 && !a.slip(10) {
			length = "6.2 m" // cables of stacks in parallel are cut alike
		}
		size := pick(a, []string{"6 AWG", "6 AWG", "4 AWG"})
		if a.slip(12) {
			size = "10 AWG" // what was on the drum
		}
		a.run("dc-"+id, "dc, stack: "+id+", serves: one stack", "6 AWG", size, length, 28+a.IntN(8), "F-"+id)
	}
	a.run("ac", "ac, several_outlets: false", "6 AWG", "6 AWG", "9.5 m", 24+a.IntN(9), "F-ac")
	size := "10 AWG"
	if a.slip(20) {
		size = "12 AWG"
	}
	a.line("  - {id: pe, carries: protective earth, protects: ac, size: %s, material: %s, insulation: 90 °C, length: %s, laid: in conduit, raceway: %s, parallel: %s}",
		a.site("10 AWG", size), a.fitted("copper"), a.site("8 m", "8.4 m"), a.fitted("plastic conduit"), a.fitted("1"))
}

func (a *author) run(id, carries, size, built, length string, current int, device string) {
	a.line("  - {id: %s, carries: %s, inverter: inv, size: %s, material: %s, insulation: 90 °C, insulation_type: THWN-2, insulation_voltage: 1000 V,",
		id, carries, a.site(size, built), a.fitted("copper"))
	a.line("     length: %s, laid: in conduit, raceway: %s, current_carrying: %s, parallel: %s, through_wall: false, worked_on: false,",
		a.site("6 m", length), a.fitted("plastic conduit"), a.fitted("2"), a.fitted("1"))
	ambient := fmt.Sprintf("ambient: %d °C, ", 30+a.IntN(10))
	if a.slip(25) {
		ambient = "" // nobody thought of the loft
	}
	a.line("     %scontinuous: true, current: %d A, protected_by: %s,", ambient, current, device)
	a.line("     terminals: [{end: from, smallest: 10 AWG, largest: 2 AWG, temperature: 75 °C}, {end: to, smallest: 8 AWG, largest: 2 AWG, temperature: %d °C}]}",
		pick(a, []int{75, 75, 75, 60}))
}

func (a *author) devices() {
	a.line("protection:")
	for _, id := range a.stacks {
		rating := "50 A"
		if a.slip(10) {
			rating = pick(a, []string{"63 A", "80 A"})
		}
		a.line("  - {id: F-%s, kind: fuse, rating: %s, voltage: 1000 V, breaking_capacity: 10 kA, dc_rated: %v, polarised: false, poles: 2, stack: %s, serves: one stack, fault_current: %d kA, in_sight: true, distance: %s, place: at the storage, current_limiting: true, ground_fault_detection: false}",
			id, a.site("50 A", rating), !a.slip(20), id, pick(a, []int{4, 4, 4, 4, 1}), a.fitted("0.8 m"))
	}
	a.line("  - {id: F-ac, kind: circuit-breaker, rating: %s, voltage: 240 V, breaking_capacity: 10 kA, dc_rated: false, inverter: inv, serves: inverter grid side, fault_current: %d kA, in_sight: false, height: %s, place: main switchboard, ground_fault_detection: false}",
		a.fitted("40 A"), pick(a, []int{6, 8, 8, 8, 8, 8, 8, 12}), a.fitted("1.7 m"))
}

func (a *author) supply() {
	a.line("supply: {system: solidly grounded, phases: split-phase, voltage: 240 V, frequency: 60 Hz, main_fuse: 200 A, maximum_demand: %d A, fault_current: 8 kA,", 60+a.IntN(90))
	a.line("  busbar: {rating: 200 A, main: %d A, position: opposite end of the main, devices: %d A}, export_allowed: %d kW, voltage_rise_allowed: 2 %%,",
		pick(a, []int{175, 175, 200}), 120+10*a.IntN(7), 8+a.IntN(3))
	a.line("  island: {changeover: automatic, load: %d.%d kW, backup: %d h}}", 1+a.IntN(2), a.IntN(10), 2+a.IntN(3))
}

func (a *author) jointList() {
	if a.stage < installed {
		return
	}
	a.line("\njoints:")
	n := 0
	for _, id := range a.stacks {
		kinds := []string{"wall bracket", "wall bracket", "between modules", "protective conductor"}
		if id != "A" {
			kinds = kinds[1:3]
		}
		for _, kind := range kinds {
			n++
			set := fmt.Sprintf("%d.%d N·m", 7, a.IntN(4))
			if kind == "between modules" {
				set = fmt.Sprintf("2.%d N·m", 7+a.IntN(3))
			}
			if a.slip(6) {
				set += " ± 4 %"
			}
			tool := ", instrument: TW-2"
			if a.slip(15) {
				tool = "" // forgotten
			}
			a.line("  - {id: j%d, joint: %s, stack: %s, torque: {set: %s}%s, by: mo, on: %s, marked: %v}", n, kind, id, set, tool, a.day(60), !a.slip(30))
		}
	}
}

func (a *author) record() {
	if a.stage >= energised {
		a.line("\ntests:")
		a.line("  - {id: t1, test: polarity, conductor: dc-A, result: passed, instrument: IT-1, by: mo, on: %s}", a.day(70))
		a.line("  - {id: t2, test: insulation resistance, conductor: dc-A, result: passed, resistance: %d MΩ, voltage: 1000 V, instrument: IT-1, by: mo, on: %s}", 50+a.IntN(400), a.day(70))
		a.line("  - {id: t3, test: emergency shutdown, stack: A, result: %s, time: %d ms, instrument: IT-1, by: mo, on: %s}", pick(a, []string{"passed", "passed", "passed", "passed", "passed", "failed"}), 80+a.IntN(200), a.day(71))
		if !a.slip(12) {
			a.line("  - {id: t4, test: export limit, inverter: inv, result: passed, power: 7.%d kW, instrument: IT-1, by: mo, on: %s}", a.IntN(10), a.day(71))
		}
	}
	if a.stage >= designed {
		a.line("documents:")
		for i, kind := range []string{"datasheet", "plan", "single-line diagram"} {
			a.line("  - {id: d%d, document: %s, on: %s}", i+1, kind, a.day(5))
		}
	}
	if a.stage >= handed {
		a.line("labels:")
		for i, says := range []string{"battery energy storage", "emergency shutdown", "dual supply", "do not relocate", "grounding type"} {
			a.line("  - {id: l%d, says: %s, place: main switchboard, fitted: true}", i+1, says)
		}
	}
	if a.slip(40) {
		a.line("documets: []") // a slip of the finger
	}
}
