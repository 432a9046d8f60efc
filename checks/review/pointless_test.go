package review_test

import "testing"

const front = `measure: "stacks.clearance.front", unit: "mm"`

// Limits that can give one verdict only, or none.
func TestReviewOfVerdicts(t *testing.T) {
	t.Parallel()
	runReviewCases(t, []reviewCase{
		{"nothing between whole numbers", policyWith(`limits: a: {measure: "stacks.modules", unit: "modules", within: >4 & <5} // want: nothing-within`), `<5`, `<6`},
		{"no word left", policyWith(`limits: a: {measure: "conductors.carries", within: =~"^dc-only"} // want: nothing-within`), `^dc-only`, `^dc`},
		{"refuses whatever it applies to", policyWith(`limits: a: {` + gapLimit + `, within: >=20, when: stacks: wall_gap: <15} // want: nothing-within`), `<15`, `<30`},
		{"every word", policyWith(`limits: a: {measure: "units.listed", within: true | false} // want: nothing-outside`), `true | false`, `true`},
		{"below nothing", policyWith(`limits: a: {measure: "stacks.modules", unit: "modules", within: >=0} // want: nothing-outside`), `>=0`, `>=2`},
		{"a share below nothing", policyWith(`limits: a: {measure: "locations.humidity.low", unit: "%", within: >=-5} // want: nothing-outside`), `>=-5`, `>=5`},
		{"colder than anything", policyWith(`limits: a: {measure: "locations.air.low", unit: "°C", within: >=-300} // want: nothing-outside`), `>=-300`, `>=-30`},
		{"accepts whatever it applies to", policyWith(`limits: a: {` + gapLimit + `, within: <=20, when: stacks: wall_gap: <15} // want: nothing-outside`), `<15`, `<30`},
	})
}

func TestReviewOfWhatNeverApplies(t *testing.T) {
	t.Parallel()
	const gap = `limits: a: {` + gapLimit + `, within: >=20, `
	runReviewCases(t, []reviewCase{
		{"no number", policyWith(gap + `when: {premises: occupancy: "dwelling", stacks: modules: >4 & <5}} // want: never-applies`), `<5`, `<6`},
		{"no word", policyWith(gap + `when: stacks: wall: material: =~"^straw"} // want: never-applies`), `^straw`, `^concrete`},
		{"some of a list", policyWith(gap + `when: some: inverters: {power: >5 & <=6, coupling: =~"^tea"}} // want: never-applies`), `^tea`, `^dc`},
		{"some and every", policyWith(gap + `when: {some: inverters: coupling: "dc-coupled", every: inverters: coupling: "ac-coupled"}} // want: never-applies`), `every: inverters: coupling: "ac-coupled"`, `every: inverters: power: >5`},
		{"a length below nothing", policyWith(gap + `when: stacks: clearance: left: <0} // want: never-applies`), `<0`, `<1`},
		{"the product is otherwise", policyWith(``).with("equipment/oar.cue", product("oar", "A", `"a": {measure: "stacks.modules", within: <=7, unit: "modules", when: stacks: equipment: architecture: "converter per stack"} // want: never-applies`)), `"converter per stack"`, `"modules in series"`},
	})
}

