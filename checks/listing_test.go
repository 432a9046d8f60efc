package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/limit"
)

// listed opens the library of a firm in memory.
func listed(t *testing.T, f firm) *Library {
	t.Helper()
	l, err := OpenLibrary(Options{FS: f.fs(), Paths: []string{"."}, AsOf: asOf, Shipped: once(t)})
	require.NoError(t, err)
	return l
}

func namesOf(s *Selection) []string {
	var out []string
	for i := range s.Limits {
		out = append(out, s.Limits[i].FullName)
	}
	return out
}

// listingFirm has a policy, an amendment that must be named, and two revisions of
// a product.
func listingFirm() firm {
	product := func(revision string) string {
		return "#products: quell: " + revision + ": equipment.#Storage & {title: \"Q\", edition: \"" + revision + "\", architecture: \"modules in series\", module: energy: \"5 kWh\"\n" +
			"\tlimits: \"series\": {measure: \"stacks.modules\", within: <=7, unit: \"modules\", clause: \"c\", grade: \"document\", reviewed: \"2026-01-01\", review_by: \"2027-01-01\", why: \"w\"}}\n"
	}
	return firm{"witnessmark.cue": rootFile,
		"rules/policy.cue": ruleFile("policy", "policy", "guarded", `promotes: ["practice#lean"]`, [2]string{"gap", gap + `within: <=20`}, [2]string{"unread", gap + `within: <=30, grade: "memory"`}),
		"rules/local.cue": "package rules\n\nimport \"witnessmark.example/schema/limit\"\n\n#local: limit.#RuleSet & {source: {name: \"vale/local-1\", title: \"T\", edition: \"1\", kind: \"code\", decision: \"simple\", decided_by: \"D.\", selected_by: \"permit\"}\n" +
			"\tlimits: \"gap\": {" + gap + "within: <=25, from: \"2026-01-01\", clause: \"c\", grade: \"document\", reviewed: \"2026-01-01\", review_by: \"2027-01-01\", why: \"w\"}}\n",
		"equipment/quell.cue": "package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n" + product("A") + product("B"),
	}
}

func TestSelect(t *testing.T) {
	l := listed(t, listingFirm())
	require.Empty(t, l.Faults)
	for _, c := range []struct {
		name   string
		filter Filter
		want   []string // nil: see holds
		holds  func(l *Listed) bool
	}{
		{name: "one rule set", filter: Filter{RuleSets: []string{"policy"}}, want: []string{"policy#gap", "policy#unread"}},
		{name: "beginning with a slash", filter: Filter{RuleSets: []string{"vale/"}}, want: []string{"vale/local-1#gap"}},
		{name: "beginning without", filter: Filter{RuleSets: []string{"vale"}}, want: []string{"vale/local-1#gap"}},
		{name: "every revision", filter: Filter{RuleSets: []string{"equipment/quell"}}, want: []string{"equipment/quell@A#series", "equipment/quell@B#series"}},
		{name: "one revision", filter: Filter{RuleSets: []string{"equipment/quell@B"}}, want: []string{"equipment/quell@B#series"}},
		{name: "either", filter: Filter{RuleSets: []string{"policy", "vale"}}, want: []string{"policy#gap", "policy#unread", "vale/local-1#gap"}},
		{name: "both must hold", filter: Filter{RuleSets: []string{"policy"}, Grades: []string{"memory"}}, want: []string{"policy#unread"}},
		{name: "blocking", filter: Filter{RuleSets: []string{"policy"}, Blocking: true}, want: []string{"policy#gap"}},
		{name: "advisory", filter: Filter{RuleSets: []string{"policy"}, Advisory: true}, want: []string{"policy#unread"}},
		{name: "promoted blocks", filter: Filter{RuleSets: []string{"practice"}, Measures: []string{"stacks.lean"}, Blocking: true}, want: []string{"practice#lean"}},
		{name: "region", filter: Filter{Region: "vale"}, want: []string{"vale/local-1#gap"}},
		{name: "nothing fits", filter: Filter{RuleSets: []string{"policy"}, Measures: []string{"units"}}, want: []string{}},
		{name: "all", holds: func(*Listed) bool { return true }},
		{name: "measure of a list", filter: Filter{Measures: []string{"stacks"}}, holds: func(l *Listed) bool { return MeasureMatches(l.Compiled, "stacks") }},
		{name: "advisory is not blocking", filter: Filter{Advisory: true}, holds: func(l *Listed) bool { return !l.Blocking }},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := l.Select(c.filter)
			require.NoError(t, err)
			want := c.want
			if c.holds != nil {
				for _, one := range l.Listing() {
					if c.holds(&one) {
						want = append(want, one.FullName)
					}
				}
				require.NotEmpty(t, want)
			}
			assert.ElementsMatch(t, want, namesOf(got))
			assert.Equal(t, len(l.Limits()), got.Of)
		})
	}
}

