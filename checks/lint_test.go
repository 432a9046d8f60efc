package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

const rootFile = `package witnessmark

import "witnessmark.example/schema/firm"

#firm: firm.#Firm & {name: "Test co-operative"}
`

const product = `package equipment

import "witnessmark.example/schema/equipment"

#products: quell: A: equipment.#Storage & {
	kind:         "storage"
	title:        "Wall stack, installation data"
	edition:      "A, 2025-01"
	architecture: "modules in series"
	module: {energy: "2.4 kWh", voltage: {low: "44 V", nominal: "51.2 V", high: "57.6 V"}}
	limits: "series": {
		measure:   "stacks.modules"
		within:    >=4 & <=7
		unit:      "modules"
		clause:    "Series"
		grade:     "document"
		reviewed:  "2026-11-25"
		review_by: "2027-11-25"
		why:       "Fewer or more modules leave the range of the controller."
	}
}
`

func TestOneJob(t *testing.T) {
	run, out := lint(t, firm{"witnessmark.cue": rootFile, "equipment/quell.cue": product, "jobs/a.yaml": `job: 1
premises: {id: p1, occupancy: dwelling}
stage: designed
rule_sets: [us/irc-2021]
units:
  - {id: U1, stacks: [A], exempt_by_marking: false}
stacks:
  - id: A
    equipment: quell@A
    modules: 9
`})
	for _, l := range out.all {
		t.Log(l)
	}
	for _, p := range run.Problems {
		t.Log(p)
	}
	t.Log(run.Repository)
	s := out.full["jobs/a.yaml equipment/quell@A#series stacks[A].modules"]
	assert.Equal(t, "2 modules", s.margin)
}
