package checks

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/limit"
)

// Every row of the catalogue and every item of a dossier has its place: fields
// that exist and a rule set, a scope, or a reason why not.
func TestEveryRuleHasItsPlace(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	cover := &coverage{shape: shape, limits: byFullName(sets)}
	assert.Empty(t, cover.faults(catalogue(t), mapping(t, "coverage/catalogue.csv", "row")), "testdata/coverage/catalogue.csv")
	assert.Empty(t, cover.faults(dossier(t), mapping(t, "coverage/dossier.csv", "item")), "testdata/coverage/dossier.csv")
	assert.Empty(t, cover.unnamed(mapping(t, "coverage/catalogue.csv", "row")))
}

// The table that people read is made from the mapping and never older than it.
func TestCoverageTableIsFresh(t *testing.T) {
	t.Parallel()
	rules, ruleMap := catalogue(t), mapping(t, "coverage/catalogue.csv", "row")
	items, itemMap := dossier(t), mapping(t, "coverage/dossier.csv", "item")
	require.Len(t, ruleMap, len(rules))
	require.Len(t, itemMap, len(items))
	got := coverageTable(rules, ruleMap, items, itemMap)
	const file = "../testdata/coverage/coverage.md"
	if os.Getenv("UPDATE_SCRIPTS") != "" {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, "run with UPDATE_SCRIPTS=1")
}

// What the catalogue carries over keeps its provenance and cites nothing that a
// reader could not be sent to.
func TestCatalogueCitations(t *testing.T) {
	t.Parallel()
	bare := regexp.MustCompile(`^https?://[0-9.:]+(/|$)|[/=][0-9]+$`)
	rows := rowsOf(t, "reference/limits_catalogue.csv")
	assert.Len(t, rows, 326)
	for i, r := range rows {
		assert.Contains(t, []string{"read", "memory"}, r["provenance"], "row %d", i+1)
		if r["address"] == "" {
			continue
		}
		assert.Equal(t, "read", r["provenance"], "row %d", i+1)
		assert.Regexp(t, `^https?://`, r["address"], "row %d", i+1)
		assert.NotRegexp(t, bare, r["address"], "row %d", i+1)
	}
}

// What the test above would not forgive, each made once on purpose: the mapping
// that ships, spoilt in one place.
func TestSpoiltCoverageIsNoticed(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	want := catalogue(t)
	const listed = 0 // row 1, with a limit that ships
	for name, c := range map[string]struct {
		spoil func(rows []covered) []covered
		says  string
	}{
		"row removed":          {func(r []covered) []covered { return slices.Delete(r, 4, 5) }, "5 is not mapped: dwelling: ESS in sleeping room"},
		"row twice":            {func(r []covered) []covered { return append(r, r[9]) }, "10 is mapped twice"},
		"row too many":         {func(r []covered) []covered { return append(r, covered{Key: "327"}) }, "327 is mapped, but nothing asks for it"},
		"rows exchanged":       {func(r []covered) []covered { r[1], r[2] = r[2], r[1]; return r }, "3 is not in its place"},
		"clause shifted":       {one(listed, func(c *covered) { c.Clause = "R328.3" }), `1: the catalogue has clause "R328.2" here, the mapping "R328.3"`},
		"field vanished":       {one(listed, func(c *covered) { c.Fields = append(c.Fields, "units.listing") }), `1: there is no fact "units.listing"`},
		"link vanished":        {one(listed, func(c *covered) { c.Fields = append(c.Fields, "units.place.setting") }), `1: there is no fact "units.place.setting"`},
		"field twice":          {one(listed, func(c *covered) { c.Fields = append(c.Fields, c.Fields[0]) }), "1: units.listed is there twice"},
		"condition left out":   {one(listed, func(c *covered) { c.Fields = c.Fields[:1] }), "1: us/irc-2021#listed asks for premises.occupancy, which is not among the fields"},
		"nothing said":         {one(listed, func(c *covered) { *c = covered{Key: c.Key, Clause: c.Clause} }), "1: neither fields with a rule set, nor a scope, nor a reason why not"},
		"no rule set":          {one(2, func(c *covered) { c.RuleSets, c.Limits = nil, nil }), "3: neither fields with a rule set, nor a scope, nor a reason why not"},
		"taken and not":        {one(listed, func(c *covered) { c.NotTaken = "because of this" }), "1: a row that is not taken has no fields, rule set, limit or scope"},
		"no reason":            {one(30, func(c *covered) { c.NotTaken = "a formula" }), "31: not_taken does not say because of what"},
		"no edition, no land":  {one(listed, func(c *covered) { c.RuleSets[0] = "IRC 2021" }), `1: "IRC 2021" is no name of a rule set`},
		"limit vanished":       {one(listed, func(c *covered) { c.Limits[0] += "-and-labelled" }), "1: no limit us/irc-2021#listed-and-labelled ships"},
		"limit of an edition":  {one(171, func(c *covered) { c.RuleSets, c.Notes = []string{"us/nec-2017"}, "" }), "172: us/nec-2023#overcurrent-device-size is a limit of another edition, and no note says so"},
		"limit of another set": {one(listed, func(c *covered) { c.RuleSets[0] = "us/ifc-2021" }), "1: us/irc-2021#listed is a limit of us/irc-2021, not of us/ifc-2021"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			cover := &coverage{shape: shape, limits: byFullName(sets)}
			faults := cover.faults(want, c.spoil(mapping(t, "coverage/catalogue.csv", "row")))
			require.NotEmpty(t, faults)
			assert.Condition(t, func() bool {
				return slices.ContainsFunc(faults, func(f string) bool { return strings.HasPrefix(f, c.says) })
			}, "%q among %q", c.says, faults)
		})
	}
}

// one spoils a single row, counted from 0.
func one(row int, spoil func(*covered)) func([]covered) []covered {
	return func(rows []covered) []covered {
		spoil(&rows[row])
		return rows
	}
}

// A limit that ships and that no row names is noticed, and so is an exception
// that is needed no longer, and a grade better than what was read allows.
func TestUnnamedAndOvergradedLimitsAreNoticed(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	cover := &coverage{shape: shape, limits: byFullName(sets)}
	rows := mapping(t, "coverage/catalogue.csv", "row")
	rows[9].Limits = nil
	rows[10].Limits = append(rows[10].Limits, "us/irc-2021#energy-altogether")
	assert.Equal(t, []string{
		"us/irc-2021#energy-altogether is named by a row and needs no exception",
		"us/irc-2021#energy-per-unit ships, but no row names it",
	}, cover.unnamed(rows))

	want := catalogue(t)
	want[9].Memory = true
	rows = mapping(t, "coverage/catalogue.csv", "row")
	require.Equal(t, limit.Secondary, cover.limits["us/irc-2021#energy-per-unit"].Grade)
	assert.Equal(t, []string{"10: us/irc-2021#energy-per-unit has grade secondary, but the row is recalled"}, cover.faults(want, rows))
}
