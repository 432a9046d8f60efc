package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// ratedEdition is an edition of the NEC with the measures and table of its ratings.
type ratedEdition struct {
	table, set string
	before2023 bool
}

var ratedEditions = []ratedEdition{
	{"us/nec-2023/240.6", nec, false},
	{"us/nec-2020/240.6", "us/nec-2020#", true},
	{"us/nec-2020/240.6", "us/nec-2017#", true},
}

// has tells whether a row of the reference file is a rating of the kind of device.
func (e ratedEdition) has(device, kind string) bool {
	switch {
	case kind == "fuse":
		return true
	case strings.HasPrefix(device, "fuse and breaker (2023)"):
		return !e.before2023
	}
	return device == "fuse and breaker"
}

// standardRatings of 240.6(A): a rating just below and just above a standard one is
// none, and neither is one of fuses for a breaker.
func (r *rowCases) standardRatings() {
	for _, e := range ratedEditions {
		for _, kind := range []string{"fuse", "circuit-breaker"} {
			for _, row := range figures(r.t, "nec_240_6.csv") {
				rating := row["rating_a"]
				turns := []string{cellOf(e.table, "rating", rating)}
				one := rowCase{turns: turns, protected: "id: p#, kind: " + kind + ", rating: @", limit: e.set + "standard-rating", of: "protection[p#].standard_rating_nec"}
				if e.set != "us/nec-2023#" {
					one.of += "_2020"
				}
				at := outside
				if e.has(row["device"], kind) {
					at = within
				}
				r.add(one.with(rating+" A", at))
				for _, x := range []float64{-0.1, 0.1} {
					beside, kind := one, outside
					if rating == "6000" && x > 0 { // beyond the table
						beside.because, kind = "6000", notChecked
					}
					r.add(beside.with(number(figureOf(r.t, rating)+x)+" A", kind))
				}
			}
		}
	}
}

// laidRun is a run with the ampacity it has by the reference files.
type laidRun struct {
	ampacity  float64
	conductor string
}

