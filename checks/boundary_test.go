package checks

import (
	"errors"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/boundary"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// withoutCase lists the limits with a number for which no boundary case can be
// made, each with the reason. A limit that no longer needs its line is an error.
var withoutCase = map[string]string{
	"iec/60364#residual-current-device-tt":       "it asks for two kinds of device in one list, and entries of one list are made alike; TestEarthFaultsInTT judges it both ways",
	"uk/bs-7671-2018#residual-current-device-tt": "it asks for two kinds of device in one list, and entries of one list are made alike; TestEarthFaultsInTT judges it both ways",
}

// lacksSide lists the limits on both sides of which no value can lie, each with
// the reason; at least one value within and one outside there always is.
var lacksSide = map[string]string{
	"practice#backup-time":              "what an inverter gives is moved through three calculations; TestStorageInPractice judges it both ways",
	"practice#backup-time-without-grid": "what an inverter gives is moved through three calculations; TestStorageInPractice judges it both ways",
	"practice#charge-rate":              "what cold leaves of the current goes in one step; TestSettingsInPractice judges it both ways",
	"practice#stacks-equal":             "the most modules of a stack are never less than the fewest",
	"us/nec-2017#standard-rating":       "a rating is never above the standard rating at or above it",
	"us/nec-2020#standard-rating":       "a rating is never above the standard rating at or above it",
	"us/nec-2023#standard-rating":       "a rating is never above the standard rating at or above it",
}

// together is how many limits are tried in one repository. A run costs the same
// whatever it judges, and limits share it; too many would make files that are
// slow to compare, and a failure hard to try alone.
const together = 25

// Every limit with a number of every rule set that ships: just inside, at and
// just outside each bound, in every unit the measure can be written in.
func TestEveryShippedLimitAtItsBoundary(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	maker := &boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}
	var limits []*limit.Compiled
	for _, set := range sets {
		limits = append(limits, set.Limits...)
	}
	if raced { // one in eight: how they are judged at the same time is the same for all
		for i := range limits[:len(limits)/8] {
			limits[i] = limits[8*i]
		}
		limits = limits[:len(limits)/8]
	}
	numbers, cases := 0, 0
	for part := range slices.Chunk(limits, together) {
		whole := boundary.NewProbe()
		var tried []ownCases
		for _, l := range part {
			if one := addCases(t, maker, whole, ownLimit{Compiled: l}); one != nil {
				tried = append(tried, ownCases{l, one})
			}
		}
		numbers, cases = numbers+len(tried), cases+len(whole.Cases)
		run, out := lint(t, whole.Files)
		assert.Empty(t, run.Problems)
		for _, one := range tried {
			t.Run(one.limit.FullName, func(t *testing.T) { judgeCases(t, run, out, one.limit, one.probe) })
		}
	}
	t.Logf("%d limits with a number, %d cases", numbers, cases)
	assert.NotZero(t, numbers)
}

// addCases adds the cases of a limit to a probe and returns them alone; nil for a
// limit without a number, for one that is excepted and for one that should be.
func addCases(t *testing.T, maker *boundary.Maker, p *boundary.Probe, l ownLimit) *boundary.Probe {
	t.Helper()
	before := len(p.Cases)
	err := maker.Add(p, l.Compiled, l.Own)
	reason, excepted := withoutCase[l.FullName]
	switch {
	case errors.Is(err, boundary.ErrNoNumber):
		assert.False(t, excepted, "%s has no number and needs no exception", l.FullName)
		return nil
	case excepted:
		assert.Error(t, err, "%s is excepted (%s), but cases can be made now", l.FullName, reason)
		return nil
	case !assert.NoError(t, err, "make cases, or except the limit with a reason"):
		return nil
	}
	one := &boundary.Probe{Files: p.Files, Cases: p.Cases[before:]}
	assertWhole(t, l.Compiled, one)
	return one
}

// assertWhole holds the cases to the limit as the engine compiled it: both sides
// of every constant bound, and the bound itself in the limit's own unit.
func assertWhole(t *testing.T, l *limit.Compiled, p *boundary.Probe) {
	t.Helper()
	assertBothOutcomes(t, l, p)
	short, at := false, false
	for _, c := range p.Cases {
		short, at = short || c.Short, at || c.Side == boundary.At
	}
	_, named := lacksSide[l.FullName]
	assert.Equal(t, named, short, "%s: a side is lacking: name the limit in lacksSide with the reason, or take it out", l.FullName)
	assert.True(t, at || named, "%s: no value at a bound", l.FullName)
	for _, second := range []bool{false, true} {
		for _, b := range l.Bounds(second) {
			sides := map[boundary.Side]bool{}
			for _, c := range p.Cases {
				at, _ := c.Bound.Float64()
				q, err := quantity.Calculated(at, b.Number.Unit())
				if c.Second == second && !c.Dated && err == nil && quantity.Compare(q, b.Number) == 0 {
					sides[c.Side] = true
				}
			}
			if second && l.Way.Leaf.Calculation != nil {
				continue // a calculated value is held to the main value only
			}
			if least := leastCount(l.Way.Leaf); b.Number.Base() > least {
				assert.True(t, sides[boundary.Below], "%s: no value below %s", l.FullName, b.Number)
			}
			assert.True(t, sides[boundary.At], "%s: no value at %s", l.FullName, b.Number)
			assert.True(t, sides[boundary.Above], "%s: no value above %s", l.FullName, b.Number)
		}
	}
}

