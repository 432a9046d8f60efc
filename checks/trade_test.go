package checks

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// The values in this file are common practice without a source and serve as test
// values only. Each check has a firm of its own.

// reading is one value as written on site, and how it must come out.
type reading struct {
	written string
	kind    judge.Kind
	margin  string // empty where it is not looked at
}

const (
	within   = judge.Within
	outside  = judge.Outside
	tooClose = judge.TooClose
)

// sheet is a firm with one invented product that has one limit.
func sheet(product, limitName, body string) firm {
	return firm{"witnessmark.cue": rootFile, "equipment/" + product + ".cue": `package equipment

import "witnessmark.example/schema/equipment"

#products: "` + product + `": A: equipment.#Storage & {
	title: "Installation sheet", edition: "A", architecture: "modules in series"
	limits: "` + limitName + `": {` + body + `, clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
}
`}
}

// ownRules is a firm with one rule set of its own that has one limit.
func ownRules(name, kind, decision, more, limitName, body string) firm {
	return firm{"witnessmark.cue": rootFile, "rules/" + name + ".cue": `package rules

import "witnessmark.example/schema/limit"

#own: limit.#RuleSet & {
	source: {name: "` + name + `", title: "Own", edition: "1", kind: "` + kind + `", decision: "` + decision + `", decided_by: "The firm.", always: true}
	` + more + `
	limits: "` + limitName + `": {` + body + `, clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
}
`}
}

// judgeReadings puts every reading into a job of its own (job is its text after
// the head, with one %s for the reading) and holds the outcomes to what is said.
func judgeReadings(t *testing.T, f firm, stage, job, limitName, factAt string, readings []reading) {
	t.Helper()
	file := func(i int) string { return fmt.Sprintf("jobs/%02d.yaml", i) }
	for i, r := range readings {
		f[file(i)] = fmt.Sprintf("job: J-%d\npremises: {id: p-%d}\nstage: %s\n", i, i, stage) + fmt.Sprintf(job, r.written)
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for i, r := range readings {
		s, ok := out.full[file(i)+" "+limitName+" "+factAt]
		require.True(t, ok, "%s was not judged for %s\n%s", limitName, factAt, f[file(i)])
		assert.Equal(t, r.kind.String(), s.kind.String(), "%s against %s (%s)", r.written, s.bound, s.reason)
		if r.margin != "" {
			assert.Equal(t, r.margin, s.margin, "%s against %s", r.written, s.bound)
		}
	}
}

const standing = `locations:
  - {id: L, %s}
units:
  - {id: U, location: L, stacks: [S]}
stacks:
  - {id: S, equipment: %s@A}
`

func inPlace(place, product string) string { return fmt.Sprintf(standing, place, product) }

func TestLowestAirOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("ardel", "air-low", `measure: "stacks.unit.location.air.low", within: >=-10, unit: "°C"`)
	judgeReadings(t, f, "designed", inPlace("air: {low: %s}", "ardel"), "equipment/ardel@A#air-low", "locations[L].air.low", []reading{
		{"-9.9 °C", within, "0.1 K"},
		{"-10 °C", within, "0 K"},
		{"-10.1 °C", outside, "0.1 K"},
		{"14 °F", within, ""},
		{"14.1 °F", within, ""},
		{"13.9 °F", outside, ""},
		{"263.15 K", within, ""},
		{"-9 °C ± 2 °C", tooClose, ""},
		{"-9 °C ± 1 °C", within, "1 K"}, // a band that only touches is within
	})
}

func TestHighestAirOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("bevor", "air-high", `measure: "stacks.unit.location.air.high", within: <=50, unit: "°C"`)
	judgeReadings(t, f, "designed", inPlace("air: {high: %s}", "bevor"), "equipment/bevor@A#air-high", "locations[L].air.high", []reading{
		{"49.9 °C", within, "0.1 K"},
		{"50 °C", within, "0 K"},
		{"50.1 °C", outside, "0.1 K"},
		{"121.9 °F", within, ""},
		{"122 °F", within, "0.0 K"},
		{"122.1 °F", outside, ""},
		{"120 °F ± 3 °F", tooClose, ""},
	})
}

func TestLowestHumidityOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("cassow", "damp-low", `measure: "stacks.unit.location.humidity.low", within: >=5, unit: "%"`)
	judgeReadings(t, f, "designed", inPlace("humidity: {low: %s}", "cassow"), "equipment/cassow@A#damp-low", "locations[L].humidity.low", []reading{
		{"5.1 %", within, "0.1 %"},
		{"5 %", within, "0 %"},
		{"4.9 %", outside, "0.1 %"},
		{"50 ‰", within, ""},
		{"49 ‰", outside, ""},
		{"6 % ± 2 %", tooClose, ""}, // percent points
	})
}

func TestHighestHumidityOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("dorrim", "damp-high", `measure: "stacks.unit.location.humidity.high", within: <=95, unit: "%"`)
	judgeReadings(t, f, "designed", inPlace("humidity: {high: %s}", "dorrim"), "equipment/dorrim@A#damp-high", "locations[L].humidity.high", []reading{
		{"94.9 %", within, "0.1 %"},
		{"95 %", within, "0 %"},
		{"95.1 %", outside, "0.1 %"},
		{"951 ‰", outside, ""},
		{"93 % ± 3 %", tooClose, ""},
	})
}

// The base from the wall, in mm and as a US tape shows it: 3/4 in is 19.05 mm,
// which a rule of thumb takes for 19 mm; 15/32 in is 11.9 mm.
func TestBaseFromTheWall(t *testing.T) {
	t.Parallel()
	f := sheet("ellam", "wall", `measure: "stacks.wall_gap", within: >=12 & <=19, unit: "mm"`)
	judgeReadings(t, f, "designed", "stacks:\n  - {id: S, equipment: ellam@A, wall_gap: %s}\n", "equipment/ellam@A#wall", "stacks[S].wall_gap", []reading{
		{"11.9 mm", outside, "0.1 mm"},
		{"12 mm", within, "0 mm"},
		{"12.1 mm", within, "0.1 mm"},
		{"18.9 mm", within, "0.1 mm"},
		{"19 mm", within, "0 mm"},
		{"19.1 mm", outside, "0.1 mm"},
		{"15/32 in", outside, ""},
		{"1/2 in", within, ""},
		{"0.472 in", outside, ""},
		{"0.473 in", within, ""},
		{"0.748 in", within, ""},
		{"0.749 in", outside, ""},
		{"3/4 in", outside, "0.1 mm"},
		{"47/64 in", within, ""},
		{"1.9 cm", within, "0 mm"},
		{"18.5 mm ± 1 mm", tooClose, ""},
		{"18 mm ± 1 mm", within, "1 mm"},
	})
}

func TestModulesInSeries(t *testing.T) {
	t.Parallel()
	f := sheet("farnel", "series", `measure: "stacks.modules", within: >=3 & <=8, unit: "modules"`)
	judgeReadings(t, f, "designed", "stacks:\n  - {id: S, equipment: farnel@A, modules: %s}\n", "equipment/farnel@A#series", "stacks[S].modules", []reading{
		{"2", outside, "1 module"},
		{"3", within, "0 modules"},
		{"4", within, "1 module"},
		{"7", within, "1 module"},
		{"8", within, "0 modules"},
		{"9", outside, "1 module"},
	})
}

// Built decides from installed on: one module more than planned is outside.
func TestModulesInSeriesAsBuilt(t *testing.T) {
	t.Parallel()
	f := sheet("garlo", "series", `measure: "stacks.modules", within: <=8, unit: "modules"`)
	judgeReadings(t, f, "installed", "stacks:\n  - {id: S, equipment: {planned: garlo@A, built: garlo@A}, modules: {planned: 8, built: %s}}\n", "equipment/garlo@A#series", "stacks[S].modules", []reading{
		{"8", within, "0 modules"},
		{"9", outside, "1 module"},
	})
}

func TestStacksInParallel(t *testing.T) {
	t.Parallel()
	f := sheet("hestin", "parallel", `measure: "units.stack_count", within: <=3, unit: "stacks"`)
	job := `units:
  - {id: U, stacks: %s}
stacks:
  - {id: a, equipment: hestin@A}
  - {id: b, equipment: hestin@A}
  - {id: c, equipment: hestin@A}
  - {id: d, equipment: hestin@A}
`
	judgeReadings(t, f, "designed", job, "equipment/hestin@A#parallel", "units[U].stack_count", []reading{
		{"[a, b]", within, "1 stack"},
		{"[a, b, c]", within, "0 stacks"},
		{"[a, b, c, d]", outside, "1 stack"},
	})
}

func joint(kind, product string) string {
	return "stacks:\n  - {id: S, equipment: " + product + "@A}\njoints:\n  - {id: j, joint: " + kind + ", stack: S, torque: {set: %s}}\n"
}

// Bracket screws, M5. The policy says what a torque set on a tool is good for
// when nobody wrote it down; what is written down counts instead.
func TestTorqueOfBracketScrews(t *testing.T) {
	t.Parallel()
	f := sheet("istrel", "bracket", `measure: "joints.torque.set", within: >=5.5, unit: "N·m", when: joints: joint: "wall bracket"`)
	f["rules/policy.cue"] = ownRules("policy", "policy", "guarded", `bands: "joints.torque.set": "4 %"`, "marked", `measure: "joints.marked", within: true`)["rules/policy.cue"]
	judgeReadings(t, f, "designed", joint("wall bracket", "istrel"), "equipment/istrel@A#bracket", "joints[j].torque.set", []reading{
		{"5.4 N·m", outside, "0.1 N·m"},
		{"5.5 N·m", tooClose, "0.0 N·m"},
		{"5.5 N·m ± 0 N·m", within, "0.0 N·m"},
		{"5.72 N·m", tooClose, ""}, // 96 % of it is 5.491
		{"5.73 N·m", within, ""},   // 5.501
		{"5.6 N·m", tooClose, ""},
		{"5.6 N·m ± 1 %", within, "0.1 N·m"},
		{"5.6 N·m ± 0.1 N·m", within, ""},
		{"5.73 N·m ± 10 %", tooClose, ""},
		{"48.6 lbf·in", outside, ""}, // the limit is 48.68 lbf·in
		{"48.7 lbf·in", tooClose, ""},
		{"48.7 lbf·in ± 0 %", within, ""},
		{"50.7 lbf·in", tooClose, ""}, // 48.67
		{"50.8 lbf·in", within, ""},   // 48.77
	})
}

