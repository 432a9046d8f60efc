package checks

import (
	"fmt"
	"math"
	"slices"

	"github.com/stretchr/testify/require"
)

// tradeSizes are the sizes of wire in ascending order, as testdata/reference writes
// them; those of Table 250.122 that stand in no list of areas among them.
var tradeSizes = []string{"16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0", "250", "300", "350", "400", "500", "600", "700", "750", "800", "1000", "1200", "1250", "1500"}

// sizeBeside is the wire that many sizes larger.
func (r *rowCases) sizeBeside(size string, by int) string {
	i := slices.Index(tradeSizes, size)
	require.GreaterOrEqual(r.t, i, 0, size)
	return wireSize(tradeSizes[i+by])
}

// groundingConductors of Table 250.122: for a device of each rating, and one just
// above it, the published size and the next one to either side. The 2017 edition
// prints other aluminium at 5000 and 6000 A (head of the reference file). The circuit
// is of the other material and no larger than its current asks for, so that nothing
// but the table decides.
func (r *rowCases) groundingConductors() {
	rows := figures(r.t, "nec_250_122.csv")
	for _, e := range []struct{ table, set string }{{"us/nec-2023/250.122", nec}, {"us/nec-2017/250.122", "us/nec-2017#"}} {
		published := func(i int, column string) string {
			if size := rows[i][column]; size != "1250" || e.set == nec {
				return size
			}
			return "1200"
		}
		for i, row := range rows {
			device := row["ocpd_max_a"]
			for column, of := range map[string][2]string{"cu_awg_kcmil": {"copper", "aluminium"}, "al_awg_kcmil": {"aluminium", "copper"}} {
				one := rowCase{
					turns:      []string{cellOf(e.table, of[0], device), cellOf(e.table, "device up to", device)},
					conductors: fmt.Sprintf("id: c#, carries: dc, size: 500 kcmil, needed_size: 500 kcmil, material: %s, protected_by: p#\nid: g#, carries: protective earth, protects: c#, material: %s, size: @", of[1], of[0]),
					limit:      e.set + "equipment-grounding-size", of: "conductors[g#].size",
				}
				r.sizes(one, device+" A", published(i, column))
				just := number(figureOf(r.t, device)+0.1) + " A"
				if i+1 == len(rows) {
					one.because, one.protected = "6000", "id: p#, kind: fuse, rating: "+just
					r.add(one.with(wireSize("1500"), notChecked))
					continue
				}
				one.turns = []string{cellOf(e.table, of[0], rows[i+1]["ocpd_max_a"]), cellOf(e.table, "device up to", device)}
				r.sizes(one, just, published(i+1, column))
			}
		}
	}
}

// sizes adds the size below a published one, that one, and the one above.
func (r *rowCases) sizes(c rowCase, device, size string) {
	if device != "" {
		c.protected = "id: p#, kind: fuse, rating: " + device
	}
	r.add(c.with(r.sizeBeside(size, -1), outside))
	r.add(c.with(wireSize(size), within))
	r.add(c.with(r.sizeBeside(size, +1), within))
}

// electrodeConductors are the sentences of 250.166 (2023, copy).
func (r *rowCases) electrodeConductors() {
	const table = "us/nec-2023/250.166"
	for _, c := range []struct{ rule, material, supplied, electrode, size string }{
		{"not smaller than", "copper", "12", "ring", "8"}, {"not smaller than", "aluminium", "10", "ring", "6"},
		{"largest asked for", "copper", "500", "ring", "3/0"}, {"largest asked for", "aluminium", "500", "ring", "250"},
		{"sole connection to a concrete-encased electrode", "copper", "500", "concrete-encased", "4"},
		{"sole connection to a rod, pipe or plate", "copper", "500", "rod", "6"}, {"sole connection to a rod, pipe or plate", "copper", "500", "pipe", "6"},
		{"sole connection to a rod, pipe or plate", "aluminium", "500", "plate", "4"},
		{"largest asked for", "aluminium", "500", "concrete-encased", "250"}, // (D) names copper alone
		{"", "copper", "2", "ring", "2"},
	} {
		one := rowCase{
			head:       fmt.Sprintf("inverters: [{id: W, dc_earthing: solidly grounded}]\nsupply: {electrode: %s}\n", c.electrode),
			conductors: fmt.Sprintf("id: c#, carries: dc, size: %s\nid: g#, carries: earth electrode, protects: c#, inverter: W, material: %s, size: @", wireSize(c.supplied), c.material),
			limit:      nec + "dc-electrode-conductor", of: "conductors[g#].size",
		}
		if c.rule != "" {
			one.turns = []string{cellOf(table, c.material, c.rule)}
		}
		r.sizes(one, "", c.size)
	}
}

// areasOfNEC are the areas of Chapter 9, Table 8, by which 250.122(B) enlarges a
// grounding conductor: to exactly an area, which that size has, and as little above
// it as the sizes of the tables allow, which only the next size has.
func (r *rowCases) areasOfNEC() {
	const areas = "us/nec-2023/ch9-table8"
	cmil, sizes := map[string]float64{}, []string{}
	for _, row := range figures(r.t, "nec_ch9_table8.csv") {
		if row["stranding"] == "stranded" {
			cmil[row["size_awg_kcmil"]] = figureOf(r.t, row["area_cmil"])
			sizes = append(sizes, row["size_awg_kcmil"])
		}
	}
	enlarged := func(turns []string, device, laid, needed, size string) {
		r.sizes(rowCase{turns: turns,
			conductors: fmt.Sprintf("id: c#, carries: dc, size: %s, needed_size: %s, material: aluminium, protected_by: p#\nid: g#, carries: protective earth, protects: c#, material: copper, size: @", wireSize(laid), wireSize(needed)),
			limit:      nec + "equipment-grounding-size", of: "conductors[g#].size",
		}, device+" A", size)
	}
	for i, size := range sizes {
		turns := func() []string {
			return []string{cellOf(areas, "area", "stranded", wireSize(size)), cellOf(areas, "size", "stranded", wireSize(size))}
		}
		best, device, laid, needed, exact := math.Inf(1), "", "", "", false
		for _, row := range figures(r.t, "nec_250_122.csv") {
			byTable := row["cu_awg_kcmil"]
			if cmil[byTable] == 0 {
				continue
			}
			if !exact && cmil[byTable] < cmil[size] { // in proportion from the size of the table itself: that size exactly
				enlarged(turns(), row["ocpd_max_a"], size, byTable, size)
				exact = true
			}
			for _, l := range sizes {
				for _, n := range sizes {
					if a := cmil[byTable] * cmil[l] / cmil[n]; cmil[l] > cmil[n] && a > cmil[size]+1e-6 && a < best {
						best, device, laid, needed = a, row["ocpd_max_a"], l, n
					}
				}
			}
		}
		if i+1 < len(sizes) && best < cmil[size]*1.01 {
			enlarged(turns(), device, laid, needed, sizes[i+1])
		}
	}
}
