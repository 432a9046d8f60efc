package limit_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

var marks = []string{"barn", "house", "shed"}

// listed is a shape with a list of words, one of free words, and a word.
func listed(t *testing.T) *fact.Compiled {
	t.Helper()
	c, err := fact.Compile(&fact.Shape{Fields: []fact.Field{
		{Path: "marks", Type: fact.Word, Words: marks, Many: true},
		{Path: "notes", Type: fact.Text, Many: true},
		{Path: "place", Type: fact.Word, Words: marks},
		{Path: "name", Type: fact.Text},
	}}, nil)
	require.NoError(t, err)
	return c
}

func word(op limit.Op, text string) limit.Constraint {
	return limit.Constraint{Op: op, Operand: &limit.Operand{Text: text}}
}

func of(op limit.Op, args ...limit.Constraint) limit.Constraint {
	return limit.Constraint{Op: op, Args: args}
}

// wordConstraint is a random constraint on one word.
func wordConstraint(r *rand.Rand, negative bool) limit.Constraint {
	one := func() limit.Constraint {
		if negative && r.IntN(2) == 0 {
			return word(limit.Differs, marks[r.IntN(3)])
		}
		return word(limit.Equals, marks[r.IntN(3)])
	}
	if r.IntN(3) == 0 {
		return of(limit.Any, one(), one())
	}
	return one()
}

// listConstraint is a random constraint on a list of words.
func listConstraint(r *rand.Rand, deep int) limit.Constraint {
	if deep > 0 && r.IntN(2) == 0 {
		op := []limit.Op{limit.All, limit.Any}[r.IntN(2)]
		return of(op, of(limit.Some, wordConstraint(r, false)), listConstraint(r, deep-1))
	}
	switch r.IntN(3) {
	case 0:
		return of(limit.Every, wordConstraint(r, true))
	case 1:
		return of(limit.Some, wordConstraint(r, false))
	}
	return wordConstraint(r, false)
}

// meets is worked out from what the forms are said to mean, without the engine.
func meets(c limit.Constraint, words []string) bool {
	each := func(w string) bool { return meetsWord(c, w) }
	if !c.Brackets() {
		return slices.ContainsFunc(words, each)
	}
	n := 0
	for _, a := range c.Args {
		ok := meets(a, words)
		switch c.Op {
		case limit.Some:
			ok = slices.ContainsFunc(words, func(w string) bool { return meetsWord(a, w) })
		case limit.Every:
			ok = !slices.ContainsFunc(words, func(w string) bool { return !meetsWord(a, w) })
		}
		if ok {
			n++
		}
	}
	return n == len(c.Args) || c.Op == limit.Any && n > 0
}

func meetsWord(c limit.Constraint, w string) bool {
	if c.Op == limit.Any {
		return slices.ContainsFunc(c.Args, func(a limit.Constraint) bool { return meetsWord(a, w) })
	}
	return (c.Operand.Text == w) == (c.Op == limit.Equals)
}

// subsets lists every list of the words that says anything.
func subsets() [][]string {
	var out [][]string
	for set := 1; set < 1<<len(marks); set++ {
		var one []string
		for i, w := range marks {
			if set&(1<<i) != 0 {
				one = append(one, w)
			}
		}
		out = append(out, one)
	}
	return out
}

// What is judged of a list of words, and what is claimed by comparing limits on it,
// is what trying every list by the meaning of the forms shows.
func TestListsOfWordsAgreeWithTheirMeaning(t *testing.T) {
	t.Parallel()
	c, r := listed(t), rand.New(rand.NewPCG(7, 8))
	set := &limit.RuleSet{Source: limit.Source{Name: "s", Decision: limit.Simple}}
	contained, contradict := 0, 0
	for range 2000 {
		a, b := listConstraint(r, 2), listConstraint(r, 2)
		x, err := limit.Compile(c, set, &limit.Limit{Name: "x", Measure: "marks", Within: a})
		require.NoError(t, err, a)
		y, err := limit.Compile(c, set, &limit.Limit{Name: "y", Measure: "marks", Within: b})
		require.NoError(t, err, b)
		var inside, out, both bool
		contains := true
		for _, words := range subsets() {
			want := meets(a, words)
			got, applies, err := x.Try("[" + strings.Join(words, ", ") + "]")
			require.NoError(t, err)
			require.True(t, applies)
			assert.Equal(t, want, got == limit.Yes, "%s: %q", x.Describe(false), words)
			inside, out, both = inside || want, out || !want, both || want && meets(b, words)
			contains = contains && (want || !meets(b, words))
		}
		within, outside, certain := x.Verdicts()
		assert.True(t, certain)
		assert.Equal(t, inside, within, x.Describe(false))
		assert.Equal(t, out, outside, x.Describe(false))
		assert.Equal(t, contains, x.Contains(y), "%s; %s", x.Describe(false), y.Describe(false))
		assert.Equal(t, !both, x.Contradicts(y), "%s; %s", x.Describe(false), y.Describe(false))
		contained, contradict = contained+count(contains), contradict+count(!both)
	}
	assert.Greater(t, contained, 100)
	assert.Greater(t, contradict, 50)
}

// Of a word that a job's own list has to have nothing is claimed: both verdicts can
// come out, and no two such limits contradict each other for every job.
func TestWordsOfAListOfTheJobDecideNothingBeforehand(t *testing.T) {
	t.Parallel()
	c := listed(t)
	set := &limit.RuleSet{Source: limit.Source{Name: "s", Decision: limit.Simple}}
	compiled := func(measure string, within limit.Constraint) *limit.Compiled {
		l, err := limit.Compile(c, set, &limit.Limit{Name: "x", Measure: measure, Within: within})
		require.NoError(t, err)
		return l
	}
	among := limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Fact: "marks"}}
	none := limit.Constraint{Op: limit.Differs, Operand: &limit.Operand{Fact: "marks"}}
	for _, within := range []limit.Constraint{among, none, of(limit.Any, word(limit.Equals, "barn"), among), of(limit.All, word(limit.Differs, "barn"), none)} {
		l := compiled("place", within)
		in, out, certain := l.Verdicts()
		assert.True(t, in && out && certain, l.Describe(false))
		verdict, applies, err := l.Try("house")
		require.NoError(t, err)
		assert.True(t, applies)
		assert.Equal(t, limit.Unknown, verdict, l.Describe(false))
		for _, other := range []limit.Constraint{among, none, word(limit.Equals, "shed")} {
			o := compiled("place", other)
			assert.False(t, l.Contradicts(o), "%s; %s", l.Describe(false), o.Describe(false))
			assert.Empty(t, limit.FindConflicts([]*limit.Compiled{l, o}))
		}
	}
	barn := compiled("place", of(limit.Any, word(limit.Equals, "barn"), among))
	verdict, _, err := barn.Try("barn")
	require.NoError(t, err)
	assert.Equal(t, limit.Yes, verdict, "whatever the list has")
	in, out, certain := compiled("notes", of(limit.Every, limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Fact: "marks"}})).Verdicts()
	assert.True(t, in && out && certain)
}
