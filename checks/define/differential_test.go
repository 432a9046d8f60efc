package define

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/cuecontext"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/schema"
)

// The compiled predicate and CUE itself give the same answer for the same
// constraint and value. One exception is listed: numbers compare by value, so
// that 20 and 20.0 are the same, while CUE tells an integer from a decimal.
func TestPredicatesAgreeWithCUE(t *testing.T) {
	c := shape(t)
	random := rand.New(rand.NewPCG(7, 11))
	ctx := cuecontext.New()
	for n := range 600 {
		text, numeric := randomConstraint(random, 3)
		measure, unit := "premises.occupancy", ""
		if numeric {
			measure, unit = "stacks.wall_gap", "mm"
		}
		con, err := readConstraint(ctx.CompileString(text))
		if err != nil || con.Constraint == nil {
			continue // CUE has simplified it away, or it can never hold
		}
		set := &limit.RuleSet{Source: limit.Source{Name: "x", Kind: limit.Policy, Decision: limit.Simple}}
		l, err := limit.Compile(c, set, &limit.Limit{Name: "l", Measure: measure, Unit: unit, Within: *con.Constraint, Grade: limit.Document})
		if err != nil {
			require.Contains(t, err.Error(), "never", text)
			continue
		}
		for range 12 {
			value, v, q := randomValue(random, numeric)
			want := ctx.CompileString(fmt.Sprintf("(%s) & %s", text, value)).Validate(cue.Concrete(true)) == nil
			verdict, _ := l.Judge(&v, q, nil)
			got := verdict.Holds == limit.Yes
			require.Equal(t, want, got, "%d: %s for %s", n, text, value)
		}
	}
}

func randomConstraint(r *rand.Rand, depth int) (text string, numeric bool) {
	numeric = r.IntN(3) > 0
	return constraintText(r, depth, numeric), numeric
}

func constraintText(r *rand.Rand, depth int, numeric bool) string {
	if depth == 0 || r.IntN(3) == 0 {
		if numeric {
			return []string{"<=", ">=", "<", ">", "!="}[r.IntN(5)] + randomNumber(r)
		}
		w := `"` + words[r.IntN(len(words))] + `"`
		return []string{w, "!=" + w, `=~"` + string(words[r.IntN(len(words))][0]) + `"`, `!~"o"`}[r.IntN(4)]
	}
	op := []string{" & ", " | "}[r.IntN(2)]
	return "(" + constraintText(r, depth-1, numeric) + op + constraintText(r, depth-1, numeric) + ")"
}

var words = []string{"dwelling", "shop", "office", "farm", "workshop"}

// randomNumber is never a whole number in CUE's eyes: whole and decimal numbers
// are the listed exception.
func randomNumber(r *rand.Rand) string {
	return fmt.Sprintf("%d.%d", r.IntN(12), 1+r.IntN(9))
}

func randomValue(r *rand.Rand, numeric bool) (string, fact.Value, quantity.Quantity) {
	if !numeric {
		w := words[r.IntN(len(words))]
		return `"` + w + `"`, fact.Value{State: fact.Known, Text: w}, quantity.Quantity{}
	}
	n := randomNumber(r)
	q := quantity.MustOf(n+" mm", "mm")
	return n, fact.Value{State: fact.Known, Quantity: q}, q
}

// Every shipped limit is held against CUE too: the value of each bound, and a
// little to both sides of it.
func TestShippedLimitsAgreeWithCUE(t *testing.T) {
	c := shape(t)
	d, _, err := Decode(schema.Compiled)
	require.NoError(t, err)
	ctx := cuecontext.New()
	compared := 0
	for i := range d.RuleSets {
		set, faults := limit.CompileSet(c, &d.RuleSets[i])
		require.Empty(t, faults)
		for _, l := range set.Limits {
			text := l.Within.String()
			if len(l.Bounds(false)) == 0 || strings.Contains(text, "*") {
				continue
			}
			for _, b := range l.Bounds(false) {
				for _, by := range []float64{-1, 0, 1} {
					n := fmt.Sprintf("%.3f", b.Number.In(l.Of)+by*0.001)
					q := quantity.MustOf(n+" "+unitText(l), l.Of.Symbol())
					want := ctx.CompileString(fmt.Sprintf("(%s) & %s", text, n)).Validate(cue.Concrete(true)) == nil
					verdict, _ := l.Judge(&fact.Value{State: fact.Known, Quantity: q}, q, nil)
					require.Equal(t, want, verdict.Holds == limit.Yes, "%s: %s for %s", l.FullName, text, n)
					compared++
				}
			}
		}
	}
	require.Greater(t, compared, 60)
}

func unitText(l *limit.Compiled) string {
	if l.Of.Kind() == quantity.Count {
		return ""
	}
	return l.Of.Symbol()
}
