package review_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// set is a rule set of a firm that a job has to name.
func set(name, limits string) string {
	return strings.NewReplacer(`name: "own"`, `name: "`+name+`"`, `always: true, `, ``, `#own`, `#`+strings.NewReplacer("/", "_", "-", "_").Replace(name)).Replace(own("code", limits))
}

// Contradictions between limits that can be used together: what no job has shown
// yet shows here.
func TestReviewOfContradictions(t *testing.T) {
	t.Parallel()
	oar := product("oar", "A", `"gap": {`+gapLimit+`, within: >=35 & <=60} // want: limits-conflict`)
	runReviewCases(t, []reviewCase{
		{"within a rule set", policyWith(`limits: {
		a: {` + gapLimit + `, within: <=30} // want: limits-conflict
		b: {` + gapLimit + `, within: >=40}
	}`), `<=30`, `<=50`},
		{"between whole numbers", policyWith(`limits: {
		a: {measure: "stacks.modules", unit: "modules", within: >4} // want: limits-conflict
		b: {measure: "stacks.modules", unit: "modules", within: <5}
	}`), `<5`, `<6`},
		{"all words together", policyWith(`limits: {
		a: {measure: "locations.setting", within: "basement" | "plant room"} // want: limits-conflict
		b: {measure: "locations.setting", within: =~"^a"}
	}`), `^a`, `e`},
		{"policy and product", policyWith(`limits: a: {`+gapLimit+`, within: <=30} // want: limits-conflict`).with("equipment/oar.cue", strings.Replace(oar, " // want: limits-conflict", "", 1)), `<=30`, `<=40`},
		{"code and product", policyWith(``).with("rules/own.cue", set("vale/gap-2024", `a: {`+gapLimit+`, within: <=30} // want: limits-conflict`)).with("equipment/oar.cue", strings.Replace(oar, " // want: limits-conflict", "", 1)), `<=30`, `<=40`},
		{"one revision of several", policyWith(`limits: a: {`+gapLimit+`, within: <=30} // want: limits-conflict`).with("equipment/oar.cue", strings.Replace(oar, " // want: limits-conflict", "", 1)+strings.Replace(product("oar", "B", `"gap": {`+gapLimit+`, within: >=20}`)[strings.Index(oar, "#products"):], "\n\n", "\n", 1)), `>=35`, `>=15`},
		{"two documents of a region", policyWith(``).with("rules/a.cue", set("vale/gap-2024", `a: {`+gapLimit+`, within: <=30} // want: limits-conflict`)).with("rules/b.cue", set("vale/wall-2024", `a: {`+gapLimit+`, within: >=40}`)), `vale/wall-2024`, `dale/wall-2024`},
		{"required together", policyWith(``).with("rules/a.cue", set("dale/gap-2024", `a: {`+gapLimit+`, within: <=30} // want: limits-conflict`)).with("rules/b.cue", set("vale/wall-2024", `a: {`+gapLimit+`, within: >=40}`)).
			mapped(`{region: "dale", rule_sets: ["dale/gap-2024"], why: "w"}, {region: "dale/north", rule_sets: ["vale/wall-2024"], why: "w"}`), `"dale/north"`, `"vale"`},
	})
}

// Two editions of one document are never used together.
func TestEditionsDoNotContradict(t *testing.T) {
	t.Parallel()
	f := policyWith(``).with("rules/a.cue", set("vale/gap-2020", `a: {`+gapLimit+`, within: <=30}`)).with("rules/b.cue", set("vale/gap-2024", `a: {`+gapLimit+`, within: >=40}`))
	assert.Empty(t, ofTheFirm(reviewed(t, f)))
}

// mapped gives the firm a map of required rule sets.
func (f firm) mapped(entries string) firm {
	return f.with("witnessmark.cue", strings.Replace(rootFile, `name: "Test firm"}`, `name: "Test firm", required: [`+entries+`]}`, 1))
}

func TestReviewOfReplacements(t *testing.T) {
	t.Parallel()
	two := func(replaces string) firm {
		return policyWith(`limits: a: {`+gapLimit+`, within: >=20}`).with("rules/b.cue", set("vale/gap-2024", `a: {`+gapLimit+`, within: >=15}
		b: {
			measure: "stacks.wall_gap"
			within: >=10
			unit: "mm"
			replaces: [
				"vale/gap-2024#a",
				`+replaces+`
			]
		}`)).with("equipment/oar.cue", product("oar", "A", `"gap": {`+gapLimit+`, within: >=12}`))
	}
	runReviewCases(t, []reviewCase{
		{"nothing", two(`"policy#b",`).want("rules/b.cue", "\t\t\tmeasure", "replaces-nothing"), `"policy#b"`, `"policy#a"`},
		{"nothing of a product", two(`"equipment/oar@A#gab", // want: replaces-nothing`), `#gab`, `#gap`},
		{"no such revision", two(`"equipment/oar@B#gap", // want: replaces-nothing`), `oar@B`, `oar@A`},
		{"twice", two(`"vale/gap-2024#a", // want: replaces-twice`), `"vale/gap-2024#a", // want`, `"policy#a", // want`},
		{"another measure", policyWith(`limits: {
		a: {` + front + `, within: >=900}
		b: {` + gapLimit + `, within: >=20, replaces: ["policy#a"]} // want: replaces-other
	}`), `replaces: ["policy#a"]`, `from: "2026-01-01"`},
		{"by hearsay", policyWith(``).with("rules/b.cue", set("vale/gap-2024", `a: {`+gapLimit+`, within: >=15}`)).with("rules/c.cue", strings.Replace(set("vale/by-law-1", `z: {`+gapLimit+`, within: >=10, replaces: ["vale/gap-2024#a"]} // want: replaces-by-hearsay`), `"document"`, `"memory"`, 1)), `"memory"`, `"copy"`},
		{"in a circle over three rule sets", policyWith(``).
			with("rules/a.cue", set("a/x-1", `a: {`+gapLimit+`, within: >=15, replaces: ["b/x-1#a"]} // want: replaces-in-a-circle`)).
			with("rules/b.cue", set("b/x-1", `a: {`+gapLimit+`, within: >=15, replaces: ["c/x-1#a"]} // want: replaces-in-a-circle`)).
			with("rules/c.cue", set("c/x-1", `a: {`+gapLimit+`, within: >=15, replaces: ["a/x-1#a"]} // want: replaces-in-a-circle`)), `replaces: ["a/x-1#a"]`, `until: "2030-01-01"`},
		{"promotes nothing", policyWith(`promotes: ["practice#paint-marc"] // want: promotes-nothing`), `paint-marc`, `paint-mark`},
		{"promotes nothing of a product", policyWith(`promotes: [
		"equipment/oar@A#gab", // want: promotes-nothing
	]`).with("equipment/oar.cue", product("oar", "A", `"gap": {`+gapLimit+`, within: >=12}`)), `#gab`, `#gap`},
		{"promotes twice", policyWith(`promotes: [
		"practice#paint-mark",
		"practice#neighbour-noted",
		"practice#paint-mark", // want: promotes-twice
	]`), "\t\t\"practice#paint-mark\",\n\t\t\"practice#neighbour-noted\",", "\t\t\"practice#neighbour-noted\","},
	})
}
