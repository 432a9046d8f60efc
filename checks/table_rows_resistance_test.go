package checks

import (
	"fmt"
	"math"
	"strings"
)

// dropOf is a run of direct current of 10 A whose drop is 1 V at the length at which
// it has 0.05 Ω one way; @ is the length.
func dropOf(turns []string, size, material, strands, insulation string) rowCase {
	return rowCase{turns: turns, limit: "probe#drop", of: "conductors[c#].drop",
		conductors: fmt.Sprintf("id: c#, carries: dc, current: 10 A, length: @, size: %s, material: %s, strands: %s, insulation: %s °C", size, material, strands, insulation)}
}

// drop adds a run just short, as long as it may be, and just too long.
func (r *rowCases) drop(c rowCase, resistance float64, unit string) {
	length := 0.05 / resistance // in thousands of what the resistance is for
	u := map[string]string{"kft": "ft", "km": "m"}[unit]
	r.most(c, 1000*length, 1000*length*2e-5, u)
}

// resistancesOfNEC are those of Chapter 9, Table 8, at 75 °C, and note 2: the change
// by 0.00323 of copper and 0.00330 of aluminium for each kelvin (head of the
// reference file).
func (r *rowCases) resistancesOfNEC() {
	const table, note = "us/nec-2023/ch9-table8", "us/nec-2023/ch9-table8-note2"
	for _, row := range figures(r.t, "nec_ch9_table8.csv") {
		size, strands := wireSize(row["size_awg_kcmil"]), row["stranding"]
		for column, material := range map[string]string{"cu_ohm_per_kft_75c": "copper", "al_ohm_per_kft_75c": "aluminium"} {
			turns := []string{cellOf(table, material, strands, size), cellOf(table, "size", strands, size)}
			r.drop(dropOf(turns, size, material, strands, "75"), figureOf(r.t, row[column]), "kft")
		}
	}
	for material, c := range map[string][2]float64{"copper": {0.00323, 0.122}, "aluminium": {0.00330, 0.201}} { // 1/0 AWG stranded
		for _, insulation := range []float64{60, 90} {
			turns := []string{cellOf(note, "coefficient", material), cellOf(note, "reference", material)}
			r.drop(dropOf(turns, "1/0 AWG", material, "stranded", number(insulation)), c[1]*(1+c[0]*(insulation-75)), "kft")
		}
	}
}

// resistancesOfIEC are those of IEC 60228 at 20 °C, which is where an insulation
// rated 20 °C leaves them, and R(T) = R20 · (234.5 + T) / 254.5 of copper (head of
// the reference file), with 228 of aluminium (from memory).
func (r *rowCases) resistancesOfIEC() {
	const table, temperature = "iec/60228/resistance", "iec/60228/temperature"
	for _, row := range figures(r.t, "iec_60228.csv") {
		size := plain(row["area_mm2"])
		for column, of := range map[string][2]string{
			"cu_class2_plain_ohm_km": {"copper", "stranded"}, "cu_class5_plain_ohm_km": {"copper", "fine-stranded"}, "al_class2_ohm_km": {"aluminium", "stranded"},
		} {
			turns := []string{cellOf(table, of[0]+" "+of[1], size), cellOf(table, "size", size)}
			one := dropOf(turns, size+" mm²", of[0], of[1], "20")
			if row[column] == "" {
				one.because = "has no figure"
				r.add(one.with("1 m", notChecked))
				continue
			}
			r.drop(one, figureOf(r.t, row[column]), "km")
		}
	}
	for material, c := range map[string][2]float64{"copper": {234.5, 0.387}, "aluminium": {228, 0.641}} { // 50 mm² stranded
		for _, insulation := range []float64{60, 90} {
			turns := []string{cellOf(temperature, "offset", material), cellOf(temperature, "reference", material)}
			r.drop(dropOf(turns, "50 mm²", material, "stranded", number(insulation)), c[1]*(c[0]+insulation)/(c[0]+20), "km")
		}
	}
}

// reactance is neglected up to 1/0 AWG and 50 mm² (practice); a thicker run of
// alternating current needs it.
func (r *rowCases) reactance() {
	for _, c := range []struct {
		row, size string
		resisting float64 // at 75 °C in Ω/kft, at 20 °C in Ω/km
		unit      string
		known     bool
	}{
		{"AWG", "1 AWG", 0.154, "kft", true}, {"AWG", "1/0 AWG", 0.122, "kft", true}, {"AWG", "2/0 AWG", 0, "", false},
		{"metric", "35 mm²", 0.524, "km", true}, {"metric", "50 mm²", 0.387, "km", true}, {"metric", "70 mm²", 0, "", false},
	} {
		insulation := "75"
		if c.row == "metric" {
			insulation = "20"
		}
		one := dropOf([]string{cellOf("practice/reactance", "up to", c.row)}, c.size, "copper", "stranded", insulation)
		one.conductors += ", phases: single-phase"
		one.conductors = "id: c#, carries: ac" + one.conductors[len("id: c#, carries: dc"):]
		if !c.known {
			one.because = "reactance"
			r.add(one.with("1 m", notChecked))
			continue
		}
		r.drop(one, c.resisting, c.unit)
	}
}

