package checks

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/judge"
)

// The uncertainty of what a bound is taken from counts like that of the value: a
// guarded source is met only with both within, a simple one says that they reach
// over.
func TestUncertaintyOfTheBound(t *testing.T) {
	device := `{id: f, kind: fuse, breaking_capacity: %s, fault_current: %s}`
	for _, c := range []struct {
		name, breaking, fault string
		guarded, simple       judge.Kind
		reaches               bool
	}{
		{"exact", "20 kA", "20 kA", judge.Within, judge.Within, false},
		{"of the bound", "20 kA", "20 kA ± 1 kA", judge.TooClose, judge.Within, true},
		{"of the value", "20 kA ± 1 kA", "20 kA", judge.TooClose, judge.Within, true},
		{"enough for the bound", "21 kA", "20 kA ± 1 kA", judge.Within, judge.Within, false},
		{"of both", "21 kA ± 0.5 kA", "20 kA ± 1 kA", judge.TooClose, judge.Within, true},
		{"outside is outside", "19 kA", "20 kA ± 2 kA", judge.Outside, judge.Outside, false},
	} {
		for decision, want := range map[string]judge.Kind{"guarded": c.guarded, "simple": c.simple} {
			t.Run(c.name+" "+decision, func(t *testing.T) {
				rules := ruleFile("probe", "code", decision, "", [2]string{"capacity", `measure: "protection.breaking_capacity", within: >=facts.protection.fault_current, unit: "kA"`},
					[2]string{"twice", `measure: "protection.breaking_capacity", within: >=(0.5 * facts.protection.fault_current), unit: "kA"`})
				_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": rules2(rules),
					"jobs/1.yaml": "job: 1\npremises: {id: p, occupancy: farm}\nstage: designed\nprotection:\n  - " + fmt.Sprintf(device, c.breaking, c.fault) + "\n"})
				got := out.full["jobs/1.yaml probe#capacity protection[f].breaking_capacity"]
				assert.Equal(t, want, got.kind)
				assert.Equal(t, c.reaches && decision == "simple", got.reaches)
				assert.Equal(t, judge.Within, out.full["jobs/1.yaml probe#twice protection[f].breaking_capacity"].kind)
			})
		}
	}
}

// rules2 lets the rule file import what its bounds refer to.
func rules2(text string) string {
	const one = "import \"witnessmark.example/schema/limit\"\n"
	return text[:len("package rules\n\n")] + one + "import \"witnessmark.example/schema/facts\"\n" + text[len("package rules\n\n")+len(one):]
}

// A calculated value moves as far as its inputs may: any formula, without a word
// about it in the formula.
func TestUncertaintyGoesThroughFormulas(t *testing.T) {
	limits := ruleFile("probe", "policy", "guarded", "", [2]string{"length", `measure: "conductors.drop", within: <=1.1, unit: "V"`})
	for run, want := range map[string]judge.Kind{"10 m": judge.Within, "10 m ± 0.4 m": judge.Within, "10 m ± 2 m": judge.TooClose, "12 m ± 2 m": judge.Outside} {
		_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": limits, "jobs/1.yaml": `job: 1
premises: {id: p, occupancy: farm}
stage: designed
conductors:
  - {id: c, carries: dc, size: 16 mm², material: copper, insulation: 70 °C, strands: stranded, length: ` + run + `, current: 37.5 A, parallel: 1}
`})
		got := out.full["jobs/1.yaml probe#length conductors[c].drop"]
		assert.Equal(t, want, got.kind, "%s: %s %v, margin %s", run, got.reason, got.waits, got.margin)
	}
}

// The smallest of several may be another one than the smallest as written.
func TestUncertaintyOfTheLargest(t *testing.T) {
	limits := ruleFile("probe", "policy", "guarded", "", [2]string{"spread", `measure: "conductors.terminal_temperature", within: >=74, unit: "°C"`})
	for other, want := range map[string]judge.Kind{"90 °C": judge.Within, "90 °C ± 10 K": judge.Within, "90 °C ± 20 K": judge.TooClose} {
		_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": limits, "jobs/1.yaml": `job: 1
premises: {id: p, occupancy: farm}
stage: designed
conductors:
  - {id: c, carries: dc, terminals: [{end: from, temperature: 75 °C}, {end: to, temperature: ` + other + `}]}
`})
		assert.Equal(t, want, out.full["jobs/1.yaml probe#spread conductors[c].terminal_temperature"].kind, other)
	}
}
