package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/register"
)

// A module that was taken out may stand in another stack; as long as both say it
// stands there, one of them is wrong.
func TestRemovedModuleMayStandElsewhere(t *testing.T) {
	stack := func(job, slots string) string {
		return "job: " + job + "\nstage: installed\npremises: {id: p}\nstacks:\n  - id: A\n    slots:\n" + slots
	}
	const one = "      - {slot: 1, serial: M-7}\n"

	run, _ := lint(t, firm{"jobs/1.yaml": stack("J1", one), "jobs/2.yaml": stack("J2", one)})
	assert.Len(t, run.Repository.Outcomes, 2)
	assert.Equal(t, register.SerialUnique, run.Repository.Outcomes[0].Name)
	run, out := lint(t, firm{"jobs/1.yaml": stack("J1", "      - {slot: 1, serial: M-7, removed_on: 2026-03-11, removed_why: moved}\n      - {slot: 1a, serial: M-8}\n"), "jobs/2.yaml": stack("J2", one)})
	assert.Empty(t, run.Repository.Outcomes)
	assert.Empty(t, run.Problems)
	assert.Equal(t, judge.Within, out.full["jobs/1.yaml practice#modules-numbered stacks[A].slots[1a].slot"].kind)
}

// A secret in a job file is a problem of its own, and its value is not repeated.
func TestSecretsAreRefused(t *testing.T) {
	for _, key := range []string{"password", "Admin_Passwort", "wifi-key", "pin", "api_key"} {
		run, _ := lint(t, firm{"jobs/1.yaml": "job: J1\nstage: surveyed\npremises: {id: p}\ncredentials:\n  - {id: c, of: inverter, " + key + ": hunter2}\n"})
		if assert.Len(t, run.Problems, 1, key) {
			p := run.Problems[0]
			assert.Equal(t, "secret-written", p.Code)
			assert.Equal(t, 5, p.At.Line)
			assert.NotContains(t, p.Message+p.Mend, "hunter2")
		}
	}
	run, _ := lint(t, firm{"jobs/1.yaml": "job: J1\nstage: surveyed\npremises: {id: p}\ncredentials:\n  - {id: c, of: inverter, spinning: x}\n"})
	assert.Equal(t, "unknown-field", run.Problems[0].Code)
}