// protectiveByLine is Table 54.2: S up to 16 mm², 16 mm² up to 35 mm², S/2 above.
func (r *rowCases) protectiveByLine() {
	const table = "iec/60364-5-54/54.2"
	edges := func() []string {
		return []string{cellOf(table, "line up to", "16"), cellOf(table, "line up to", "35")}
	}
	for _, c := range []struct {
		line, size  float64
		column, row string
	}{
		{10, 10, "share of S", "16"}, {15.5, 15.5, "share of S", "16"}, {16, 16, "share of S", "16"},
		{16.5, 16, "size", "35"}, {34.5, 16, "size", "35"}, {35, 16, "size", "35"}, {35.5, 17.75, "share of S", ""}, {50, 25, "share of S", ""}, {240, 120, "share of S", ""},
	} {
		r.least(rowCase{
			turns:      append(edges(), cellOf(table, c.column, c.row)),
			conductors: fmt.Sprintf("id: c#, carries: dc, size: %s mm², material: copper\nid: g#, carries: protective earth, protects: c#, material: copper, size: @", number(c.line)),
			limit:      "probe#line", of: "conductors[g#].size",
		}, c.size, 0.1, "mm²")
	}
}

// The way a case of the reference file is laid, in the words of a job and of the
// tables; absent for what no job can be.
var laidOfK = map[string][2]string{
	"core in cable or bunched (A.54.4)":        {"in_same_cable: true", "core in cable or bunched"},
	"separate insulated, not bunched (A.54.2)": {"in_same_cable: false, arrangement: apart", "separate, not bunched"},
	"bare, no damage risk (A.54.6)":            {"in_same_cable: false, arrangement: apart", "bare, no risk of damage"},
}

// insulationOfK is the same for the insulation, with the section from which on the
// row holds and the key of the row.
var insulationOfK = map[string]struct{ job, table, upTo, size string }{
	"PVC 70 C, S<=300": {"insulation_type: PVC, insulation: 70 °C", "PVC 70 °C", "300", "300"},
	"PVC 70 C, S>300":  {"insulation_type: PVC, insulation: 70 °C", "PVC 70 °C", "", "300.5"},
	"PVC 90 C, S<=300": {"insulation_type: PVC, insulation: 90 °C", "PVC 90 °C", "300", "300"},
	"XLPE/EPR 90 C":    {"insulation_type: EPR, insulation: 90 °C", "XLPE 90 °C", "", "400"},
	"rubber 60 C":      {"insulation_type: flexible rubber, insulation: 60 °C", "rubber 60 °C", "", "50"},
	"rubber 85 C":      {"insulation_type: flexible rubber, insulation: 85 °C", "rubber 85 °C", "", "50"},
	"fire risk":        {"insulation_type: none", "fire risk", "", "50"},
}

// factorsK of Annex A: a fault of 1 s that a conductor of a given section just
// stands, S = I · √t / k; the conductor itself is the section, since k goes by it.
func (r *rowCases) factorsK() {
	for _, row := range figures(r.t, "iec_60364_5_54.csv") {
		laid, known := laidOfK[row["case"]]
		insulation, told := insulationOfK[row["detail"]]
		material := map[string]string{"Cu": "copper", "Al": "aluminium"}[row["material"]]
		if row["kind"] != "k" || !known || !told || material == "" {
			continue
		}
		table := "iec/60364-5-54/k"
		if row["provenance"] == "memory" {
			table += "-from-memory"
		}
		keys := []string{laid[1], insulation.table, material, insulation.upTo}
		size := figureOf(r.t, insulation.size)
		for _, x := range []float64{-1, 0, 1} { // in thousandths of the fault that it stands
			kind := within
			if x > 0 {
				kind = outside
			}
			r.add(rowCase{
				turns: []string{cellOf(table, "k", keys...), cellOf(table, "up to", keys...), cellOf("iec/60364-5-54/k", "up to", keys[0], keys[1], keys[2], "300"), cellOf("iec/60364-5-54/k-from-memory", "up to", keys[0], keys[1], keys[2], "300")},
				conductors: fmt.Sprintf("id: g#, carries: protective earth, material: %s, size: %s mm², %s, %s, protected_by: p#",
					material, insulation.size, insulation.job, laid[0]),
				protected: fmt.Sprintf("id: p#, clearing_time: 1 s, fault_current: %s A", number(figureOf(r.t, row["value"])*size*(1+x/1000))),
				limit:     "probe#fault", of: "conductors[g#].size", kind: kind,
			})
		}
	}
}

