package checks

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/table"
	"witnessmark.example/schema"
)

// rowLayers are tables that are changed together: of two that one case needs, each
// stands in a layer of its own, so that a case which fails does so for its own cell.
var rowLayers = [][]string{
	{"us/nec-2023/310.16", "us/nec-2023/ch9-table8", "us/nec-2023/240.6", "us/nec-2020/240.6", "us/nec-2023/250.166", "us/nec-2023/210.20-continuous", "us/nec-2017/705.12",
		"iec/60364-5-52/capacity", "iec/60228/resistance", "iec/60364-5-54/54.2", "iec/60364-5-54/k",
		"iec/60898/trip", "iec/60898/trip-from-memory", "iec/61008/trip"},
	{"us/nec-2023/310.15-ambient", "us/nec-2023/250.122", "us/nec-2017/250.122", "us/nec-2023/ch9-table8-note2", "us/nec-2023/240.4-small-conductors",
		"iec/60364-5-52/ambient", "iec/60228/temperature", "iec/60364-5-54/adiabatic", "practice/reactance"},
	{"us/nec-2023/310.15-count", "us/nec-2023/240.4-next-size", "iec/60364-5-52/group-bunched", "iec/60364-5-52/group-single-layer", "iec/60364-5-52/52.1", "iec/60364-5-54/k-from-memory"},
	{"us/nec-2023/310.15-roof", "us/nec-2020/310.15-roof", "us/nec-2023/310.10-parallel"},
	{"us/nec-2023/110.14-columns"},
}

// unreadCells lists, by how their name begins, the figures that no verdict turns on,
// each with the reason. Up and down are changes of a figure that no verdict shows.
var unreadCells = map[string]string{
	"iec/60898-60269/ratings ":             "proposals alone look into it; it never judges",
	"iec/60364-5-54/material ":             "constants by which the tables of k were checked; no calculation reads them",
	"iec/60364-5-54/separate ":             "limits hold the figures themselves (smallestProtective judges them)",
	"iec/60364-5-54/bonding ":              "limits hold the figures themselves (smallestProtective judges them); that of steel stands in none, since no material of a job is steel",
	"iec/60364-5-52/group-perforated-tray": "cables on a tray are of methods for which no capacities are held; the reason is judged",

	"iec/60364-5-54/k-from-memory [separate, not bunched, PVC 70 °C, steel":                         "no material of a job is steel",
	"iec/60364-5-54/k-from-memory [separate, not bunched, XLPE 90 °C, steel":                        "no material of a job is steel",
	"iec/60364-5-54/k-from-memory [bare, touching":                                                  "no fact tells a bare conductor that touches a cable; it has the lowest k of bare ones",
	"iec/60364-5-54/k-from-memory [bare, no risk of damage, visible":                                "no fact tells the place; a bare conductor has k of a place with a risk of fire",
	"iec/60364-5-54/k-from-memory [bare, no risk of damage, normal":                                 "no fact tells the place; a bare conductor has k of a place with a risk of fire",
	"iec/60364-5-54/k-from-memory [core in cable or bunched, PVC 70 °C, copper, 300] up to down":    "thinner ones stand in iec/60364-5-54/k, which is asked first",
	"iec/60364-5-54/k-from-memory [core in cable or bunched, PVC 70 °C, aluminium, 300] up to down": "thinner ones stand in iec/60364-5-54/k, which is asked first",
	"iec/60364-5-54/k-from-memory [separate, not bunched, PVC 70 °C, copper, 300] up to down":       "thinner ones stand in iec/60364-5-54/k, which is asked first",
	"us/nec-2023/ch9-table8 [solid, 14 AWG] area":                                                   "areas are asked of stranded conductors",
	"us/nec-2023/ch9-table8 [solid, 12 AWG] area":                                                   "areas are asked of stranded conductors",
	"us/nec-2023/ch9-table8 [solid, 10 AWG] area":                                                   "areas are asked of stranded conductors",
	"us/nec-2023/ch9-table8 [solid, 8 AWG] area":                                                    "areas are asked of stranded conductors",
	"us/nec-2023/ch9-table8 [stranded, 14 AWG] area":                                                "no grounding conductor is enlarged from a smaller one, or to an area as little above it",
	"us/nec-2023/ch9-table8 [stranded, 500 kcmil] area up":                                          "the table ends there",
	"us/nec-2023/ch9-table8 [stranded, 400 kcmil] area up":                                          "the sizes of the tables give no area as little above it",
	"us/nec-2023/310.15-count [1] from down":                                                        "there is no number below one",
	"us/nec-2023/310.15-roof [0] from down":                                                         "there is no height below zero",
	"us/nec-2020/310.15-roof [0] from down":                                                         "there is no height below zero",
	"us/nec-2023/310.10-parallel [2] from down":                                                     "one conductor is not in parallel",
	"iec/60364-5-52/group-single-layer [6] circuits":                                                "six and seven circuits have one factor",
}

// changedSteps are changes larger than one in the last printed digit, where nothing
// between is ever asked for: the next standard rating, the next size, an area of wire.
var changedSteps = map[string][2]string{ // down, up
	"us/nec-2023/240.4-next-size [next size up to] rating": {"700", "1000"},
	"practice/reactance [metric] up to":                    {"35", "70"},
}

