package review_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/review"
)

func TestReviewOfEditionsWithinASource(t *testing.T) {
	t.Parallel()
	two := func(a, b string) firm {
		return policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20, ` + a + `}
		b: {` + gapLimit + `, within: >=25, ` + b + `}
	}`)
	}
	runReviewCases(t, []reviewCase{
		{"gap", two(`until: "2025-12-30"`, `from: "2026-01-01"`).want("rules/policy.cue", `>=25`, "edition-gap"), `2025-12-30`, `2025-12-31`},
		{"overlap", two(`until: "2026-01-01"`, `from: "2026-01-01"`).want("rules/policy.cue", `>=25`, "edition-overlap"), `until: "2026-01-01"`, `until: "2025-12-31"`},
		{"left open", two(`from: "2025-01-01"`, `from: "2026-01-01"`).want("rules/policy.cue", `>=25`, "edition-overlap"), `from: "2025-01-01"`, `until: "2025-12-31"`},
		{"the later one first", two(`from: "2026-01-01"`, `until: "2025-12-30"`).want("rules/policy.cue", `>=20`, "edition-gap"), `2025-12-30`, `2025-12-31`},
		{"the same condition in other words", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20, until: "2025-12-30", when: premises: occupancy: "farm" | "shop"}
		b: {` + gapLimit + `, within: >=25, from: "2026-01-01", when: premises: occupancy: "shop" | "farm"} // want: edition-gap
	}`), `"shop" | "farm"`, `"shop" | "dwelling"`},
		{"one within a longer one leaves no gap", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20, from: "2025-01-01", until: "2025-12-31"}
		b: {` + gapLimit + `, within: >=30, from: "2025-03-01", until: "2025-06-30", when: stacks: modules: >=1}
		c: {` + gapLimit + `, within: >=25, from: "2026-01-02"} // want: edition-gap
	}`), `"2026-01-02"`, `"2026-01-01"`},
		{"the one before the last reaches farther", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20, until: "2025-12-31"}
		b: {` + gapLimit + `, within: >=30, from: "2025-03-01", until: "2025-06-30"} // want: edition-overlap
		c: {` + gapLimit + `, within: >=25, from: "2026-01-01"}
	}`), `from: "2025-03-01", until: "2025-06-30"}`, `from: "2025-03-01", until: "2025-06-30", when: stacks: modules: 2}`},
		{"one of two sides", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20, until: "2025-01-01"}
		b: {` + gapLimit + `, within: >=25 & <=90, from: "2025-02-01"} // want: edition-gap
	}`), `within: >=25 & <=90`, `within: <=90`},
		{"another side is another rule", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20, until: "2025-12-30"}
		b: {` + gapLimit + `, within: >=25, from: "2026-01-01"} // want: edition-gap
	}`), `within: >=25`, `within: <=90`},
	})
}

// Between two editions of one document no day may be left out either; both may be
// in force, since a job names one of them.
func TestReviewOfEditionsOfADocument(t *testing.T) {
	t.Parallel()
	two := func(a, b string) firm {
		return policyWith(``).with("rules/a.cue", set("vale/gap-2020", `a: {`+gapLimit+`, within: >=20`+a+`}`)).
			with("rules/b.cue", set("vale/gap-2024", `b: {`+gapLimit+`, within: >=25`+b+`}`))
	}
	gap := two(`, until: "2025-12-30"`, `, from: "2026-01-01"`).want("rules/b.cue", `>=25`, "edition-gap")
	runReviewCases(t, []reviewCase{
		{"gap", gap, `2025-12-30`, `2025-12-31`},
		{"another document", gap, `vale/gap-2020`, `vale/wall-2020`},
		{"both in force", gap, `2025-12-30`, `2026-06-30`},
		{"always in force", gap, `, until: "2025-12-30"`, ``},
		{"another condition", gap, `, until: "2025-12-30"`, `, until: "2025-12-30", when: premises: occupancy: "farm"`},
		{"by another date of the job", gap, `selected_by: "designed", kind: "code", decision: "guarded", decided_by: "The firm."}
	limits: [string]: {clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
	limits: {
		a:`, `selected_by: "permit", kind: "code", decision: "guarded", decided_by: "The firm."}
	limits: [string]: {clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
	limits: {
		a:`},
		{"filled by a third edition", gap.with("rules/c.cue", set("vale/gap-2022", `c: {`+gapLimit+`, within: >=25, from: "2026-06-01", until: "2026-06-02"}`)), `"2026-06-01", until: "2026-06-02"`, `"2025-12-31", until: "2026-06-02"`},
	})
}

