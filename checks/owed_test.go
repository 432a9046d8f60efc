package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/judge"
)

// A place that only holds storage found on site owes no working space, no
// detection and no ventilation; as soon as a unit stands there it does. A limit
// that asks for one of them there is not checked, never passed over.
func TestOnlyPlacesOfUnitsOweWhatAUnitNeeds(t *testing.T) {
	const places = "job: \"1\"\nstage: designed\npremises: {id: p, occupancy: dwelling}\nrule_sets: [us/irc-2021]\ndates: {permit: 2026-03-01}\n" +
		"locations:\n  - {id: new, setting: attached garage}\n  - {id: old, setting: attached garage}\nunits:\n  - {id: U, location: new}\nexisting:\n  - {id: e, location: old, energy: 5 kWh}\n"
	rules := "package rules\nimport \"witnessmark.example/schema/limit\"\n" + `#policy: limit.#RuleSet & {source: {name: "policy", title: "P", edition: "1", kind: "policy", decision: "simple", decided_by: "us"}
	limits: "alarm": {measure: "locations.detection", within: !="none", when: locations: setting: "attached garage", clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "Somebody sleeps above."}}
`
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/p.cue": rules, "jobs/1.yaml": places})
	for _, field := range []string{"ventilation", "detection", "humidity.high", "working_space.depth", "working_space.opposite"} {
		assert.Equal(t, judge.Missing, out.full["jobs/1.yaml record#recorded locations[new]."+field].kind, field)
		assert.NotContains(t, out.full, "jobs/1.yaml record#recorded locations[old]."+field)
	}
	assert.Equal(t, judge.Missing, out.full["jobs/1.yaml record#recorded locations[old].altitude"].kind, "what is seen on the survey is owed everywhere")
	assert.Equal(t, judge.NotChecked, out.full["jobs/1.yaml policy#alarm locations[old].detection"].kind)
}

// A product that nobody has to name spreads its datasheet to nothing else; one
// that has to be named and is not leaves its limits unchecked.
func TestOptionalProductsDoNotSpread(t *testing.T) {
	fastener := "package equipment\nimport \"witnessmark.example/schema/equipment\"\n" + `#products: bolt: A: equipment.#Fastener & {title: "Bolt", edition: "A"
	limits: torque: {measure: "joints.torque.set", within: <=9, unit: "N·m", clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "It breaks."}}
`
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "equipment/bolt.cue": fastener, "equipment/quell.cue": quell,
		"jobs/1.yaml": "job: \"1\"\nstage: installed\npremises: {id: p}\nstacks:\n  - {id: A, equipment: {planned: quell@A, built: quell@A}}\n  - {id: B}\njoints:\n" +
			"  - {id: named, joint: base, stack: A, equipment: bolt@A, torque: {set: 10 N·m}}\n  - {id: open, joint: base, stack: A, torque: {set: 10 N·m}}\n" +
			"  - {id: other-joint, joint: base, stack: B, torque: {set: 10 N·m}}\n  - {id: dc, joint: dc terminal, stack: B, torque: {set: 10 N·m}}\n"})
	kind := func(limit, id string) judge.Kind {
		return out.full["jobs/1.yaml equipment/"+limit+" joints["+id+"].torque.set"].kind
	}
	assert.Equal(t, judge.Outside, kind("bolt@A#torque", "named"))
	assert.Equal(t, judge.NotApplicable, kind("bolt@A#torque", "open"))
	assert.Equal(t, judge.NotApplicable, kind("quell@A#torque", "other-joint"), "a condition known to be false beats a product that is not known")
	assert.Equal(t, judge.NotChecked, kind("quell@A#torque", "dc"), "the product of a stack has to be named")
}
