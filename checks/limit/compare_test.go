package limit_test

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// small is a shape with one length, one count and one word.
func small(t *testing.T) *fact.Compiled {
	t.Helper()
	c, err := fact.Compile(&fact.Shape{Fields: []fact.Field{
		{Path: "gap", Type: fact.Quantity, Unit: "mm"},
		{Path: "modules", Type: fact.Count, Unit: "modules"},
		{Path: "place", Type: fact.Word, Words: []string{"barn", "house", "shed"}},
	}}, nil)
	require.NoError(t, err)
	return c
}

// random is a limit on a field with random bounds, and a random condition on
// another one.
func random(t *testing.T, c *fact.Compiled, r *rand.Rand, measure string) *limit.Compiled {
	t.Helper()
	l := &limit.Limit{Name: "x" + strconv.Itoa(r.Int()), Measure: measure, Within: constraint(r, measure, 2)}
	if measure == "gap" {
		l.Unit = "mm"
	} else if measure == "modules" {
		l.Unit = "modules"
	}
	if r.IntN(2) == 0 {
		on := []string{"gap", "modules", "place"}[r.IntN(3)]
		is := constraint(r, on, 2)
		l.When = append(l.When, limit.Condition{Fact: on, Is: &is})
	}
	out, err := limit.Compile(c, &limit.RuleSet{Source: limit.Source{Name: "s", Decision: limit.Simple}}, l)
	require.NoError(t, err)
	return out
}

func constraint(r *rand.Rand, on string, deep int) limit.Constraint {
	if deep > 0 && r.IntN(3) > 0 {
		op := []limit.Op{limit.All, limit.Any}[r.IntN(2)]
		return limit.Constraint{Op: op, Args: []limit.Constraint{constraint(r, on, deep-1), constraint(r, on, deep-1)}}
	}
	if on == "place" {
		ops := []limit.Op{limit.Equals, limit.Differs}
		return limit.Constraint{Op: ops[r.IntN(2)], Operand: &limit.Operand{Text: []string{"barn", "house", "shed"}[r.IntN(3)]}}
	}
	ops := []limit.Op{limit.Less, limit.AtMost, limit.Greater, limit.AtLeast, limit.Equals, limit.Differs}
	return limit.Constraint{Op: ops[r.IntN(6)], Operand: &limit.Operand{Number: strconv.Itoa(r.IntN(7))}}
}

// values are all values that tell such bounds apart.
func values(measure string) []string {
	switch measure {
	case "place":
		return []string{"barn", "house", "shed"}
	case "modules":
		return []string{"0", "1", "2", "3", "4", "5", "6", "7", "8"}
	}
	var out []string
	for n := range 16 {
		out = append(out, strconv.FormatFloat(float64(n)/2, 'f', -1, 64)+" mm")
	}
	return out
}

// accepted lists the values at which a limit is within and outside, by trying
// each.
func accepted(t *testing.T, l *limit.Compiled) (within, outside map[string]bool) {
	t.Helper()
	within, outside = map[string]bool{}, map[string]bool{}
	for _, v := range values(l.Measure) {
		verdict, applies, err := l.Try(v)
		require.NoError(t, err)
		if applies {
			within[v], outside[v] = verdict == limit.Yes, verdict == limit.No
		}
	}
	return within, outside
}

func some(m map[string]bool) bool {
	for _, yes := range m {
		if yes {
			return true
		}
	}
	return false
}

// What is claimed by comparing limits is what trying every value shows, both
// ways: nothing is claimed too much, and on one fact nothing is missed.
func TestComparisonAgreesWithTrying(t *testing.T) {
	t.Parallel()
	c, r := small(t), rand.New(rand.NewPCG(1, 2))
	contained, contradict := 0, 0
	for range 3000 {
		measure := []string{"gap", "modules", "place"}[r.IntN(3)]
		a, b := random(t, c, r, measure), random(t, c, r, measure)
		inA, outA := accepted(t, a)
		within, outside, certain := a.Verdicts()
		assert.True(t, certain)
		if _, never := a.NeverApplies(); !never {
			assert.Equal(t, some(inA), within, a.Describe(false))
			assert.Equal(t, some(outA), outside, a.Describe(false))
		}
		if len(a.When)+len(b.When) > 0 {
			continue // tried below
		}
		inB, _ := accepted(t, b)
		all, both := true, false
		for _, v := range values(measure) {
			all = all && (!inB[v] || inA[v])
			both = both || inA[v] && inB[v]
		}
		assert.Equal(t, all, a.Contains(b), "%s contains %s", a.Describe(false), b.Describe(false))
		assert.Equal(t, all, a.WeakerThan(b), "%s is weaker than %s", a.Describe(false), b.Describe(false))
		assert.Equal(t, !both, a.Contradicts(b), "%s contradicts %s", a.Describe(false), b.Describe(false))
		if all {
			contained++
		}
		if !both {
			contradict++
		}
	}
	assert.Greater(t, contained, 50)
	assert.Greater(t, contradict, 50)
}

// A limit is weaker only where its condition implies that of the other one.
func TestWeakerNeedsItsCondition(t *testing.T) {
	t.Parallel()
	c, r := small(t), rand.New(rand.NewPCG(3, 4))
	claimed := 0
	for range 2000 {
		on := []string{"modules", "place"}[r.IntN(2)]
		is := [2]limit.Constraint{constraint(r, on, 2), constraint(r, on, 2)}
		var l [2]*limit.Compiled
		for i := range l {
			def := &limit.Limit{Name: strconv.Itoa(i), Measure: "gap", Unit: "mm", Within: limit.Constraint{Op: limit.AtLeast, Operand: &limit.Operand{Number: strconv.Itoa(5 + i)}},
				When: []limit.Condition{{Fact: on, Is: &is[i]}}}
			var err error
			l[i], err = limit.Compile(c, &limit.RuleSet{Source: limit.Source{Name: "s", Decision: limit.Simple}}, def)
			require.NoError(t, err)
		}
		if !l[0].WeakerThan(l[1]) {
			continue
		}
		claimed++
		for _, v := range values(on) { // as a measure, each condition has its values
			probe := func(k limit.Constraint) bool {
				def := &limit.Limit{Name: "p", Measure: on, Within: k}
				if on == "modules" {
					def.Unit = "modules"
				}
				p, err := limit.Compile(c, &limit.RuleSet{Source: limit.Source{Name: "s"}}, def)
				require.NoError(t, err)
				verdict, _, err := p.Try(v)
				require.NoError(t, err)
				return verdict == limit.Yes
			}
			assert.True(t, !probe(is[0]) || probe(is[1]), "%s: %s does not imply %s", v, is[0], is[1])
		}
	}
	assert.Greater(t, claimed, 100)
}