// laidRuns are runs of many ampacities, in ascending order: each size, rating,
// ambient and number of the tables, up to five in parallel from 1/0 AWG on.
func (r *rowCases) laidRuns() []laidRun {
	var out []laidRun
	air, together := figures(r.t, "nec_310_15_temp_correction.csv"), figures(r.t, "nec_310_15_adjustment.csv")
	for _, row := range figures(r.t, "nec_310_16.csv") {
		size, parallel := wireSize(row["size_awg_kcmil"]), 1
		if strings.Contains(size, "/0") || strings.HasSuffix(size, "kcmil") {
			parallel = 5
		}
		for _, c := range necColumns {
			for _, a := range air {
				factor, terminal := a["factor_"+c.rating+"c"], min(c.rating, "75")
				if row[c.file] == "" || factor == "" {
					continue
				}
				atTerminal := figureOf(r.t, row[c.file[:3]+terminal+"c_a"])
				for _, b := range together {
					corrected := figureOf(r.t, row[c.file]) * figureOf(r.t, factor) * figureOf(r.t, b["percent"]) / 100
					for n := 1; n <= parallel; n++ {
						text := strings.Replace(necRun(size, c.material, c.rating, terminal, a["ambient_to_c"], int(figureOf(r.t, b["conductors_from"]))), "current: @, ", "", 1)
						out = append(out, laidRun{float64(n) * math.Min(corrected, atTerminal), fmt.Sprintf("%s, parallel: %d", text, n)})
					}
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b laidRun) int {
		switch {
		case a.ampacity < b.ampacity:
			return -1
		case a.ampacity > b.ampacity:
			return 1
		}
		return 0
	})
	return out
}

// largestDevices of 240.4(B) and (C): runs whose ampacity is just below each rating,
// at it where there is one, and just above. The next rating up to 800 A, else the one
// below.
func (r *rowCases) largestDevices() {
	runs := r.laidRuns()
	for _, e := range ratedEditions[:2] { // 2017 has the table of 2020
		for _, kind := range []string{"fuse", "circuit-breaker"} {
			var ratings []float64
			for _, row := range figures(r.t, "nec_240_6.csv") {
				if e.has(row["device"], kind) {
					ratings = append(ratings, figureOf(r.t, row["rating_a"]))
				}
			}
			for i, rating := range ratings {
				first, _ := slices.BinarySearchFunc(runs, rating-1e-6, func(l laidRun, x float64) int { return compareFloats(l.ampacity, x) })
				after, _ := slices.BinarySearchFunc(runs, rating+1e-6, func(l laidRun, x float64) int { return compareFloats(l.ampacity, x) })
				below := rating
				if rating > 800 {
					below = ratings[i-1]
				}
				if first > 0 && first < len(runs) && (i == 0 || runs[first-1].ampacity > ratings[i-1]) {
					r.device(e, kind, runs[first-1], below)
				}
				if first < after {
					r.device(e, kind, runs[first], rating)
				}
				if after < len(runs) && i+1 < len(ratings) && runs[after].ampacity < ratings[i+1] {
					above := ratings[i+1]
					if above > 800 {
						above = rating
					}
					r.device(e, kind, runs[after], above)
				}
			}
		}
	}
}

func compareFloats(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// device adds a run with its largest device, just below, at and just above it.
// Small conductors have a ceiling of their own and come elsewhere.
func (r *rowCases) device(e ratedEdition, kind string, run laidRun, largest float64) {
	if largest > 15 {
		for _, small := range []string{"14 AWG", "12 AWG", "10 AWG"} {
			if strings.Contains(run.conductor, "size: "+small) {
				return
			}
		}
	}
	var turns []string
	if largest > 700 { // where the rule of 800 A may decide
		turns = append(turns, cellOf("us/nec-2023/240.4-next-size", "rating", "next size up to"))
	}
	r.most(rowCase{
		turns:      turns,
		conductors: run.conductor + ", protected_by: p#", protected: "id: p#, kind: " + kind + ", rating: @",
		limit: e.set + "device-protects-conductor", of: "protection[p#].rating",
	}, largest, 0.1, "A")
}

// smallConductors are the ceilings of 240.4(D), which stand beside the ampacities.
// With terminals of 75 °C the ampacity allows more in each case.
func (r *rowCases) smallConductors() {
	const small = "us/nec-2023/240.4-small-conductors"
	for _, row := range figures(r.t, "nec_310_16.csv") {
		for column, material := range map[string]string{"ocpd_cap_cu_a_240_4_d": "copper", "ocpd_cap_al_a_240_4_d": "aluminium"} {
			size := wireSize(row["size_awg_kcmil"])
			if row[column] == "" {
				continue
			}
			r.most(rowCase{
				turns:      []string{cellOf(small, material, size), cellOf(small, "size", size)},
				conductors: strings.Replace(necRun(size, material, "75", "75", "30", 3), "current: @, ", "", 1) + ", protected_by: p#",
				protected:  "id: p#, kind: fuse, rating: @",
				limit:      nec + "device-protects-conductor", of: "protection[p#].rating",
			}, figureOf(r.t, row[column]), 0.1, "A")
		}
	}
}

// continuousLoad is 210.20(A): 125 % of a continuous load, 100 % of another
// (secondary, the address stands at the table).
func (r *rowCases) continuousLoad() {
	for load, percent := range map[string]float64{"continuous": 125, "not continuous": 100} {
		r.least(rowCase{
			turns:      []string{cellOf("us/nec-2023/210.20-continuous", "share", load)},
			conductors: fmt.Sprintf("id: c#, carries: ac, current: 40 A, continuous: %v, protected_by: p#", load == "continuous"),
			protected:  "id: p#, kind: fuse, rating: @",
			limit:      nec + "continuous-load-device", of: "protection[p#].rating",
		}, 40*percent/100, 0.1, "A")
	}
}

// busbarFactors are the factors of 705.12(B)(2)(3) (2017, copy): 125 % of the
// sources, and 120 % of a busbar that is fed from both ends.
func (r *rowCases) busbarFactors() {
	const busbar, head = "us/nec-2017/705.12", "inverters: [{id: W, ac_current: %s A}]\nsupply: {busbar: {rating: @, main: 100 A, position: %s}}\n"
	for _, set := range []string{"us/nec-2017#", "us/nec-2020#", nec} {
		r.least(rowCase{turns: []string{cellOf(busbar, "factor", "output current of the sources")}, head: fmt.Sprintf(head, "40", "anywhere"),
			limit: set + "busbar-any-position", of: "supply.busbar.rating"}, 100+1.25*40, 0.1, "A")
		// Sources so small that only the 120 % decide.
		r.least(rowCase{turns: []string{cellOf(busbar, "factor", "rating of a busbar fed from both ends")}, head: fmt.Sprintf(head, "0.01", "opposite end of the main"),
			limit: set + "busbar-opposite-end", of: "supply.busbar.rating"}, (100+1.25*0.01)/1.2, 0.1, "A")
	}
}