// A limit beside which another one on the same measure always asks for as much.
func TestReviewOfWeakerLimits(t *testing.T) {
	t.Parallel()
	runReviewCases(t, []reviewCase{
		{"the same condition", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20} // want: limit-weaker
		b: {` + gapLimit + `, within: >=25}
	}`), `>=20`, `<=90`},
		{"a narrower condition", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=25}
		b: {` + gapLimit + `, within: >=20, when: premises: occupancy: "shop"} // want: limit-weaker
	}`), `>=25}`, `>=25, when: premises: occupancy: "dwelling"}`},
		{"words in words", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=25, when: premises: occupancy: "shop" | "dwelling"}
		b: {` + gapLimit + `, within: >=20, when: premises: occupancy: "shop"} // want: limit-weaker
	}`), `"shop" | "dwelling"`, `"farm" | "dwelling"`},
		{"a range in a range", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=25, when: stacks: modules: >=3}
		b: {` + gapLimit + `, within: >=20, when: stacks: modules: >3 & <=6} // want: limit-weaker
	}`), `>=3}`, `<=5}`},
		{"another unit", policyWith(`limits: {
		a: {measure: "stacks.wall_gap", unit: "in", within: >=1}
		b: {` + gapLimit + `, within: >=25} // want: limit-weaker
	}`), `>=25}`, `<=90}`},
		{"all it repeats", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20 & <=30}
		b: {` + gapLimit + `, within: >=20 & <=30} // want: limit-repeated
	}`), "b: {" + gapLimit + `, within: >=20 & <=30}`, `b: {` + gapLimit + `, within: >=25 & <=35}`},
		{"advisory beside blocking", policyWith(`limits: {
		z: {` + gapLimit + `, within: >=20, grade: "practice", clause: "1", reviewed: "2026-11-01", review_by: "2027-11-01", why: "w"} // want: limit-weaker
		b: {` + gapLimit + `, within: >=25}
	}`), `grade: "practice"`, `grade: "document", when: premises: occupancy: "shop", replaces: ["policy#b"]`},
		{"blocking beside advisory", policyWith(`limits: {
		b: {` + gapLimit + `, within: >=20} // want: limit-weaker
		z: {` + gapLimit + `, within: >=25, grade: "document", clause: "1", reviewed: "2026-11-01", review_by: "2027-11-01", why: "w"}
	}`), `grade: "document", clause: "1", reviewed: "2026-11-01", review_by: "2027-11-01", why: "w"}`, `grade: "memory", clause: "1", reviewed: "2026-11-01", review_by: "2027-11-01", why: "w"}`},
		{"promoted", policyWith(`promotes: ["policy#z"]
	limits: {
		b: {` + gapLimit + `, within: >=20} // want: limit-weaker
		z: {` + gapLimit + `, within: >=25, grade: "memory", clause: "1", reviewed: "2026-11-01", review_by: "2027-11-01", why: "w"}
	}`), `promotes: ["policy#z"]`, ``},
		{"days in force", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=25, from: "2026-01-01"}
		b: {` + gapLimit + `, within: >=20, from: "2026-06-01", when: premises: occupancy: "shop"} // want: limit-weaker
	}`), `"2026-06-01"`, `"2025-06-01"`},
		{"two policies", policyWith(`limits: a: {`+gapLimit+`, within: >=20} // want: limit-weaker`).with("rules/own.cue", own("policy", `b: {`+gapLimit+`, within: >=25}`)), `kind: "policy", decision: "guarded", decided_by`, `kind: "code", decision: "guarded", decided_by`},
		{"the strict one gives way somewhere", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20} // want: limit-weaker
		b: {` + gapLimit + `, within: >=25}
		c: {` + gapLimit + `, within: >=22, when: premises: occupancy: "shop", replaces: ["policy#b", "policy#a"]}
	}`), `, "policy#a"]`, `]`},
		{"a bound from a fact", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=facts.stacks.clearance.left}
		b: {` + gapLimit + `, within: >=facts.stacks.clearance.left, when: premises: occupancy: "shop"} // want: limit-weaker
	}`), `>=facts.stacks.clearance.left}`, `>=(2 * facts.stacks.clearance.left)}`},
		{"a datasheet by itself", policyWith(``).with("equipment/oar.cue", product("oar", "A", `"a": {measure: "stacks.modules", within: <=7, unit: "modules"} // want: limit-weaker
		"b": {measure: "stacks.modules", within: <=5, unit: "modules"}`)), `<=7`, `>=2`},
	})
}

// own is a rule set beside the policy that always applies.
func own(kind, limits string) string {
	return `package rules

import "witnessmark.example/schema/limit"

#own: limit.#RuleSet & {
	source: {name: "own", title: "Own", edition: "1", always: true, selected_by: "designed", kind: "` + kind + `", decision: "guarded", decided_by: "The firm."}
	limits: [string]: {clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
	limits: {
		` + limits + `
	}
}
`
}