// The map of required rule sets, as data.
func TestSuccession(t *testing.T) {
	t.Parallel()
	source := func(name string) *limit.Source {
		by := "permit"
		if name == "isle/fire-2" {
			by = "designed"
		}
		return &limit.Source{Name: name, SelectedBy: by}
	}
	on := func(region, from, until string, line int, sets ...string) define.Required {
		r := define.Required{Region: region, From: fact.NoDay, Until: fact.NoDay, RuleSets: sets, At: fact.Origin{File: "w.cue", Line: line}}
		if from != "" {
			r.From = day(t, from)
		}
		if until != "" {
			r.Until = day(t, until)
		}
		return r
	}
	only := func(r define.Required, occupancies ...string) define.Required {
		r.Occupancies = occupancies
		return r
	}
	for _, tt := range []struct {
		name string
		all  []define.Required
		want []string
	}{
		{"one after the other", []define.Required{on("isle", "", "2025-12-31", 1, "isle/fire-2020"), on("isle", "2026-01-01", "", 2, "isle/fire-2024")}, nil},
		{"gap", []define.Required{on("isle", "", "2025-12-30", 1, "isle/fire-2020"), on("isle", "2026-01-01", "", 2, "isle/fire-2024")},
			[]string{"w.cue:2 required-gap neither isle/fire-2024 nor isle/fire-2020 (at w.cue:1) is required in isle on 2025-12-31"}},
		{"gap that is filled by another region's entry", []define.Required{on("isle/north", "", "2025-12-30", 1, "isle/fire-2020"), on("isle", "2025-12-31", "2025-12-31", 3, "isle/fire-2020"), on("isle/north", "2026-01-01", "", 2, "isle/fire-2024")}, nil},
		{"gap that is said to be one", []define.Required{on("isle", "", "2025-12-30", 1, "isle/fire-2020"), on("isle", "2025-12-31", "2025-12-31", 3), on("isle", "2026-01-01", "", 2, "isle/fire-2024")}, nil},
		{"two at once", []define.Required{on("isle", "", "2026-01-01", 1, "isle/fire-2020"), on("isle", "2026-01-01", "", 2, "isle/fire-2024")},
			[]string{"w.cue:2 required-overlap in isle both isle/fire-2024 (from 2026-01-01) and isle/fire-2020 (until 2026-01-01, at w.cue:1) are required at once"}},
		{"two always", []define.Required{on("isle", "", "", 1, "isle/fire-2020", "isle/fire-2024")},
			[]string{"w.cue:1 required-overlap in isle both isle/fire-2024 (always) and isle/fire-2020 (always, at w.cue:1) are required at once"}},
		{"two at once in a part of the region", []define.Required{on("isle", "", "", 1, "isle/fire-2020"), on("isle/north", "2026-01-01", "", 2, "isle/fire-2024")},
			[]string{"w.cue:2 required-overlap in isle/north both isle/fire-2024 (from 2026-01-01) and isle/fire-2020 (always, at w.cue:1) are required at once"}},
		{"neighbouring regions", []define.Required{on("isle", "", "", 1, "isle/fire-2020"), on("isles", "", "", 2, "isle/fire-2024")}, nil},
		{"other occupancies", []define.Required{only(on("isle", "", "", 1, "isle/fire-2020"), "farm"), only(on("isle", "", "", 2, "isle/fire-2024"), "shop")}, nil},
		{"an occupancy in common", []define.Required{only(on("isle", "", "", 1, "isle/fire-2020"), "farm"), on("isle", "", "", 2, "isle/fire-2024")},
			[]string{"w.cue:2 required-overlap in isle both isle/fire-2024 (always) and isle/fire-2020 (always, at w.cue:1) are required at once"}},
		{"other documents", []define.Required{on("isle", "", "", 1, "isle/fire-2020"), on("isle", "", "", 2, "isle/wire-2024")}, nil},
		{"by other dates of a job", []define.Required{on("isle", "", "2025-12-30", 1, "isle/fire-2020"), on("isle", "2026-01-01", "", 2, "isle/fire-2")}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var have []string
			for _, r := range review.Succession(tt.all, []string{"farm", "shop"}, source) {
				have = append(have, r.At.String()+" "+r.Code+" "+r.Message)
			}
			assert.Equal(t, tt.want, have)
		})
	}
}

