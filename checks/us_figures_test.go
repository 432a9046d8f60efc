package checks

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// figures reads a file of published figures: one map by column for each row.
func figures(t *testing.T, name string) []map[string]string {
	t.Helper()
	data, err := os.ReadFile("../testdata/reference/" + name)
	require.NoError(t, err)
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, row := range rows[1:] {
		one := map[string]string{}
		for i, column := range rows[0] {
			one[column] = row[i]
		}
		out = append(out, one)
	}
	return out
}

// bestGrade is the best grade that a provenance allows a limit to carry.
func bestGrade(t *testing.T, provenance string) limit.Grade {
	t.Helper()
	for start, grade := range map[string]limit.Grade{"code text": limit.Copy, "official": limit.Official, "page": limit.Secondary, "memory": limit.Memory} {
		if strings.HasPrefix(provenance, start) {
			return grade
		}
	}
	t.Fatalf("provenance %q is not understood", provenance)
	return ""
}

// assertGrade holds the grade that came out to the provenance of the figure.
func assertGrade(t *testing.T, grade, provenance string) {
	t.Helper()
	best := bestGrade(t, provenance)
	have, allowed := slices.Index(limit.Grades(), limit.Grade(grade)), slices.Index(limit.Grades(), best)
	require.GreaterOrEqual(t, have, 0, "grade %q", grade)
	assert.GreaterOrEqual(t, have, allowed, "the limit carries grade %s, but the figure is known as %s at best: %s", grade, best, provenance)
}

// beside writes a figure moved by some of its thousandths: exact, as decimals.
func beside(t *testing.T, figure string, thousandths int64) string {
	t.Helper()
	d, err := quantity.ParseDecimal(figure)
	require.NoError(t, err)
	require.GreaterOrEqual(t, d.Exp, int32(-3))
	for d.Exp > -3 {
		d.Coef, d.Exp = d.Coef*10, d.Exp-1
	}
	d.Coef += thousandths
	return d.String()
}

// converted writes a figure of kWh in MJ (1 kWh = 3.6 MJ, exact).
func converted(t *testing.T, kwh string) string {
	t.Helper()
	d, err := quantity.ParseDecimal(kwh)
	require.NoError(t, err)
	return quantity.Decimal{Coef: d.Coef * 36, Exp: d.Exp - 1}.String()
}

const (
	irc = "us/irc-2021#"
	nec = "us/nec-2023#"
)

// dwelling is the head of a job in a dwelling.
func dwelling(n int, ruleSet, rest string) string {
	return fmt.Sprintf("job: J-%d\npremises: {id: p-%d, occupancy: dwelling}\nstage: designed\nrule_sets: [%s]\n%s", n, n, ruleSet, rest)
}

// moduleOf is a product whose one module has this energy and charge ceiling.
func moduleOf(key, energy, ceiling string) string {
	return fmt.Sprintf("package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: %q: A: equipment.#Storage & {\n\ttitle: \"Sheet\", edition: \"A\", architecture: \"modules in series\"\n\tmodule: {energy: %q, voltage: high: %q}\n}\n", key, energy, ceiling)
}

// storageRow says how one row of the dwelling figures shows in a job: the limit,
// and the settings in which storage counts towards it.
type storageRow struct {
	limit    string
	settings []string
}

var storageRows = map[string]storageRow{
	"utility_closet_basement_storage_or_utility_space": {"energy-in-utility-spaces", []string{"utility closet", "basement", "storage or utility space"}},
	"attached_garage": {"energy-in-garages", []string{"attached garage"}},
	"detached_garage_or_detached_accessory_structure": {"energy-in-garages", []string{"detached garage", "detached accessory structure"}},
	"exterior_wall":      {"energy-on-exterior-walls", []string{"exterior wall"}},
	"outdoors_on_ground": {"energy-outdoors", []string{"outdoors on the ground"}},
	"sum_of_all_four_listed_locations_per_dwelling": {"energy-altogether", []string{"utility closet", "attached garage", "exterior wall", "outdoors on the ground"}},
}

// withoutLimit lists the rows that no limit carries, each with the reason.
var withoutLimit = map[string]string{
	"minimum_size_regulated":            "no limit asks for the listing of a unit by its size",
	"nyc_threshold_lithium_ion_indoors": "one city's threshold, for that city's own rule set",
	"dedicated_space_above":             "no fact of a job says that equipment is a switchboard or panelboard",
	"entrance_large_equipment_width":    "the second way is counted (ways-in-and-out), and every way is as wide as this (way-out-width)",
	"panic_hardware_door_distance":      "the hardware is asked of a door at any distance (large-equipment-door-hardware)",
}

func TestDwellingStorageFigures(t *testing.T) {
	t.Parallel()
	for _, row := range figures(t, "us_dwelling_ess.csv") {
		name, kwh := row["location"], row["max_kwh"]
		t.Run(name, func(t *testing.T) {
			switch how, known := storageRows[name]; {
			case known:
				judgeStorage(t, how, kwh, row["provenance"])
			case name == "per_unit_any_location":
				judgeUnitEnergy(t, kwh, row["provenance"])
			case kwh == "0":
				judgeForbiddenPlace(t, name, row["provenance"])
			default:
				assert.Contains(t, withoutLimit, name, "a row without a limit")
			}
		})
	}
}

