package report

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

const bareJob = "job: 1\nstage: surveyed\n"

// A job that records nothing of a list says list by list how many limits found
// nothing to judge, and asking costs no memory.
func TestWithoutEntry(t *testing.T) {
	out := newTestRun(t).write(t, "json", Settings{}, "jobs/a.yaml", bareJob, "jobs/b.yaml", cleanJob)
	require.NoError(t, validate(t, []byte(out)))
	var doc struct {
		Jobs []struct {
			WithoutEntry []map[string]any `json:"without_entry"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &doc))
	assert.Equal(t, []map[string]any{{"list": "units", "limits": 1., "blocking": 1.}, {"list": "stacks", "limits": 9., "blocking": 8.}}, doc.Jobs[0].WithoutEntry)
	assert.Empty(t, doc.Jobs[1].WithoutEntry)

	result := newTestRun(t).job(t, "jobs/a.yaml", bareJob).Result
	n := 0
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		for x := range result.WithoutEntry() {
			n += len(x.Limits) + x.Blocking()
		}
	}))
	assert.Positive(t, n)
}

// The totals say it for the run, and nothing where there is nothing to say.
func TestWithoutEntryInTotals(t *testing.T) {
	for _, c := range []struct {
		n    checks.WithoutEntry
		want string
	}{
		{checks.WithoutEntry{}, ""},
		{checks.WithoutEntry{Jobs: 1, Limits: 1}, "1 limit found nothing to judge, counted job by job, in 1 job"},
		{checks.WithoutEntry{Jobs: 1, Limits: 1, Blocking: 1}, "1 limit, blocking, found nothing to judge, counted job by job, in 1 job"},
		{checks.WithoutEntry{Jobs: 3, Limits: 9, Blocking: 4}, "9 limits, 4 of them blocking, found nothing to judge, counted job by job, in 3 jobs"},
	} {
		r := newTestRun(t)
		r.run.Counts.Without = c.n
		out := r.write(t, "text", Settings{}, "jobs/a.yaml", cleanJob)
		assert.Equal(t, c.want != "", strings.Contains(out, "\n  not judged  "), out)
		assert.Contains(t, out, c.want)
	}
	r := newTestRun(t)
	r.run.Counts.Without = checks.WithoutEntry{Jobs: 3, Limits: 9, Blocking: 4}
	assert.Contains(t, r.write(t, "json", Settings{}), `"without_entry":{"jobs":3,"limits":9,"blocking":4},"notes":`)
}

// A limit that is not understood is named with every job that it is for, at most
// five of them in text.
func TestBrokenLimits(t *testing.T) {
	r := newTestRun(t)
	policy := r.plan.Sets[1].RuleSet
	for _, c := range []struct{ names, want string }{
		{"", ""},
		{"policy#a", "\n  not judged: 1 limit is broken (policy#a), see the problems below.\n"},
		{"policy#a policy#b", "\n  not judged: 2 limits are broken (policy#a, policy#b), see the problems below.\n"},
		{"a b c d e f g", "\n  not judged: 7 limits are broken (a, b, c, d, e and 2 others), see the problems below.\n"},
	} {
		policy.Broken = strings.Fields(c.names)
		out := string(NewText(nil, Settings{}).Render(nil, r.job(t, "jobs/a.yaml", cleanJob)))
		assert.Equal(t, c.want != "", strings.Contains(out, "broken"), out)
		assert.Contains(t, out, c.want)
		js := r.write(t, "json", Settings{}, "jobs/a.yaml", cleanJob)
		require.NoError(t, validate(t, []byte(js)))
		want, err := json.Marshal(strings.Fields(c.names))
		require.NoError(t, err)
		assert.Contains(t, js, `"broken_limits":`+string(want)+`,`)
	}
}

// Nothing of this is said of a job that is set aside as a whole.
func TestSetAsideJudgesNothing(t *testing.T) {
	r := newTestRun(t)
	r.plan.Sets[1].Broken = []string{"policy#a"}
	job := r.job(t, "jobs/a.yaml", "job: 1\nstatus: cancelled\nstage: designed\n")
	assert.NotContains(t, string(NewText(nil, Settings{}).Render(nil, job)), "not judged: ")
	assert.Contains(t, string(NewJSON(nil, Settings{}).Render(nil, job)), `"gates":[],"gates_without":[],"outcomes":[],"calculations":[],"proposals":[],"without_entry":[],"broken_limits":[],"premises_sums":`)
}

// The count of open points says what is not in it.
func TestGatesSayWhatTheyDoNotCount(t *testing.T) {
	for _, c := range []struct {
		name, job, text, json string
		sums                  bool
	}{
		{"nothing open", cleanJob, "0 open points, not counting checks across files, which stand below.\n", `"state":"clear so far","open":[]}`, false},
		{"nothing open, sums", cleanJob, "0 open points, not counting sums over the property and checks across files, which stand below.\n", `"gates_without":["premises sums","checks across files"]`, true},
		{"a finding", edited("above: 900 mm", "above: 700 mm"), "start-work, 1 point is open, not counting checks across files:\n", `"gates_without":["checks across files"]`, false},
		{"a finding, sums", edited("above: 900 mm", "above: 700 mm"), "start-work, 1 point is open, not counting sums over the property and checks across files:\n", `"state":"open"`, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newTestRun(t)
			if c.sums {
				r.plan.Across = r.plan.All[:1] // stands in for a limit on a sum
			}
			job := r.job(t, "jobs/a.yaml", c.job)
			assert.Contains(t, string(NewText(nil, Settings{}).Render(nil, job)), c.text)
			assert.Contains(t, string(NewJSON(nil, Settings{}).Render(nil, job)), c.json)
		})
	}
}

// A code that bounds only sums took part, unless it does not apply to the job; a
// rule of the firm is no code.
func TestJudgedBySums(t *testing.T) {
	for _, c := range []struct {
		kind limit.Kind
		want string
	}{
		{limit.Code, "; yy/code only by sums over the property; next gate"},
		{limit.Practice, "; no code or standard took part; next gate"},
	} {
		r := newTestRun(t)
		r.run.Limits[0].Source.Kind = limit.Practice // of the one rule set
		sum, source := *r.plan.All[2].Compiled, limit.Source{Name: "yy/code", Kind: c.kind}
		sum.Source = &source
		r.plan.Across = []*limit.Planned{{Compiled: &sum}}
		assert.Contains(t, string(NewText(nil, Settings{}).Render(nil, r.job(t, "jobs/a.yaml", cleanJob))), c.want)
	}
}

func TestOfThem(t *testing.T) {
	assert.Equal(t, ", blocking", ofThem(1, 1))
	assert.Equal(t, ", all of them blocking", ofThem(3, 3))
	assert.Equal(t, ", 1 of them blocking", ofThem(1, 3))
}

// A field of several values is no text and stands there as its author wrote it.
func TestValueOfSeveral(t *testing.T) {
	r := newTestRun(t)
	job := r.job(t, "jobs/a.yaml", cleanJob)
	facts, leaf := job.Result.Facts, r.shape.Leaf("units.stacks")
	unit := facts.Entries[leaf.Scope.ID][0]
	job.Result.Outcomes = append(job.Result.Outcomes, judge.Outcome{Kind: judge.NotChecked, Check: "record#x", Blocking: true, Of: unit, Leaf: leaf, Value: unit.Get(leaf), Reason: "why"})
	out := string(NewText(nil, Settings{}).Render(nil, job))
	assert.Contains(t, out, "stacks of the unit (units[U1].stacks); why\n  value       [A]\n")
}
