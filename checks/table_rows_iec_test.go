package checks

import "fmt"

// metricRun is a live conductor of copper by IEC 60364-5-52; @ is its current.
func metricRun(size, method, insulation, ambient, phases, more string) string {
	return fmt.Sprintf("id: c#, carries: ac, current: @, size: %s mm², material: copper, method: %s, %s, ambient: %s °C, phases: %s, %s", plain(size), method, insulation, ambient, phases, more)
}

func carriedOf(turns []string, conductor string) rowCase {
	return rowCase{turns: turns, conductors: conductor, limit: "probe#capacity", of: "conductors[c#].current"}
}

const onePhase, threePhases = "single-phase", "three-phase"

// capacitiesOfIEC are the capacities of Tables B.52.2 to B.52.5: one circuit at
// 30 °C, terminals as good as the insulation.
func (r *rowCases) capacitiesOfIEC() {
	const table = "iec/60364-5-52/capacity"
	phases := map[string]string{"2": onePhase, "3": threePhases}
	for _, row := range figures(r.t, "iec_60364_5_52.csv") {
		if row["kind"] != "capacity" {
			continue
		}
		keys := []string{row["insulation"], row["loaded_conductors"], row["key"]}
		turns := []string{cellOf(table, row["method"], keys...), cellOf(table, "size", keys...), cellOf(table, "loaded", keys...)}
		run := metricRun(row["key"], row["method"], "insulation_type: "+row["insulation"], "30", phases[row["loaded_conductors"]], "grouped: 1, "+bothTerminals("90"))
		r.most(carriedOf(turns, run), figureOf(r.t, row["value"]), 0.01, "A")
	}
}

// ambientOfIEC are the factors of Table B.52.14, each at its temperature and just
// above the one before, where the warmer row is the careful one.
func (r *rowCases) ambientOfIEC() {
	const table = "iec/60364-5-52/ambient"
	capacity := map[string]float64{"PVC": 119, "XLPE": 158} // 50 mm², A1, two loaded
	before := map[string]string{}
	for _, row := range figures(r.t, "iec_60364_5_52.csv") {
		if row["kind"] != "ambient_air" {
			continue
		}
		kind, at := row["insulation"], row["key"]
		for _, ambient := range []string{before[kind], at} {
			turns := []string{cellOf(table, "factor", kind, at)}
			switch ambient {
			case "":
				ambient = "-5"
			case at:
				turns = append(turns, cellOf(table, "up to", kind, at))
			default:
				turns = append(turns, cellOf(table, "up to", kind, ambient))
				ambient = number(figureOf(r.t, ambient) + 0.1)
			}
			run := metricRun("50", "A1", "insulation_type: "+kind, ambient, onePhase, "grouped: 1, "+bothTerminals("90"))
			r.most(carriedOf(turns, run), capacity[kind]*figureOf(r.t, row["value"]), 0.01, "A")
		}
		before[kind] = at
	}
	for _, kind := range []string{"PVC", "XLPE"} {
		above := number(figureOf(r.t, before[kind]) + 0.1)
		last := carriedOf([]string{cellOf(table, "up to", kind, before[kind])}, metricRun("50", "A1", "insulation_type: "+kind, above, onePhase, "grouped: 1, "+bothTerminals("90")))
		last.because = before[kind]
		r.add(last.with("1 A", notChecked))
	}
}

// groupsOfIEC are the factors of Table B.52.17 by the number of circuits, and the
// number just above the one before, for which the next larger row holds. Cables on a
// perforated tray are laid by a method for which no capacities are held.
func (r *rowCases) groupsOfIEC() {
	tables := map[string][2]string{
		"group_bunched_item1":           {"iec/60364-5-52/group-bunched", "bunched"},
		"group_single_layer_wall_item2": {"iec/60364-5-52/group-single-layer", "single layer on a surface"},
		"group_perforated_tray_item4":   {"iec/60364-5-52/group-perforated-tray", "single layer on a perforated tray"},
	}
	before := map[string]float64{}
	for _, row := range figures(r.t, "iec_60364_5_52.csv") {
		of, known := tables[row["kind"]]
		if !known {
			continue
		}
		at := figureOf(r.t, row["key"])
		for _, n := range []float64{before[row["kind"]] + 1, at} {
			turns := []string{cellOf(of[0], "factor", row["key"]), cellOf(of[0], "circuits", row["key"])}
			if n > 1 {
				turns = append(turns, cellOf(of[0], "circuits", number(before[row["kind"]])))
			}
			one := carriedOf(turns, metricRun("120", "C", "insulation_type: PVC", "30", onePhase, fmt.Sprintf("grouped: %s, arrangement: %s, %s", number(n), of[1], bothTerminals("90"))))
			if of[1] == "single layer on a perforated tray" {
				one.because = "installation method E or F"
				r.add(one.with("1 A", notChecked))
				continue
			}
			r.most(one, 299*figureOf(r.t, row["value"]), 0.1, "A") // 120 mm², C, two loaded, PVC
			if n == at {
				break
			}
		}
		before[row["kind"]] = at
	}
	for kind, last := range before {
		of := tables[kind]
		one := carriedOf([]string{cellOf(of[0], "circuits", number(last))}, metricRun("120", "C", "insulation_type: PVC", "30", onePhase, fmt.Sprintf("grouped: %s, arrangement: %s, %s", number(last+1), of[1], bothTerminals("90"))))
		r.add(one.with("1 A", notChecked)) // nothing is extrapolated
	}
}

// insulationOfIEC is Table 52.1 (from memory): PVC 70 °C, XLPE 90 °C, by which a
// rating tells the insulation and terminals tell the column.
func (r *rowCases) insulationOfIEC() {
	const table = "iec/60364-5-52/52.1"
	pvc, xlpe := []string{cellOf(table, "temperature", "PVC")}, []string{cellOf(table, "temperature", "XLPE")}
	run := func(insulation, terminal string) string {
		return metricRun("50", "A1", "insulation: "+insulation+" °C", "30", onePhase, "grouped: 1, "+bothTerminals(terminal))
	}
	r.most(carriedOf(pvc, run("70", "90")), 119, 0.1, "A")
	r.most(carriedOf(pvc, run("70", "70")), 119, 0.1, "A")
	r.most(carriedOf(xlpe, run("90", "90")), 158, 0.1, "A")
	r.most(carriedOf(xlpe, run("90", "89.9")), 119, 0.1, "A")
	for _, c := range []struct {
		turns                         []string
		insulation, terminal, because string
	}{
		{pvc, "69", "90", "no insulation rated for 69"}, {pvc, "71", "90", "no insulation rated for 71"}, {pvc, "70", "69.9", "no column is held"},
		{xlpe, "89", "90", "no insulation rated for 89"}, {xlpe, "91", "90", "no insulation rated for 91"},
	} {
		one := carriedOf(c.turns, run(c.insulation, c.terminal))
		one.because = c.because
		r.add(one.with("1 A", notChecked))
	}
}