// assertBothOutcomes holds the cases to have one outside and one that is not: within,
// or too close to be told from it, or not held to the limit for its own value.
func assertBothOutcomes(t *testing.T, l *limit.Compiled, p *boundary.Probe) {
	t.Helper()
	kinds := map[judge.Kind]bool{}
	for _, c := range p.Cases {
		kinds[c.Expect] = kinds[c.Expect] || !c.Dated
	}
	assert.True(t, kinds[judge.Within] || kinds[judge.TooClose] || kinds[judge.NotApplicable], "%s: no value within", l.FullName)
	assert.True(t, kinds[judge.Outside], "%s: no value outside", l.FullName)
}

// leastCount is the smallest number there can be of something: of different words
// there is at least one.
func leastCount(l *fact.Leaf) float64 {
	switch {
	case l.Type != fact.Count:
		return math.Inf(-1)
	case l.Calculation != nil && l.Calculation.Distinct != nil:
		return 1
	}
	return 0
}

// judgeProbe judges every case of a probe, with files of the firm's own added,
// and holds the outcomes to what is expected.
func judgeProbe(t *testing.T, l *limit.Compiled, p *boundary.Probe, more firm) {
	t.Helper()
	f := firm(maps.Clone(p.Files))
	maps.Copy(f, more)
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	judgeCases(t, run, out, l, p)
}

// judgeCases holds the outcomes of the cases of one limit to what is expected.
func judgeCases(t *testing.T, run *Run, out *lines, l *limit.Compiled, p *boundary.Probe) {
	t.Helper()
	for _, c := range p.Cases {
		kind, margin := probed(t, run, out, l, c)
		if !assert.Equal(t, c.Expect.String(), kind.String(), "%s %s, %s a bound of %s: %s\n%s", c.Fact, c.Written, c.Side, l.Describe(c.Second), out.full[c.File+" "+l.FullName+" "+c.Fact].reason, p.Files[c.File]) {
			continue
		}
		assertMargin(t, kind, margin, c.Written)
	}
}

// probed finds what came out for one case.
func probed(t *testing.T, run *Run, out *lines, l *limit.Compiled, c boundary.Case) (judge.Kind, string) {
	t.Helper()
	if !c.Across {
		s, ok := out.full[c.File+" "+l.FullName+" "+c.Fact]
		require.True(t, ok, "%s: %s was not judged for %s", c.File, l.FullName, c.Fact)
		return s.kind, s.margin
	}
	for _, p := range run.Repository.Premises {
		for _, o := range p.Outcomes {
			if p.Premises == c.Premises && o.Name == l.FullName {
				return o.Kind, o.Margin
			}
		}
	}
	t.Fatalf("%s: %s was not judged for premises %s", c.File, l.FullName, c.Premises)
	return 0, ""
}

// assertMargin holds a margin to what reports rely on: never below 0, and never
// 0 for a value that is outside.
func assertMargin(t *testing.T, kind judge.Kind, margin, written string) {
	t.Helper()
	number, _, _ := strings.Cut(margin, " ")
	d, err := quantity.ParseDecimal(number)
	switch kind {
	case judge.Within, judge.TooClose:
		require.NoError(t, err, "margin %q of %s", margin, written)
		assert.GreaterOrEqual(t, d.Coef, int64(0), "margin %q of %s within", margin, written)
	case judge.Outside:
		require.NoError(t, err, "margin %q of %s", margin, written)
		assert.Greater(t, d.Coef, int64(0), "margin %q of %s outside", margin, written)
	default:
		assert.Empty(t, margin)
	}
}

// An exception must name a limit that exists: one renamed would be excepted in
// vain and nobody would notice that the reason is gone.
func TestExceptionsNameLimits(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	names := map[string]bool{}
	for _, set := range sets {
		for _, l := range set.Limits {
			names[l.FullName] = true
		}
	}
	own, _ := exampleOwn(t, shape)
	for _, l := range own {
		names[l.FullName] = true
	}
	for _, excepted := range []map[string]string{withoutCase, lacksSide} {
		for name := range excepted {
			assert.True(t, names[name], "%s is excepted, but there is no such limit", name)
		}
	}
}
