package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A product named where another kind belongs is a problem of the job that names
// it, whichever job comes first.
func TestProductOfAnotherKind(t *testing.T) {
	c := shapeOf(t)
	wrong := "job: 1\nstage: designed\npremises: {id: x}\nstacks:\n  - {id: A, equipment: only-equipment-inverter@A}\n"
	right := "job: 2\nstage: designed\npremises: {id: y}\ninverters:\n  - {id: A, equipment: only-equipment-inverter@A}\n"
	for _, names := range [][2]string{{"jobs/a.yaml", "jobs/b.yaml"}, {"jobs/b.yaml", "jobs/a.yaml"}} {
		f := withEverything(c)
		f[names[0]], f[names[1]] = wrong, right
		run, _ := lint(t, f)
		var got []string
		for _, p := range run.Problems {
			if strings.HasPrefix(p.File, "jobs/") {
				got = append(got, p.File+" "+p.Message)
			}
		}
		assert.Equal(t, []string{names[0] + ` equipment: "only-equipment-inverter@A" is no storage`}, got)
	}
}

// A person or tool that is misspelt leaves no sum in doubt.
func TestMisspeltPersonLeavesSumsAlone(t *testing.T) {
	f := wellKept()
	f["registers/all.cue"] = registers
	f["jobs/good.yaml"] += "gates:\n  - {gate: energise, on: 2026-04-01, by: rp}\n"
	delete(f, "jobs/bad.yaml")
	run, _ := lint(t, f)
	assert.Equal(t, "not-in-register", problemOf(t, run, "jobs/good.yaml").Code)
	assert.NotContains(t, sumOutcome(t, run).Reason, "not understood")
}
