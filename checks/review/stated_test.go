package review_test

import (
	"strings"
	"testing"
)

// A limit that states all of it by itself: one line for each field, so that the
// line of what is wrong is seen.
func whole(edits ...string) firm {
	return policyWith(strings.NewReplacer(edits...).Replace(`limits: z: {
		measure:   "stacks.wall_gap"
		within:    >=20
		unit:      "mm"
		clause:    "1"
		grade:     "document"
		reviewed:  "2026-11-01"
		review_by: "2027-11-01"
		why:       "A test."
	}`))
}

func TestReviewOfWhatIsStated(t *testing.T) {
	t.Parallel()
	runReviewCases(t, []reviewCase{
		{"no clause", whole(`"1"`, `" \t" // want: no-clause`), `" \t"`, `"1"`},
		{"no reason", whole(`"A test."`, `"  " // want: no-why`), `"  "`, `"Because."`},
		{"empty reason", whole(`"A test."`, `""`, `"stacks.wall_gap"`, `"stacks.wall_gap" // want: broken-limit`), `why:       ""`, `why: "Because."`},
		{"no reason for all of them", policyWith(`limits: [string]: why: " " // want: no-why
	limits: zz: {` + gapLimit + `, within: >=20, clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01"}`), `" "`, `"Because."`},
		{"no edition", policyWith(``).with("rules/own.cue", strings.Replace(ownRules, `"1", kind`, `" ", kind`, 1)+"// no-edition\n").want("rules/own.cue", "#own", "no-edition"), `edition: " "`, `edition: "1"`},
		{"no title", policyWith(``).with("rules/own.cue", strings.Replace(ownRules, `"Own"`, `" "`, 1)).want("rules/own.cue", "#own", "no-title"), `title: " "`, `title: "T"`},
		{"nobody decides", policyWith(``).with("rules/own.cue", strings.Replace(ownRules, `"The firm."`, `"\n"`, 1)).want("rules/own.cue", "#own", "no-decided-by"), `decided_by: "\n"`, `decided_by: "We."`},
		{"empty title of equipment", policyWith(``).with("equipment/oar.cue", strings.Replace(product("oar", "A", ``), `"Wall stack"`, `""`, 1)).want("equipment/oar.cue", "#products:", "broken-definition"), `title: ""`, `title: "T"`},
		{"blank title of equipment", policyWith(``).with("equipment/oar.cue", strings.Replace(product("oar", "A", ``), `"Wall stack"`, `" "`, 1)).want("equipment/oar.cue", "title:", "no-title"), `title: " "`, `title: "T"`},
		{"blank clause of equipment", policyWith(``).with("equipment/oar.cue", strings.Replace(product("oar", "A", `"series": {measure: "stacks.modules", within: <=7, unit: "modules"}`), `clause: "c"`, `clause: " "`, 1)).want("equipment/oar.cue", "limits: [string]", "no-clause"), `clause: " "`, `clause: "c"`},
	})
}

func TestReviewOfReviews(t *testing.T) {
	t.Parallel()
	runReviewCases(t, []reviewCase{
		{"in the future", whole(`"2026-11-01"`, `"2026-11-26" // want: reviewed-in-future`), `2026-11-26`, `2026-11-25`},
		{"before it was reviewed", whole(`"2027-11-01"`, `"2026-10-31" // want: review-before-reviewed`), `2026-10-31`, `2026-11-25`},
		{"overdue", whole(`"2027-11-01"`, `"2026-11-24"`, `"stacks.wall_gap"`, `"stacks.wall_gap" // want: review-overdue`), `2026-11-24`, `2026-11-25`},
		{"reviewed on no day", whole(`"2026-11-01"`, `"2026-02-30" // want: no-day`), `2026-02-30`, `2026-02-28`},
		{"due on no day", whole(`"2027-11-01"`, `"2027-13-01" // want: no-day`), `2027-13-01`, `2027-12-01`},
		{"overdue equipment", policyWith(``).with("equipment/oar.cue", strings.Replace(product("oar", "A", `"series": {measure: "stacks.modules", within: <=7, unit: "modules"} // want: review-overdue`), `2027-11-01`, `2026-11-02`, 1)), `2026-11-02`, `2026-12-02`},
	})
}
