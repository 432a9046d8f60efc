package checks

import (
	"fmt"
	"strings"
)

const (
	ampacities = "us/nec-2023/310.16"
	ambients   = "us/nec-2023/310.15-ambient"
	counts     = "us/nec-2023/310.15-count"
	columns    = "us/nec-2023/110.14-columns"
	byAmpacity = nec + "ampacity-at-least-the-current"
)

var necColumns = []struct{ file, material, rating string }{
	{"cu_60c_a", "copper", "60"}, {"cu_75c_a", "copper", "75"}, {"cu_90c_a", "copper", "90"},
	{"al_60c_a", "aluminium", "60"}, {"al_75c_a", "aluminium", "75"}, {"al_90c_a", "aluminium", "90"},
}

// wireSize writes a size of the reference files as a job does.
func wireSize(size string) string {
	if strings.Contains(size, "/") || len(size) < 3 {
		return size + " AWG"
	}
	return size + " kcmil"
}

// bothTerminals are terminals of one rating at both ends.
func bothTerminals(rating string) string {
	return fmt.Sprintf("terminals: [{end: from, temperature: %[1]s °C}, {end: to, temperature: %[1]s °C}]", rating)
}

// necRun is a live conductor by the NEC; @ is its current.
func necRun(size, material, insulation, terminal, ambient string, together int) string {
	return fmt.Sprintf("id: c#, carries: dc, current: @, size: %s, material: %s, insulation: %s °C, ambient: %s °C, current_carrying: %d, %s",
		size, material, insulation, ambient, together, bothTerminals(terminal))
}

func currentOf(turns []string, conductor string) rowCase {
	return rowCase{turns: turns, conductors: conductor, limit: byAmpacity, of: "conductors[c#].current"}
}

// ampacities of Table 310.16. At 60 and 75 °C the terminals have the column of the
// insulation. Terminals are taken at 75 °C at most, so the column of 90 °C decides
// only where it is adjusted: ten together, by 50 %.
func (r *rowCases) ampacities() {
	for _, row := range figures(r.t, "nec_310_16.csv") {
		size := wireSize(row["size_awg_kcmil"])
		for _, c := range necColumns {
			turns := []string{cellOf(ampacities, c.material+" "+c.rating, size), cellOf(ampacities, "size", size)}
			together, share := 3, 1.0
			if c.rating == "90" {
				together, share = 10, 0.5
			}
			one := currentOf(turns, necRun(size, c.material, c.rating, c.rating, "30", together))
			if row[c.file] == "" {
				one.because = "it is too thin"
				r.add(one.with("1 A", notChecked))
				continue
			}
			r.most(one, share*figureOf(r.t, row[c.file]), 0.1, "A")
		}
	}
}

// ambientOfNEC are the bands of Table 310.15(B)(1)(1), each at its lower edge, just
// below its upper edge's successor: at the edge, and just above it in the next band.
// Ten together, so that the terminals never decide.
func (r *rowCases) ambientOfNEC() {
	ampacity := map[string]float64{"60": 195, "75": 230, "90": 260} // 4/0 AWG copper, Table 310.16
	rows := figures(r.t, "nec_310_15_temp_correction.csv")
	for _, rating := range []string{"60", "75", "90"} {
		for i, row := range rows {
			upper := row["ambient_to_c"]
			turns := []string{cellOf(ambients, rating, upper)}
			lowest := number(figureOf(r.t, upper) - 15)
			if i > 0 {
				lowest = number(figureOf(r.t, rows[i-1]["ambient_to_c"]) + 0.1)
				turns = append(turns, cellOf(ambients, "up to", rows[i-1]["ambient_to_c"]))
			}
			factor := row["factor_"+rating+"c"]
			for _, ambient := range []string{lowest, upper} {
				one := currentOf(turns, necRun("4/0 AWG", "copper", rating, rating, ambient, 10))
				if ambient == upper {
					one.turns = append([]string{cellOf(ambients, "up to", upper)}, turns[:1]...)
				}
				if factor == "" {
					one.because = "allows no conductor of " + rating + " °C"
					if figureOf(r.t, ambient) >= figureOf(r.t, rating) {
						one.because = "it may carry nothing"
					}
					r.add(one.with("1 A", notChecked))
					continue
				}
				r.most(one, 0.5*ampacity[rating]*figureOf(r.t, factor), 0.1, "A")
			}
		}
	}
	last := currentOf([]string{cellOf(ambients, "up to", "85")}, necRun("4/0 AWG", "copper", "90", "90", "85.1", 10))
	last.because = "no correction for the air"
	r.add(last.with("1 A", notChecked))
}

// countOfNEC are the bands of Table 310.15(C)(1): the last of the band before, the
// first and the last of each. At 50 °C, where the terminals do not decide.
func (r *rowCases) countOfNEC() {
	rows := figures(r.t, "nec_310_15_adjustment.csv")
	for _, row := range rows {
		from, to := int(figureOf(r.t, row["conductors_from"])), 200
		if row["conductors_to"] != "" {
			to = int(figureOf(r.t, row["conductors_to"]))
		}
		for _, n := range []int{from, to} {
			turns := []string{cellOf(counts, "factor", row["conductors_from"]), cellOf(counts, "from", row["conductors_from"])}
			if n == to && row["conductors_to"] != "" {
				turns = append(turns, cellOf(counts, "from", fmt.Sprint(to+1)))
			}
			// 4/0 AWG copper, 75 °C: 230 A, Table 310.16; 0.75 at 50 °C, Table 310.15(B)(1)(1).
			r.most(currentOf(turns, necRun("4/0 AWG", "copper", "75", "75", "50", n)), 230*0.75*figureOf(r.t, row["percent"])/100, 0.1, "A")
		}
	}
}