// A stage takes what is due at it or before; what nobody has to record is counted.
func TestSelectByStage(t *testing.T) {
	l := listed(t, listingFirm())
	before := map[string]bool{}
	for _, stage := range []string{"surveyed", "designed", "installed", "hand-over", "in-service"} {
		got, err := l.Select(Filter{Stage: stage})
		require.NoError(t, err)
		now := map[string]bool{}
		for _, n := range namesOf(got) {
			now[n] = true
		}
		for n := range before {
			assert.True(t, now[n], "%s is due by %s as well", n, stage)
		}
		before = now
		undated := 0
		for _, one := range l.Listing() {
			if one.Due().At == 0 {
				undated++
			}
		}
		assert.Equal(t, undated, got.Undated)
	}
	designed, _ := l.Select(Filter{Stage: "designed", RuleSets: []string{"policy"}})
	surveyed, _ := l.Select(Filter{Stage: "surveyed", RuleSets: []string{"policy"}})
	assert.Len(t, designed.Limits, 2, "the gap is planned with the design")
	assert.Empty(t, surveyed.Limits)
}

func TestSelectUnknownNames(t *testing.T) {
	l := listed(t, listingFirm())
	for _, c := range []struct {
		filter Filter
		want   string
	}{
		{Filter{RuleSets: []string{"polcy"}}, `there is no rule set "polcy"; did you mean "policy"?`},
		{Filter{RuleSets: []string{"us/irc-2020"}}, `there is no rule set "us/irc-2020"; did you mean "us/irc-2021"`},
		{Filter{RuleSets: []string{"pol"}}, `there is no rule set "pol"`},
		{Filter{Measures: []string{"stacks.wall_gapp"}}, `there is no measure "stacks.wall_gapp"; did you mean "stacks.wall_gap"`},
		{Filter{Measures: []string{"stack"}}, `there is no measure "stack"; did you mean "stacks"`},
		{Filter{Region: "vail"}, `there is no rule set of a region "vail"; did you mean "vale"`},
		{Filter{Grades: []string{"documnt"}}, `there is no grade "documnt"; did you mean "document"?`},
		{Filter{Grades: []string{"zzzzzzzz"}}, `there is no grade "zzzzzzzz"; there are document, copy, `},
		{Filter{Stage: "instaled"}, `there is no stage, gate or event "instaled"; did you mean "installed"?`},
		{Filter{Stage: "never"}, `there is no stage, gate or event "never"`},
	} {
		_, err := l.Select(c.filter)
		var unknown *UnknownName
		require.ErrorAs(t, err, &unknown)
		assert.Contains(t, err.Error(), c.want)
	}
}

// The listing has every limit once, and says of each what a run does with it.
func TestListingEqualsPlan(t *testing.T) {
	l := listed(t, listingFirm())
	var sets, products []string
	for _, s := range l.Sets {
		sets = append(sets, s.Source.Name)
	}
	for _, p := range l.Products {
		products = append(products, p.Name)
	}
	plan := l.Plan(sets, products)
	planned := map[*limit.Compiled]bool{}
	for _, p := range plan.All {
		planned[p.Compiled] = p.Blocking
	}
	seen := map[string]bool{}
	for _, one := range l.Listing() {
		assert.False(t, seen[one.FullName], "%s stands twice", one.FullName)
		seen[one.FullName] = true
		blocking, ok := planned[one.Compiled]
		assert.True(t, ok, "%s is not what a run judges by", one.FullName)
		assert.Equal(t, blocking, one.Blocking, one.FullName)
	}
	assert.Len(t, seen, len(plan.All))
}