// judgeStorage judges the sum over the premises just below, at and just above
// the figure, written in kWh and MJ, in each setting and spread over all of them.
func judgeStorage(t *testing.T, how storageRow, kwh, provenance string) {
	type want struct {
		kind judge.Kind
		text string
	}
	f := firm{"witnessmark.cue": rootFile}
	expected := map[string]want{}
	for off, kind := range map[int64]judge.Kind{-1: within, 0: within, 1: outside} {
		total := beside(t, kwh, off)
		for i, setting := range how.settings {
			for _, text := range []string{total + " kWh", converted(t, total) + " MJ"} {
				n := len(expected)
				rest := fmt.Sprintf("locations: [{id: L, setting: %s}]\nexisting:\n  - {id: E, location: L, energy: %s, kind: lithium-ion}\n", setting, text)
				if len(how.settings) > 1 { // half of it in another of the settings
					other := how.settings[(i+1)%len(how.settings)]
					rest = fmt.Sprintf("locations: [{id: L, setting: %s}, {id: M, setting: %s}]\nexisting:\n  - {id: E, location: L, energy: 5 kWh, kind: lithium-ion}\n  - {id: F, location: M, energy: %s kWh, kind: lithium-ion}\n", setting, other, beside(t, total, -5000))
					text = total + " kWh in two places"
				}
				f[fmt.Sprintf("jobs/%03d.yaml", n)] = dwelling(n, "us/irc-2021", rest)
				expected[fmt.Sprintf("p-%d", n)] = want{kind, text}
			}
		}
	}
	run, _ := lint(t, f)
	require.Empty(t, run.Problems)
	judged := 0
	for _, p := range run.Repository.Premises {
		for _, o := range p.Outcomes {
			if o.Name != irc+how.limit {
				continue
			}
			judged++
			assert.Equal(t, expected[p.Premises].kind.String(), o.Kind.String(), "%s: %s (%s)", o.Name, expected[p.Premises].text, o.Reason)
			assertGrade(t, string(o.Limit.Grade), provenance)
		}
	}
	assert.Equal(t, len(expected), judged, "%s was not judged for every job", how.limit)
}

