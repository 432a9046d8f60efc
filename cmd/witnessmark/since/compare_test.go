package since

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

func outside(value string, room float64) *Finding {
	return &Finding{Name: "policy#gap", Fact: "stacks[A].wall_gap", Kind: judge.Outside, Blocking: true, Value: value, Room: room}
}

func advisory(f *Finding) *Finding {
	f.Blocking = false
	return f
}

func otherwise(k judge.Kind) *Finding {
	return &Finding{Name: "policy#gap", Fact: "stacks[A].wall_gap", Kind: k, Room: math.NaN()}
}

// What counts as new where the subject was a finding before.
func TestJudged(t *testing.T) {
	for _, c := range []struct {
		name       string
		base, head *Finding
		want       State
		was        bool
	}{
		{"the same", outside("44 mm", -4), outside("44 mm", -4), Known, false},
		{"the limit moved", outside("44 mm", -4), outside("44 mm", -9), Known, false},

		{"nearer", outside("44 mm", -4), outside("42 mm", -2), Known, true},
		{"written otherwise", outside("44 mm", -0.004), outside("4.4 cm", -0.004*(1+1e-12)), Known, true},
		{"farther", outside("44 mm", -4), outside("45 mm", -5), New, true},
		{"advisory, and blocks now", advisory(outside("44 mm", -4)), outside("44 mm", -4), New, true},
		{"blocked, and is advisory now", outside("44 mm", -4), advisory(outside("44 mm", -4)), Known, false},
		{"another word", outside("bedroom", math.NaN()), outside("attic", math.NaN()), New, true},
		{"recorded and outside", otherwise(judge.Missing), outside("44 mm", -4), New, true},
		{"no longer checked", outside("44 mm", -4), otherwise(judge.NotChecked), New, true},
		{"waits", outside("44 mm", -4), otherwise(judge.NotDue), New, true},
		{"accepted", outside("44 mm", -4), otherwise(judge.Accepted), New, true},
		{"a concession ran out", otherwise(judge.Accepted), outside("44 mm", -4), New, true},
		{"missing for another reason", otherwise(judge.Missing), otherwise(judge.Missing), Known, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			verdicts, left := Compare([]*Finding{c.base}, []*Finding{c.head})
			require.Len(t, verdicts, 1)
			assert.Equal(t, c.want, verdicts[0].State)
			assert.Equal(t, c.was, verdicts[0].Was == c.base)
			assert.Empty(t, left, "the subject is the same")
		})
	}
}

// someFindings are findings of few subjects, so that many are about the same.
func someFindings(r *rand.Rand) []*Finding {
	kinds := []judge.Kind{judge.Outside, judge.TooClose, judge.Missing, judge.NotChecked, judge.Accepted, judge.NotDue}
	out := make([]*Finding, r.IntN(12))
	for i := range out {
		f := &Finding{Name: fmt.Sprint("limit", r.IntN(3)), Fact: fmt.Sprint("fact", r.IntN(3)), Kind: kinds[r.IntN(len(kinds))], Room: math.NaN()}
		if f.Kind == judge.Outside {
			f.Room = -float64(r.IntN(4))
			f.Value = fmt.Sprint(f.Room)
		}
		out[i] = f
	}
	return out
}

// tally counts findings by what they are about and how they came out.
func tally(all []*Finding) map[Finding]int {
	out := map[Finding]int{}
	for _, f := range all {
		out[Finding{Name: f.Name, Fact: f.Fact, Kind: f.Kind, Value: f.Value}]++
	}
	return out
}

func countOf(verdicts []Verdict, s State) int {
	n := 0
	for _, v := range verdicts {
		if v.State == s {
			n++
		}
	}
	return n
}

// What holds of every comparison, whatever is compared.
func TestCompareProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(20260302, 7))
	for range 5000 {
		base, head := someFindings(r), someFindings(r)
		verdicts, left := Compare(base, head)
		require.Len(t, verdicts, len(head))
		before, after := tally(base), tally(head)

		// Nothing is lost: each finding of the base is left, or was one of the head's.
		subjects := func(all []*Finding) map[subject]int {
			out := map[subject]int{}
			for _, f := range all {
				out[f.subject()]++
			}
			return out
		}
		inBase, inHead, inLeft := subjects(base), subjects(head), subjects(left)
		for key, n := range inBase {
			require.Equal(t, max(0, n-inHead[key]), inLeft[key], "as many are left as the head has fewer")
		}
		for i, v := range verdicts {
			h := head[i]
			require.Contains(t, []State{New, Known}, v.State)
			if v.Was != nil {
				require.Equal(t, h.subject(), v.Was.subject())
				require.False(t, slices.Contains(left, v.Was))
			}
			if v.State == Known {
				require.Positive(t, inBase[h.subject()], "nothing is known that was not there")
			}
		}
		// Known are at least those that are alike in both, one by one, and of a subject
		// never more than the base had.
		alike := 0
		for key, n := range after {
			alike += min(n, before[key])
		}
		require.GreaterOrEqual(t, countOf(verdicts, Known), alike)
		known := map[subject]int{}
		for i, v := range verdicts {
			if v.State == Known {
				known[head[i].subject()]++
			}
		}
		for key, n := range known {
			require.LessOrEqual(t, n, inBase[key])
		}

		// The same on both sides: all known, nothing left, whatever the order.
		shuffled := slices.Clone(head)
		r.Shuffle(len(shuffled), func(i, k int) { shuffled[i], shuffled[k] = shuffled[k], shuffled[i] })
		same, none := Compare(head, shuffled)
		require.Equal(t, len(head), countOf(same, Known))
		require.Empty(t, none)

		// Without a base all is new; one more than before is exactly one new.
		fresh, none := Compare(nil, head)
		require.Equal(t, len(head), countOf(fresh, New))
		require.Empty(t, none)
		if len(head) > 0 {
			again := *head[r.IntN(len(head))]
			more, none := Compare(head, append(slices.Clone(head), &again))
			require.Equal(t, 1, countOf(more, New))
			require.Empty(t, none)
		}

		// Nothing of it depends on the order of the base.
		turned := slices.Clone(base)
		slices.Reverse(turned)
		other, _ := Compare(turned, head)
		require.Equal(t, countOf(verdicts, New), countOf(other, New))
	}
}