// Between modules: a band of the policy in the measure's own unit.
func TestTorqueBetweenModules(t *testing.T) {
	t.Parallel()
	f := ownRules("policy", "policy", "guarded", `bands: "joints.torque.set": "0.1 N·m"`, "between", `measure: "joints.torque.set", within: <=2, unit: "N·m", when: joints: joint: "between modules"`)
	job := "joints:\n  - {id: j, joint: between modules, torque: {set: %s}}\n"
	judgeReadings(t, f, "designed", job, "policy#between", "joints[j].torque.set", []reading{
		{"1.89 N·m", within, "0.11 N·m"},
		{"1.9 N·m", within, "0.1 N·m"}, // the band just touches
		{"1.91 N·m", tooClose, ""},
		{"2 N·m", tooClose, "0 N·m"},
		{"2 N·m ± 0 N·m", within, "0 N·m"},
		{"2.01 N·m", outside, "0.01 N·m"},
		{"1.95 N·m ± 2 %", within, ""},
		{"16.8 lbf·in", within, ""}, // 1.898 N·m
		{"16.9 lbf·in", tooClose, ""},
		{"17.8 lbf·in", outside, ""},
	})
}

// Protective conductor: a band with two ends, and the same limit from a source
// that takes readings as written.
func TestTorqueOfProtectiveConductor(t *testing.T) {
	t.Parallel()
	const body = `measure: "joints.torque.set", within: >=4 & <=4.5, unit: "N·m", when: joints: joint: "protective conductor"`
	const job = "joints:\n  - {id: j, joint: protective conductor, torque: {set: %s}}\n"
	guarded := ownRules("policy", "policy", "guarded", `bands: "joints.torque.set": "4 %"`, "earth", body)
	judgeReadings(t, guarded, "designed", job, "policy#earth", "joints[j].torque.set", []reading{
		{"3.99 N·m", outside, "0.01 N·m"},
		{"4 N·m", tooClose, "0 N·m"},
		{"4 N·m ± 0 %", within, "0 N·m"},
		{"4.25 N·m", within, "0.25 N·m"},
		{"4.5 N·m", tooClose, "0.0 N·m"},
		{"4.51 N·m", outside, "0.01 N·m"},
		{"4.25 N·m ± 10 %", tooClose, ""},
		{"37.6 lbf·in", within, ""},   // 4.248 N·m
		{"35.4 lbf·in", outside, ""},  // 3.9997 N·m
		{"35.5 lbf·in", tooClose, ""}, // 4.011 N·m
		{"39.8 lbf·in", tooClose, ""}, // 4.497 N·m
		{"39.9 lbf·in", outside, ""},  // 4.508 N·m
	})
	simple := ownRules("local", "code", "simple", `bands: "joints.torque.set": "4 %"`, "earth", body)
	judgeReadings(t, simple, "designed", job, "local#earth", "joints[j].torque.set", []reading{
		{"3.99 N·m", outside, "0.01 N·m"},
		{"4 N·m", within, "0 N·m"},
		{"4 N·m ± 5 %", within, "0 N·m"}, // as written; that it reaches over is noted
		{"4.51 N·m ± 5 %", outside, "0.01 N·m"},
	})
}

// The policy's band is for guarded sources only: a simple one takes a bare
// reading as written and notes only an uncertainty that was written with it.
func TestBandOfThePolicyAndSimpleSources(t *testing.T) {
	t.Parallel()
	f := ownRules("local", "code", "simple", `bands: "joints.torque.set": "10 %"`, "terminal", `measure: "joints.torque.set", within: >=9, unit: "N·m"`)
	for name, set := range map[string]string{"bare": "9.1 N·m", "stated": "9.1 N·m ± 10 %"} {
		f["jobs/"+name+".yaml"] = "job: " + name + "\npremises: {id: p}\nstage: designed\njoints: [{id: j, torque: {set: " + set + "}}]\n"
	}
	_, out := lint(t, f)
	for name, reaches := range map[string]bool{"bare": false, "stated": true} {
		s := out.full["jobs/"+name+".yaml local#terminal joints[j].torque.set"]
		assert.Equal(t, within.String(), s.kind.String(), name)
		assert.Equal(t, reaches, s.reaches, name)
	}
}
