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
		{"another side is another rule", policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20, until: "2025-12-30"}
		b: {` + gapLimit + `, within: >=25, from: "2026-01-01"} // want: edition-gap
	}`), `within: >=25`, `within: <=90`},
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

func TestReviewOfTheMap(t *testing.T) {
	t.Parallel()
	with := func(entries string) firm {
		return policyWith(``).mapped("\n"+entries+"\n").with("rules/b.cue", set("vale/gap-2020", ``)).with("rules/c.cue", set("vale/gap-2024", ``))
	}
	runReviewCases(t, []reviewCase{
		{"no such rule set", with(`{region: "vale", rule_sets: ["vale/gap-2025"], why: "w"}, // want: required-no-rule-set`), `gap-2025`, `gap-2024`},
		{"no such occupancy", with(`{region: "vale", rule_sets: ["vale/gap-2024"], occupancies: ["castle"], why: "w"}, // want: broken-definition`), `castle`, `farm`},
		{"twice", with(`{region: "vale", rule_sets: ["vale/gap-2024", "vale/gap-2024"], why: "w"}, // want: required-twice`), `, "vale/gap-2024"]`, `]`},
		{"gap", with(`{region: "vale", rule_sets: ["vale/gap-2020"], until: "2025-12-30", why: "w"},
	{region: "vale", rule_sets: ["vale/gap-2024"], from: "2026-01-01", why: "w"}, // want: required-gap`), `2025-12-30`, `2025-12-31`},
	})
}