func TestEndings(t *testing.T) {
	t.Parallel()
	on := func(region, from, until string, line int, sets ...string) define.Required {
		r := define.Required{Region: region, From: fact.NoDay, Until: fact.NoDay, RuleSets: sets, At: fact.Origin{File: "w.cue", Line: line}}
		if from != "" {
			r.From = day(t, from)
		}
		if until != "" {
			r.Until = day(t, until)
		}
		return r
	}
	only := func(r define.Required, occupancies ...string) define.Required {
		r.Occupancies = occupancies
		return r
	}
	old := on("isle", "", "2025-12-31", 1, "isle/fire-2020")
	for _, tt := range []struct {
		name string
		all  []define.Required
		want []string
	}{
		{"ends", []define.Required{old}, []string{"w.cue:1 required-ends nothing of isle/fire is required in isle after 2025-12-31"}},
		{"open", []define.Required{on("isle", "2020-01-01", "", 1, "isle/fire-2020")}, nil},
		{"the next edition", []define.Required{old, on("isle", "2026-01-01", "", 2, "isle/fire-2024")}, nil},
		{"the next edition later", []define.Required{old, on("isle", "2026-03-01", "", 2, "isle/fire-2024")}, nil}, // a gap is reported as that
		{"the next edition ends too", []define.Required{old, on("isle", "2026-01-01", "2026-06-30", 2, "isle/fire-2024")}, []string{"w.cue:2 required-ends nothing of isle/fire is required in isle after 2026-06-30"}},
		{"said to be none", []define.Required{old, on("isle", "2026-01-01", "", 2)}, nil},
		{"said to be none too late", []define.Required{old, on("isle", "2026-01-02", "", 2)}, []string{"w.cue:1 required-ends nothing of isle/fire is required in isle after 2025-12-31"}},
		{"another document takes over", []define.Required{old, on("isle", "2026-01-01", "", 2, "isle/safety-1")}, nil},
		{"another document goes on", []define.Required{old, on("isle", "2025-12-31", "", 2, "isle/safety-1")}, []string{"w.cue:1 required-ends nothing of isle/fire is required in isle after 2025-12-31"}},
		{"another region", []define.Required{old, on("isles", "2026-01-01", "", 2, "isle/fire-2024")}, []string{"w.cue:1 required-ends nothing of isle/fire is required in isle after 2025-12-31"}},
		{"a part of the region", []define.Required{old, on("isle/north", "2026-01-01", "", 2, "isle/fire-2024")}, []string{"w.cue:1 required-ends nothing of isle/fire is required in isle after 2025-12-31"}},
		{"all of what it was a part of", []define.Required{on("isle/north", "", "2025-12-31", 1, "isle/fire-2020"), on("isle", "2026-01-01", "", 2, "isle/fire-2024")}, nil},
		{"for some occupancies", []define.Required{old, only(on("isle", "2026-01-01", "", 2, "isle/fire-2024"), "farm")}, []string{"w.cue:1 required-ends nothing of isle/fire is required in isle for shop after 2025-12-31"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var have []string
			for _, r := range review.Endings(tt.all, []string{"farm", "shop"}) {
				have = append(have, r.At.String()+" "+r.Code+" "+r.Message)
			}
			assert.Equal(t, tt.want, have)
		})
	}
}