// beyondK are thick conductors for which nothing is held.
func (r *rowCases) beyondK() {
	for _, c := range [][3]string{
		{"core in cable or bunched", "PVC 90 °C", "in_same_cable: true, insulation: 90 °C, material: copper"},
		{"core in cable or bunched", "PVC 90 °C", "in_same_cable: true, insulation: 90 °C, material: aluminium"},
		{"separate, not bunched", "PVC 70 °C", "in_same_cable: false, arrangement: apart, insulation: 70 °C, material: aluminium"},
	} {
		material := c[2][strings.LastIndex(c[2], " ")+1:]
		r.add(rowCase{
			turns:      []string{cellOf("iec/60364-5-54/k-from-memory", "up to", c[0], c[1], material, "300")},
			conductors: "id: g#, carries: protective earth, size: 300.5 mm², insulation_type: PVC, protected_by: p#, " + c[2],
			protected:  "id: p#, clearing_time: 1 s, fault_current: 1 kA",
			limit:      "probe#fault", of: "conductors[g#].size", kind: notChecked, because: "nothing is extrapolated",
		})
	}
}

// adiabaticTimes: the equation holds from 0.1 to 5 s (from memory).
func (r *rowCases) adiabaticTimes() {
	const table = "iec/60364-5-54/adiabatic"
	for _, c := range []struct {
		end     string
		time    float64
		because string
	}{{"shortest", 0.09, "equipment"}, {"shortest", 0.1, ""}, {"shortest", 0.11, ""}, {"longest", 4.9, ""}, {"longest", 5, ""}, {"longest", 5.1, "the fault lasts"}} {
		one := rowCase{turns: []string{cellOf(table, "time", c.end)},
			conductors: "id: g#, carries: protective earth, material: copper, size: 10 mm², insulation_type: PVC, insulation: 70 °C, in_same_cable: true, protected_by: p#",
			protected:  fmt.Sprintf("id: p#, clearing_time: %s s, fault_current: @", number(c.time)),
			limit:      "probe#fault", of: "conductors[g#].size", because: c.because}
		if c.because != "" {
			r.add(one.with("100 A", notChecked))
			continue
		}
		r.most(one, 115*10/math.Sqrt(c.time), 0.01, "A") // k of copper with PVC in a cable
	}
}

// smallestProtective are the sizes of 543.1.3 and 544.1.1, which limits hold
// themselves; the tables beside them are read by no calculation.
func (r *rowCases) smallestProtective() {
	for _, c := range []struct {
		table, column, row, conductor, limit string
		size                                 float64
	}{
		{"iec/60364-5-54/separate", "copper", "protected", "protective earth, material: copper, in_same_cable: false, mechanically_protected: true", "protective-conductor-protected", 2.5},
		{"iec/60364-5-54/separate", "copper", "not protected", "protective earth, material: copper, in_same_cable: false, mechanically_protected: false", "protective-conductor-exposed", 4},
		{"iec/60364-5-54/bonding", "size", "copper", "equipotential bonding, material: copper", "bonding-conductor-copper", 6},
		{"iec/60364-5-54/bonding", "size", "aluminium", "equipotential bonding, material: aluminium", "bonding-conductor-aluminium", 16},
	} {
		r.least(rowCase{turns: []string{cellOf(c.table, c.column, c.row)}, conductors: "id: c#, size: @, carries: " + c.conductor, limit: iec + c.limit, of: "conductors[c#].size"}, c.size, 0.1, "mm²")
	}
}

// tripCurrents: a breaker surely trips at once at 5 (B, secondary), 10 (C) and 20
// (D, from memory) times its rating, a residual-current device at 5 times its
// residual current (from memory).
func (r *rowCases) tripCurrents() {
	for _, c := range []struct {
		table, row, device string
		multiple           float64
	}{
		{"iec/60898/trip", "B", "circuit-breaker, curve: B, rating: 32 A", 5 * 32},
		{"iec/60898/trip-from-memory", "C", "circuit-breaker, curve: C, rating: 32 A", 10 * 32},
		{"iec/60898/trip-from-memory", "D", "circuit-breaker, curve: D, rating: 32 A", 20 * 32},
		{"iec/61008/trip", "residual-current device", "residual-current device, residual: 300 mA", 5 * 0.3},
	} {
		r.least(rowCase{turns: []string{cellOf(c.table, "multiple", c.row)}, protected: "id: p#, fault_current: @, kind: " + c.device, limit: "probe#trip", of: "protection[p#].fault_current"}, c.multiple, 0.01, "A")
	}
}
