package jobgen

import "fmt"

func (a *author) wiring() {
	a.line("\ninverters:")
	a.line("  - {id: inv, location: place, phases: split-phase, coupling: dc-coupled, dc_earthing: functionally grounded, power: %d kW, dc_window: {low: 120 V, high: 600 V}}", 4+a.IntN(6))
	a.line("conductors:")
	for _, id := range a.stacks {
		size, built := "16 mm²", "16 mm²"
		if a.imperial {
			size, built = "6 AWG", pick(a, []string{"6 AWG", "4 AWG"})
		}
		current := 30 + a.IntN(20)
		a.line("  - id: dc-%s", id)
		a.line("    carries: dc")
		a.line("    stack: %s", id)
		a.line("    inverter: inv")
		a.line("    size: %s", a.site(size, built))
		a.line("    material: %s", a.site("copper", "copper"))
		a.line("    insulation: 90 °C")
		a.line("    insulation_voltage: 1000 V")
		a.line("    length: %s", a.site("6 m", fmt.Sprintf("%d.%d m", 5+a.IntN(4), a.IntN(10))))
		a.line("    laid: in conduit")
		a.line("    parallel: %s", a.site("1", "1"))
		a.line("    through_wall: false")
		a.line("    current: %d A", current)
		a.line("    protected_by: F-%s", id)
	}
	a.line("  - {id: pe, carries: protective earth, size: %s, material: %s, length: %s}", a.site("10 mm²", "10 mm²"), a.site("copper", "copper"), a.site("8 m", "8.4 m"))
	a.line("protection:")
	for _, id := range a.stacks {
		rating := pick(a, []string{"63 A", "63 A", "80 A", "50 A"})
		a.line("  - {id: F-%s, kind: fuse, rating: %s, voltage: 1000 V, breaking_capacity: 10 kA, dc_rated: %v, polarised: false, poles: 2, stack: %s, serves: one stack, fault_current: 2 kA, in_sight: true, distance: %s, place: at the storage, current_limiting: true}",
			id, a.site(rating, rating), !a.slip(20), id, a.site("0.8 m", "0.8 m"))
	}
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
	}
	if a.stage >= designed {
		a.line("documents:")
		for i, kind := range []string{"datasheet", "plan", "single-line diagram"} {
			a.line("  - {id: d%d, document: %s, on: %s, file: papers/%05d/%d.pdf}", i+1, kind, a.day(5), a.number, i+1)
		}
	}
	if a.stage >= handed {
		a.line("labels:")
		for i, says := range []string{"battery energy storage", "emergency shutdown", "dual supply"} {
			a.line("  - {id: l%d, says: %s, place: main switchboard, fitted: true}", i+1, says)
		}
	}
	if a.slip(40) {
		a.line("documets: []") // a slip of the finger
	}
}