// changedFigure is a figure a little larger or smaller; false where there is none.
func changedFigure(t *testing.T, name, text string, up bool) (string, bool) {
	t.Helper()
	by, at := -1, 0
	if up {
		by, at = 1, 1
	}
	if step, ok := changedSteps[name]; ok {
		return step[at], true
	}
	if size, unit, ok := strings.Cut(text, " "); ok && (unit == "AWG" || unit == "kcmil") {
		return wireSize(tradeSizes[slices.Index(tradeSizes, size)+by]), true
	}
	if text == "" {
		return "", false
	}
	step := 1.0
	if _, digits, ok := strings.Cut(text, "."); ok {
		for range digits {
			step /= 10
		}
	}
	x := figureOf(t, text)
	if strings.HasPrefix(name, "us/nec-2023/ch9-table8 ") && strings.HasSuffix(name, "area") {
		step = x / 100
	}
	return number(x + float64(by)*step), true
}

// changedTables is what ships with figures of some tables changed, and the names of
// the cells.
func changedTables(t *testing.T, names []string, change rowChange) (*Shipped, map[string]bool) {
	t.Helper()
	own, digest, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	cells := map[string]bool{}
	for i := range own.Tables {
		tab := &own.Tables[i]
		if !slices.Contains(names, tab.Name) {
			continue
		}
		for r, row := range tab.Rows {
			named := cellNames(tab, row)
			for k, c := range tab.Columns {
				if c.Unit == "" || c.Key != change.keys || (k+r)%2 == 1 != change.odd {
					continue
				}
				if text, ok := changedFigure(t, named[k], row.Cells[k], change.up); ok {
					row.Cells[k] = text
					cells[named[k]] = true
				}
			}
		}
	}
	s, err := compileShipped(own, digest, schema.Files)
	require.NoError(t, err)
	return s, cells
}

func cellNames(tab *table.Table, row table.Row) []string {
	var out []string
	for _, c := range tab.Columns {
		out = append(out, cellOf(tab.Name, c.Name, slices.Clone(row.Cells[:tab.Keys()])...))
	}
	return out
}

// isUnread tells whether a cell, or one change of it, stands in unreadCells.
func isUnread(cell string) bool {
	for begins := range unreadCells {
		if strings.HasPrefix(cell, begins) {
			return true
		}
	}
	return false
}

// No figure of a table can change, up or down by the last digit that is printed,
// without a case of that very cell failing: every figure of every table is judged or
// stands in unreadCells with the reason.
func TestEveryTableFigureCounts(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	t.Parallel()
	cases := tableRows(t)
	for _, layer := range rowLayers {
		for _, change := range rowChanges() {
			s, changed := changedTables(t, layer, change)
			failed := map[string]bool{}
			mine := casesOn(cases, changed)
			if len(mine) == 0 {
				mine = cases[:1] // nothing of the kind in these tables, or nothing judges it
			}
			for i, text := range judgeRows(t, s, mine) {
				for _, cell := range mine[i].turns {
					failed[cell] = failed[cell] || text != ""
				}
			}
			for cell := range changed {
				name := cell + " " + change.direction()
				assert.NotEqual(t, isUnread(name), failed[cell], "%s: a verdict turns on it or it stands in unreadCells, one of the two", name)
			}
		}
	}
}

// rowChange is a change of some figures: of keys or of others, up or down, of every
// second one like the fields of one colour on a chessboard, so that neighbours, which
// one case may need both, do not change at once.
type rowChange struct {
	keys, odd, up bool
}

func rowChanges() []rowChange {
	var out []rowChange
	for i := range 8 {
		out = append(out, rowChange{i&1 > 0, i&2 > 0, i&4 > 0})
	}
	return out
}

func (c rowChange) direction() string {
	if c.up {
		return "up"
	}
	return "down"
}

// casesOn are the cases that turn on one of the cells and can show it.
func casesOn(all []rowCase, cells map[string]bool) []rowCase {
	var out []rowCase
	for _, c := range all {
		if !c.far && slices.ContainsFunc(c.turns, func(cell string) bool { return cells[cell] }) {
			out = append(out, c)
		}
	}
	return out
}

// Every table is in a layer or is not read, and what is said to be unread exists.
func TestEveryTableIsInALayer(t *testing.T) {
	t.Parallel()
	own, _, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	var all []string
	for i := range own.Tables {
		tab := &own.Tables[i]
		layered := slices.ContainsFunc(rowLayers, func(layer []string) bool { return slices.Contains(layer, tab.Name) })
		for _, row := range tab.Rows {
			for k, cell := range cellNames(tab, row) {
				all = append(all, cell+" down", cell+" up")
				if tab.Columns[k].Unit != "" && row.Cells[k] != "" {
					assert.True(t, layered || isUnread(cell+" down"), "%s is judged by no test", cell)
				}
			}
		}
	}
	for begins := range unreadCells {
		assert.True(t, slices.ContainsFunc(all, func(cell string) bool { return strings.HasPrefix(cell, begins) }), "there is no figure %s", begins)
	}
}

// A figure that is broken where an engineer would break it, in the CUE of the table,
// fails the cases of that cell and no other.
func TestBrokenTableIsNoticed(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	t.Parallel()
	const printed, broken = `["6 AWG", 55, 65, 75,`, `["6 AWG", 55, 66, 75,`
	own := edited(t, map[string]func(string) string{"tables/nec_310_16.cue": func(s string) string {
		require.Equal(t, 1, strings.Count(s, printed))
		return strings.Replace(s, printed, broken, 1)
	}})
	s, err := evaluated(own)
	require.NoError(t, err)
	cell := cellOf("us/nec-2023/310.16", "copper 75", "6 AWG")
	r := &rowCases{t: t}
	r.ampacities()
	failed := 0
	for i, text := range judgeRows(t, s, r.all) {
		if text != "" {
			failed++
			assert.Contains(t, r.all[i].turns, cell, text)
		}
	}
	assert.Equal(t, 1, failed, "66 A lets 65.1 A pass, and nothing else changes")
}