func TestReviewOfTheMap(t *testing.T) {
	t.Parallel()
	with := func(entries string) firm {
		return policyWith(``).mapped("\n"+entries+"\n").with("rules/b.cue", set("vale/gap-2020", ``)).with("rules/c.cue", set("vale/gap-2024", ``))
	}
	runReviewCases(t, []reviewCase{
		{"no such rule set", with(`{region: "vale", rule_sets: ["vale/gap-2025"], why: "w"}, // want: required-no-rule-set`), `gap-2025`, `gap-2024`},
		{"no such occupancy", with(`{region: "vale", rule_sets: ["vale/gap-2024"], occupancies: ["castle"], why: "w"}, // want: broken-definition`), `castle`, `farm`},
		{"twice", with(`{region: "vale", rule_sets: ["vale/gap-2024", "vale/gap-2024"], why: "w"}, // want: required-twice`), `, "vale/gap-2024"]`, `]`},
		{"ends", with(`{region: "vale", rule_sets: ["vale/gap-2020"], until: "2025-12-31", why: "w"}, // want: required-ends`), `, until: "2025-12-31"`, ``},
		{"repeated", with(`{region: "vale", rule_sets: ["vale/gap-2024"], occupancies: ["farm"], why: "w"},
	{region: "vale", rule_sets: ["vale/gap-2024"], from: "2026-01-01", why: "w"}, // want: required-repeated`), `from: "2026-01-01"`, `occupancies: ["shop"]`},
		{"repeated in another time", with(`{region: "vale", rule_sets: ["vale/gap-2024"], until: "2026-01-01", why: "w"},
	{region: "vale", rule_sets: ["vale/gap-2024"], from: "2026-01-01", why: "w"}, // want: required-repeated`), `until: "2026-01-01"`, `until: "2025-12-31"`},
		{"none beside one", with(`{region: "vale", rule_sets: [], from: "2026-01-01", why: "w"}, // want: required-none-beside
	{region: "vale", rule_sets: ["vale/gap-2024"], occupancies: ["farm"], why: "w"},`), `rule_sets: [], from: "2026-01-01"`, `rule_sets: [], occupancies: ["shop"]`},
		{"none in a part of the region", with(`{region: "vale", rule_sets: ["vale/gap-2024"], why: "w"},
	{region: "vale/north", rule_sets: [], why: "w"}, // want: required-none-beside`), `"vale/north"`, `"dale/north"`},
		{"none around it", with(`{region: "vale", rule_sets: [], why: "w"}, // want: required-none-beside
	{region: "vale", rule_sets: ["vale/gap-2024"], why: "w"},`), `{region: "vale", rule_sets: ["vale/gap-2024"]`, `{region: "vale/north", rule_sets: ["vale/gap-2024"]`},
		{"gap", with(`{region: "vale", rule_sets: ["vale/gap-2020"], until: "2025-12-30", why: "w"},
	{region: "vale", rule_sets: ["vale/gap-2024"], from: "2026-01-01", why: "w"}, // want: required-gap`), `2025-12-30`, `2025-12-31`},
	})
}

// An entry of the map requires a rule set in days in which one of its limits is in
// force. The day of these tests is 2026-11-25.
func TestReviewOfRequiredLimitsOutOfForce(t *testing.T) {
	t.Parallel()
	with := func(limits, entry string) firm {
		return policyWith(``).with("rules/b.cue", set("vale/gap-2020", limits)).mapped("\n{region: \"vale\", rule_sets: [\"vale/gap-2020\"], why: \"w\"" + entry + "}, // want: required-out-of-force\n")
	}
	const until = `a: {` + gapLimit + `, within: >=20, until: "2026-11-24"}
		b: {` + front + `, within: >=20, until: "2025-11-24"}`
	ended := with(until, "")
	runReviewCases(t, []reviewCase{
		{"ended", ended, `2026-11-24`, `2026-11-25`},
		{"one is left", ended, `until: "2025-11-24"`, `from: "2025-11-24"`},
		{"one without days", ended, `, until: "2025-11-24"`, ``},
		{"ended before the entry", with(until, `, from: "2026-11-26", until: "2026-12-31"}, {region: "vale", rule_sets: [], from: "2027-01-01", why: "w"`), `2026-11-24`, `2026-11-26`},
		{"begins after the entry", with(`a: {`+gapLimit+`, within: >=20, from: "2026-01-01"}`, `, until: "2025-12-31"}, {region: "vale", rule_sets: [], from: "2026-01-01", why: "w"`), `within: >=20, from: "2026-01-01"`, `within: >=20, from: "2025-12-31"`},
	})
	for _, x := range ofTheFirm(reviewed(t, with(`a: {`+gapLimit+`, within: >=20, until: "2025-12-31"}`, `, until: "2025-12-31"}, {region: "vale", rule_sets: [], from: "2026-01-01", why: "w"`))) {
		t.Errorf("over with its limits, but: %s: %s", x.Code, x.Message)
	}
}
