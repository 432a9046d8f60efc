package review_test

import "testing"

// What was found before is passed on with its code: the mistakes that lint reports
// as problems of definitions.
func TestReviewOfWhatIsBroken(t *testing.T) {
	t.Parallel()
	runReviewCases(t, []reviewCase{
		{"unknown field", policyWith(`limits: a: {` + gapLimit + `, within: >=20
		colour: "red" // want: broken-definition
	}`), `colour: "red"`, ``},
		{"unknown measure", policyWith(`limits: a: {measure: "stacks.wall_gab", unit: "mm", within: >=20} // want: broken-limit`), `wall_gab`, `wall_gap`},
		{"wrong unit", policyWith(`limits: a: {measure: "stacks.wall_gap", unit: "kg", within: >=20} // want: broken-limit`), `"kg"`, `"mm"`},
		{"unknown fact in a bound", policyWith(`limits: a: {` + gapLimit + `, within: >=facts.stacks.claerance.left} // want: broken-limit`), `claerance`, `clearance`},
		{"unknown fact in a condition", policyWith(`limits: a: {` + gapLimit + `, within: >=20, when: premises: ocupancy: "dwelling"} // want: broken-limit`), `ocupancy`, `occupancy`},
		{"a condition that can never be", policyWith(`limits: a: {` + gapLimit + `, within: >=20, when: premises: occupancy: "castle"} // want: broken-limit`), `castle`, `dwelling`},
		{"a word the measure never has", policyWith(`limits: a: {measure: "locations.setting", within: "moat"} // want: broken-limit`), `moat`, `basement`},
		{"in force never", policyWith(`limits: a: {` + gapLimit + `, within: >=20, from: "2026-02-01", until: "2026-01-01"} // want: broken-limit`), `2026-02-01`, `2025-02-01`},
		{"bounds that leave nothing", policyWith(`limits: a: {` + gapLimit + `, within: >=50 & <=30} // want: broken-definition`), `>=50`, `>=20`},
		{"broken syntax", policyWith(`limits: a: {`+gapLimit+`, within: >=20}`).with("rules/more.cue", ownRules+"\n_more: {] // want: broken-definition\n"), `{]`, `{}`},
		{"no rule set", policyWith(`limits: a: {`+gapLimit+`, within: >=20}`).with("rules/more.cue", ownRules+"\n#more: {title: \"x\"} // want: broken-definition\n"), `#more`, `_more`},
		{"no source", policyWith(`limits: a: {`+gapLimit+`, within: >=20}`).with("rules/more.cue", ownRules+"\n#more: limits: {} // want: no-rule-set\n"), `#more`, `_more`},
		{"no product of a kind that a link reaches", policyWith(``).with("equipment/oar.cue", product("oar", "A", `"tall": {measure: "locations.altitude", within: <=2000, unit: "m"} // want: broken-limit`)), `locations.altitude`, `stacks.clearance.above`},
	})
}