// roofAndParallel are the sentences 310.15(B)(2), 33 K less than 19 mm above a roof,
// and 310.10(G)(1), 1/0 AWG and larger in parallel (2023, copy). The air lies so that
// one kelvin more or less is another band.
func (r *rowCases) roofAndParallel() {
	const roof, parallel = "us/nec-2023/310.15-roof", "us/nec-2023/310.10-parallel"
	for _, c := range []struct {
		height, ambient, from string
		factor                float64 // of 75 °C insulation, Table 310.15(B)(1)(1)
	}{
		{"0.5 mm", "22", "0", 0.67}, {"0.5 mm", "22.1", "0", 0.58}, {"18.9 mm", "22", "0", 0.67},
		{"19 mm", "55", "19", 0.67}, {"19 mm", "55.1", "19", 0.58}, {"19.1 mm", "22", "19", 1.05},
	} {
		turns := []string{cellOf(roof, "added", c.from), cellOf(roof, "from", c.from), cellOf(roof, "from", "19")}
		r.most(currentOf(turns, necRun("4/0 AWG", "copper", "75", "75", c.ambient, 10)+", above_roof: "+c.height), 0.5*230*c.factor, 0.1, "A")
	}
	// Up to the edition of 2020 the line lies at 23 mm (from memory).
	const roof2020 = "us/nec-2020/310.15-roof"
	for _, c := range []struct {
		height, ambient, from string
		factor                float64
	}{
		{"0.5 mm", "22", "0", 0.67}, {"0.5 mm", "22.1", "0", 0.58}, {"22.9 mm", "22", "0", 0.67},
		{"23 mm", "55", "23", 0.67}, {"23 mm", "55.1", "23", 0.58}, {"23.1 mm", "22", "23", 1.05},
	} {
		turns := []string{cellOf(roof2020, "added", c.from), cellOf(roof2020, "from", c.from), cellOf(roof2020, "from", "23")}
		one := currentOf(turns, necRun("4/0 AWG", "copper", "75", "75", c.ambient, 10)+", above_roof: "+c.height)
		one.limit = "us/nec-2020#ampacity-at-least-the-current"
		r.most(one, 0.5*230*c.factor, 0.1, "A")
	}
	turns := func() []string { return []string{cellOf(parallel, "size", "2"), cellOf(parallel, "from", "2")} }
	r.most(currentOf(turns(), necRun("1/0 AWG", "copper", "75", "75", "30", 3)+", parallel: 2"), 2*150, 0.1, "A")
	thin := currentOf(turns(), necRun("1 AWG", "copper", "75", "75", "30", 3)+", parallel: 2")
	thin.because = "too thin for conductors in parallel"
	r.add(thin.with("1 A", notChecked))
	r.most(currentOf(nil, necRun("1 AWG", "copper", "75", "75", "30", 3)+", parallel: 1"), 130, 0.1, "A")
}

// terminalColumns is 110.14(C)(1) (2023, copy): insulation has the column of its own
// rating, terminals the last one that is not above theirs, 75 °C at most.
func (r *rowCases) terminalColumns() {
	ampacity := map[string]float64{"60": 195, "75": 230, "90": 260} // 4/0 AWG copper, Table 310.16
	for _, c := range []struct{ terminal, row, column string }{
		{"60", "60", "60"}, {"74.9", "60", "60"}, {"75", "75", "75"}, {"89.9", "75", "75"}, {"90", "90", "75"}, {"105", "90", "75"},
	} {
		turns := []string{cellOf(columns, "terminal", c.row), cellOf(columns, "rating", c.row)}
		r.most(currentOf(turns, necRun("4/0 AWG", "copper", "90", c.terminal, "30", 3)), ampacity[c.column], 0.1, "A")
	}
	cool := currentOf([]string{cellOf(columns, "rating", "60")}, necRun("4/0 AWG", "copper", "90", "59.9", "30", 3))
	cool.because = "begin at 60 °C"
	r.add(cool.with("1 A", notChecked))
	for _, rating := range []string{"60", "75", "90"} {
		turns := []string{cellOf(columns, "insulation", rating), cellOf(columns, "rating", rating)}
		r.most(currentOf(turns, necRun("4/0 AWG", "copper", rating, "90", "30", 10)), 0.5*ampacity[rating], 0.1, "A")
		for _, beside := range []string{number(figureOf(r.t, rating) - 1), number(figureOf(r.t, rating) + 1)} {
			one := currentOf([]string{cellOf(columns, "rating", rating)}, necRun("4/0 AWG", "copper", beside, "90", "30", 10))
			one.because = "write the rating it has by Table 310.4"
			r.add(one.with("1 A", notChecked))
		}
	}
}
