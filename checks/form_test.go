package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/judge"
)

// Serial numbers are held to the form that the datasheet states, as a whole; a
// datasheet that states none asks nothing.
func TestSerialForm(t *testing.T) {
	data := strings.Replace(quell, `title: "Quell"`, `module: serial_pattern: "Q-[0-9]{4}", title: "Quell"`, 1)
	job := "job: \"1\"\nstage: installed\npremises: {id: p}\nstacks:\n  - id: A\n    equipment: {planned: quell@A, built: quell@A}\n    controller_serial: anything\n    slots:\n" +
		"      - {slot: 1, serial: Q-0001}\n      - {slot: 2, serial: Q-00012}\n      - {slot: 3, serial: q-0003}\n"
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "equipment/quell.cue": data, "jobs/1.yaml": job})
	got := map[string]string{}
	for key, s := range out.full {
		if strings.Contains(key, judge.SerialForm) {
			got[strings.Fields(key)[2]] = s.kind.String() + ": " + s.reason
		}
	}
	assert.Equal(t, map[string]string{
		"stacks[A].slots[2].serial": `outside: "Q-00012" has not the form that quell@A states, Q-[0-9]{4}`,
		"stacks[A].slots[3].serial": `outside: "q-0003" has not the form that quell@A states, Q-[0-9]{4}`,
	}, got)
	run, _ := lint(t, firm{"witnessmark.cue": rootFile, "equipment/quell.cue": strings.Replace(data, "Q-[0-9]{4}", "Q-[0-9", 1), "jobs/1.yaml": job})
	if assert.Len(t, run.Problems, 1) {
		assert.Contains(t, run.Problems[0].Message, `module.serial_pattern of quell@A: "Q-[0-9" is no pattern`)
	}
}
