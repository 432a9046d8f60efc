package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The bounds here are common practice, no source: test values only.

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
