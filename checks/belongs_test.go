package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/judge"
)

// A joint belongs to a stack, an inverter or a device; one of them is enough. A
// limit of a stack's datasheet does not wait on the stack of a joint that belongs
// to an inverter, and a joint that belongs to nothing is missing its stack.
func TestOneOwnerOfAnEntryIsEnough(t *testing.T) {
	f := firm{
		"witnessmark.cue":     "package witnessmark\nimport \"witnessmark.example/schema/firm\"\n#firm: firm.#Firm & {name: \"Test\"}\n",
		"equipment/quell.cue": quell,
		"jobs/1.yaml":         "job: J1\nstage: installed\npremises: {id: p}\nstacks:\n  - {id: A, equipment: {planned: quell@A, built: quell@A}}\ninverters:\n  - {id: I}\njoints:\n  - {id: of-stack, joint: dc terminal, stack: A, torque: {set: 9 N·m}}\n  - {id: of-inverter, joint: dc terminal, inverter: I, torque: {set: 3 N·m}}\n  - {id: of-nothing, joint: dc terminal, torque: {set: 3 N·m}}\n",
	}
	_, out := lint(t, f)
	kind := func(id string) judge.Kind {
		return out.full["jobs/1.yaml equipment/quell@A#torque joints["+id+"].torque.set"].kind
	}
	assert.Equal(t, judge.Outside, kind("of-stack"))
	assert.Equal(t, judge.NotApplicable, kind("of-inverter"))
	assert.Equal(t, judge.NotChecked, kind("of-nothing"))
	assert.Equal(t, judge.Missing, out.full["jobs/1.yaml record#recorded joints[of-nothing].stack"].kind)
	assert.NotContains(t, out.full, "jobs/1.yaml record#recorded joints[of-inverter].stack")
}

const quell = `package equipment
import "witnessmark.example/schema/equipment"
#products: quell: A: equipment.#Storage & {
	title: "Quell", edition: "A"
	limits: torque: {measure: "joints.torque.set", within: >=6 & <=7, unit: "N·m", when: joints: joint: "dc terminal"
		clause: "Torques", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "The lug carries the current."}
}
`
