package jobgen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// spike is the synthetic set made ready, as a run does it.
func spike(t testing.TB) (*fact.Compiled, *limit.Plan) {
	d := Spike()
	shape, err := fact.Compile(&d.Shape, d.Functions)
	require.NoError(t, err)
	var sets []*limit.Set
	for i := range d.RuleSets {
		set, faults := limit.CompileSet(shape, &d.RuleSets[i])
		require.Empty(t, faults)
		sets = append(sets, set)
	}
	plan, faults := limit.NewPlan(shape, sets, func(string) bool { return false })
	require.Empty(t, faults)
	return shape, plan
}

func TestSpikeIsAsLargeAsItSays(t *testing.T) {
	d := Spike()
	limits, calculated, quantified := 0, 0, 0
	for _, s := range d.RuleSets {
		limits += len(s.Limits)
		for _, l := range s.Limits {
			for _, c := range l.When {
				if c.Quantifier != "" {
					quantified++
				}
			}
		}
	}
	for _, f := range d.Shape.Fields {
		if f.Calculation != nil {
			calculated++
		}
	}
	assert.Len(t, d.Shape.Lists, SpikeLists)
	assert.Equal(t, SpikeFields, len(d.Shape.Fields)-calculated)
	assert.Equal(t, SpikeCalcs, calculated)
	assert.Equal(t, SpikeLimits, limits)
	assert.Greater(t, quantified, 40)
}

// Every form of limit decides something in the jobs, so that the benchmark does
// not measure limits that never apply.
func TestSpikeJobsAreJudged(t *testing.T) {
	shape, plan := spike(t)
	decoder, judging := fact.NewDecoder(shape, nil, quantity.Options{}), judge.New(judge.House{})
	kinds := map[judge.Kind]int{}
	decided := map[string]bool{}
	bytes := 0
	for i := range 50 {
		text := SpikeJob(i, 1)
		bytes += len(text)
		f, problems := jobfile.Read("spike.yaml", []byte(text), jobfile.Limits{})
		require.Empty(t, problems)
		facts := decoder.Decode(f)
		require.Empty(t, facts.Problems)
		r := judging.Job(facts, plan, func(string) bool { return false }, 0)
		for j := range r.Outcomes {
			o := &r.Outcomes[j]
			kinds[o.Kind]++
			if o.Kind == judge.Within || o.Kind == judge.Outside {
				decided[o.Name()] = true
			}
		}
	}
	t.Logf("%d bytes a job, outcomes of 50 jobs: %v", bytes/50, kinds)
	for _, l := range plan.Sets {
		for _, one := range l.Limits {
			assert.True(t, decided[one.FullName], "%s %s decided nothing", one.FullName, strings.Join([]string{one.Measure, one.Within.String()}, " "))
		}
	}
}