func judgeUnitEnergy(t *testing.T, kwh, provenance string) {
	f := firm{"witnessmark.cue": rootFile}
	want := map[string]judge.Kind{}
	for off, kind := range map[int64]judge.Kind{-1: within, 0: within, 1: outside} {
		total := beside(t, kwh, off)
		for _, text := range []string{total + " kWh", converted(t, total) + " MJ"} {
			n := len(want)
			f[fmt.Sprintf("equipment/kelmar-%d.cue", n)] = moduleOf(fmt.Sprintf("kelmar-%d", n), text, "50 V")
			file := fmt.Sprintf("jobs/%d.yaml", n)
			f[file] = dwelling(n, "us/irc-2021", fmt.Sprintf("units: [{id: U, stacks: [S], exempt_by_marking: false}]\nstacks: [{id: S, equipment: kelmar-%d@A, modules: 1}]\n", n))
			want[file] = kind
		}
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for file, kind := range want {
		s := out.full[file+" "+irc+"energy-per-unit units[U].energy"]
		assert.Equal(t, kind.String(), s.kind.String(), "%s %s", f[file], s.reason)
		assertGrade(t, s.grade, provenance)
	}
}

// judgeForbiddenPlace judges places where no size is allowed: the smallest unit
// is outside, and what is marked for dwelling spaces is kept out of the sleeping
// room only (deliberately the stricter reading of the rule set).
func judgeForbiddenPlace(t *testing.T, name, provenance string) {
	places := map[string]struct {
		setting, limit string
		marked         judge.Kind
	}{
		"sleeping_room_or_closet_or_space_opening_directly_into_it": {"sleeping room", "sleeping-room", outside},
		"habitable_space_other_than_above":                          {"habitable space", "location", judge.NotApplicable},
	}
	place, ok := places[name]
	require.True(t, ok, "a place that no job of this test is in: %s", name)
	f := firm{"witnessmark.cue": rootFile, "equipment/vellam.cue": moduleOf("vellam", "0.001 kWh", "50 V")}
	for i, marked := range []string{"false", "true"} {
		f[fmt.Sprintf("jobs/%d.yaml", i)] = dwelling(i, "us/irc-2021", fmt.Sprintf("locations: [{id: L, setting: %s}]\nunits: [{id: U, location: L, stacks: [S], exempt_by_marking: %s}]\nstacks: [{id: S, equipment: vellam@A, modules: 1}]\n", place.setting, marked))
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for i, kind := range []judge.Kind{outside, place.marked} {
		s, ok := out.full[fmt.Sprintf("jobs/%d.yaml %s%s locations[L].setting", i, irc, place.limit)]
		require.True(t, ok)
		assert.Equal(t, kind.String(), s.kind.String(), "%s", s.reason)
		assertGrade(t, s.grade, provenance)
	}
}

// opposite is what each condition of the working-space table means on site.
var opposite = map[string]string{"1": "nothing live or grounded", "2": "grounded surface", "3": "live parts"}

func TestWorkingSpaceFigures(t *testing.T) {
	t.Parallel()
	for _, row := range figures(t, "nec_110_26.csv") {
		t.Run(row["dimension"]+" "+row["volts_to_ground"]+" "+row["condition"], func(t *testing.T) {
			switch row["dimension"] {
			case "depth":
				low, high, _ := strings.Cut(row["volts_to_ground"], "-")
				name := fmt.Sprintf("working-depth-%s-condition-%s", row["volts_to_ground"], row["condition"])
				for _, volts := range []string{low, high} {
					judgeSpace(t, row, name, "depth", volts, opposite[row["condition"]])
				}
			case "width", "height":
				judgeSpace(t, row, "working-"+row["dimension"], row["dimension"], "400", opposite["1"])
			default:
				assert.Contains(t, withoutLimit, row["dimension"], "a row without a limit")
			}
		})
	}
}

// judgeSpace judges one row at, just below and just above its figure, in feet
// and inches and in metres as printed. The voltage is that of the stack, at one
// end of the row, so that a row that begins or ends elsewhere shows.
func judgeSpace(t *testing.T, row map[string]string, name, dimension, volts, across string) {
	t.Helper()
	f := firm{"witnessmark.cue": rootFile, "equipment/mirrel.cue": moduleOf("mirrel", "1 kWh", volts+" V")}
	want := map[string]judge.Kind{}
	for off, kind := range map[int64]judge.Kind{-1: outside, 0: within, 1: within} {
		for _, text := range []string{beside(t, row["minimum_ft"], off) + " ft", inches(t, row["minimum_ft"], off) + " in",
			beside(t, row["printed_m"], off) + " m", millimetres(t, row["printed_m"], off) + " mm"} {
			n := len(want)
			file := fmt.Sprintf("jobs/%02d.yaml", n)
			f[file] = dwelling(n, "us/nec-2023", fmt.Sprintf("locations: [{id: L, working_space: {%s: %s, opposite: %s}}]\nunits: [{id: U, location: L, stacks: [S]}]\nstacks: [{id: S, equipment: mirrel@A, modules: 1}]\n", dimension, text, across))
			want[file] = kind
		}
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for file, kind := range want {
		at := "locations[L].working_space." + dimension
		s, ok := out.full[file+" "+nec+name+" "+at]
		require.True(t, ok, "there is no limit %s", name)
		assert.Equal(t, kind.String(), s.kind.String(), "at %s V\n%s%s, %s", volts, f[file], s.bound, s.reason)
		assertGrade(t, s.grade, row["provenance"])
		assertOnlyRow(t, out, file, at, nec+name)
	}
}

// assertOnlyRow sees to it that no other row of the table of depths applies.
func assertOnlyRow(t *testing.T, out *lines, file, at, name string) {
	t.Helper()
	for key, s := range out.full {
		if strings.HasPrefix(key, file+" "+nec+"working-depth-") && key != file+" "+name+" "+at {
			assert.Contains(t, []string{"not_applicable", "not_checked", "not_due"}, s.kind.String(), "%s beside %s", key, name)
			if strings.HasSuffix(at, ".depth") {
				assert.Equal(t, "not_applicable", s.kind.String(), "%s beside %s", key, name)
			}
		}
	}
}

// inches writes feet, moved by thousandths of an inch, in inches.
func inches(t *testing.T, feet string, thousandths int64) string {
	t.Helper()
	d, err := quantity.ParseDecimal(feet)
	require.NoError(t, err)
	return beside(t, quantity.Decimal{Coef: d.Coef * 12, Exp: d.Exp}.String(), thousandths)
}

// millimetres writes metres, moved by thousandths of a millimetre, in mm.
func millimetres(t *testing.T, metres string, thousandths int64) string {
	t.Helper()
	d, err := quantity.ParseDecimal(metres)
	require.NoError(t, err)
	return beside(t, quantity.Decimal{Coef: d.Coef * 1000, Exp: d.Exp}.String(), thousandths)
}

// A row that is said to have no limit has none, and is a row of the files.
func TestFiguresWithoutLimitAreStillWithout(t *testing.T) {
	t.Parallel()
	rows := map[string]bool{}
	for _, row := range figures(t, "us_dwelling_ess.csv") {
		rows[row["location"]] = true
	}
	for _, row := range figures(t, "nec_110_26.csv") {
		rows[row["dimension"]] = true
	}
	_, sets := shipped(t)
	for name := range withoutLimit {
		assert.True(t, rows[name], "%s is no row any more", name)
		for _, set := range sets {
			for _, l := range set.Limits {
				assert.NotContains(t, l.Name, strings.ReplaceAll(name, "_", "-"), "%s has a limit now", name)
			}
		}
	}
}
