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

// Three limits and more of which every two can be met.
func TestReviewOfSeveralContradictions(t *testing.T) {
	t.Parallel()
	const material = `measure: "stacks.wall.material"`
	runReviewCases(t, []reviewCase{
		{"three words", policyWith(`limits: {
		a: {` + material + `, within: "concrete" | "solid masonry"} // want: limits-conflict
		b: {` + material + `, within: "solid masonry" | "timber frame"}
		c: {` + material + `, within: "timber frame" | "concrete"}
	}`), `"timber frame" | "concrete"`, `"steel frame" | "solid masonry"`},
		{"a value taken out of what two leave", policyWith(`limits: {
		a: {measure: "stacks.modules", unit: "modules", within: >=4} // want: limits-conflict
		b: {measure: "stacks.modules", unit: "modules", within: <=5}
		c: {measure: "stacks.modules", unit: "modules", within: !=4 & !=5}
	}`), `!=4 & !=5`, `!=4`},
		{"over a product", policyWith(`limits: {
		a: {`+gapLimit+`, within: <=20 | >=40} // want: limits-conflict
		b: {`+gapLimit+`, within: >=15}
	}`).with("equipment/oar.cue", product("oar", "A", `"gap": {`+gapLimit+`, within: >=25 & <=35 | <=10}`)), `<=10`, `<=16`},
		{"four words", policyWith(`limits: {
		a: {` + material + `, within: "concrete" | "solid masonry" | "timber frame"} // want: limits-conflict
		b: {` + material + `, within: "concrete" | "solid masonry" | "steel frame"}
		c: {` + material + `, within: "concrete" | "timber frame" | "steel frame"}
		d: {` + material + `, within: "solid masonry" | "timber frame" | "steel frame"}
	}`), `within: "solid masonry" | "timber frame" | "steel frame"`, `within: "concrete" | "hollow masonry"`},
		{"conditions that do not hold together", policyWith(`limits: {
		a: {` + material + `, within: "concrete" | "solid masonry", when: premises: occupancy: "farm" | "shop"} // want: limits-conflict
		b: {` + material + `, within: "solid masonry" | "timber frame", when: premises: occupancy: "shop" | "office"}
		c: {` + material + `, within: "timber frame" | "concrete", when: premises: occupancy: "shop"}
	}`), `occupancy: "shop"}`, `occupancy: "office" | "farm"}`},
		{"days that do not meet", policyWith(`limits: {
		a: {` + material + `, within: "concrete" | "solid masonry", until: "2026-12-31"} // want: limits-conflict
		b: {` + material + `, within: "solid masonry" | "timber frame"}
		c: {` + material + `, within: "timber frame" | "concrete", from: "2026-01-01", when: premises: occupancy: "farm"}
	}`), `"2026-01-01"`, `"2027-01-01"`},
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
			unit: "mm", when: premises: occupancy: "shop"
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

// A limit that another one of its own source replaces wherever it applies.
func TestReviewOfWhatIsAlwaysReplaced(t *testing.T) {
	t.Parallel()
	two := func(a, b string) firm {
		return policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20` + a + `} // want: always-replaced
		b: {` + gapLimit + `, within: >=10` + b + `, replaces: ["policy#a"]}
	}`)
	}
	runReviewCases(t, []reviewCase{
		{"without a condition", two(``, ``), `within: >=10`, `within: >=10, when: premises: occupancy: "shop"`},
		{"within its condition", two(`, when: premises: occupancy: "shop"`, `, when: premises: occupancy: "shop" | "farm"`), `"shop" | "farm"`, `"office" | "farm"`},
		{"from a day on", two(`, from: "2026-01-01", when: premises: occupancy: "shop"`, `, from: "2025-01-01", when: premises: occupancy: "shop" | "farm"`), `"2025-01-01"`, `"2026-06-01"`},
		{"by another source", policyWith(`limits: a: {` + gapLimit + `, within: >=20} // want: always-replaced
	limits: b: {` + gapLimit + `, within: >=10, replaces: ["policy#a"]}`), `limits: b: {` + gapLimit + `, within: >=10, replaces: ["policy#a"]}`, ``},
	})
	other := policyWith(``).with("rules/a.cue", set("vale/gap-2020", `a: {`+gapLimit+`, within: >=20}`)).with("rules/b.cue", set("vale/by-law-1", `b: {`+gapLimit+`, within: >=10, replaces: ["vale/gap-2020#a"]}`))
	assert.Empty(t, ofTheFirm(reviewed(t, other)), "where the other source is in force it decides nothing, elsewhere it does")
}

func TestReviewOfHandingOver(t *testing.T) {
	t.Parallel()
	chain := func(a, b, c string) firm {
		one := func(name, to string) string {
			if to != "" {
				to = "\n\t\t\thands_over_to: " + to
			}
			return set(name, `a: {
			`+gapLimit+`, within: >=20`+to+`
		}`)
		}
		return policyWith(``).with("rules/a.cue", one("x/a-1", a)).with("rules/b.cue", one("y/b-1", b)).with("rules/c.cue", one("z/c-1", c))
	}
	runReviewCases(t, []reviewCase{
		{"to nobody", chain(`"y/b-2" // want: hands-over-to-nobody`, ``, ``), `y/b-2`, `y/b-1`},
		{"to itself", chain(`"x/a-1" // want: hands-over-to-itself`, ``, ``), `hands_over_to: "x/a-1"`, `hands_over_to: "z/c-1"`},
		{"in a circle of two", chain(`"y/b-1" // want: hands-over-in-a-circle`, `"x/a-1" // want: hands-over-in-a-circle`, ``), `hands_over_to: "x/a-1"`, `hands_over_to: "z/c-1"`},
		{"in a circle of three", chain(`"y/b-1" // want: hands-over-in-a-circle`, `"z/c-1" // want: hands-over-in-a-circle`, `"x/a-1" // want: hands-over-in-a-circle`), `hands_over_to: "x/a-1"`, ``},
		{"into a circle", chain(`"y/b-1"`, `"z/c-1" // want: hands-over-in-a-circle`, `"y/b-1" // want: hands-over-in-a-circle`).with("rules/d.cue", ownRules), "hands_over_to: \"y/b-1\" // want", "// want"},
		{"of equipment", policyWith(``).with("equipment/oar.cue", product("oar", "A", `"a": {measure: "stacks.modules", within: <=7, unit: "modules", hands_over_to: "x/y"} // want: hands-over-to-nobody`)), `, hands_over_to: "x/y"`, ``},
	})
	for _, x := range reviewed(t, policyWith(``)).Remarks {
		assert.NotContains(t, x.Code, "hands-over", "what ships may name a rule set that a firm adds")
	}
}
