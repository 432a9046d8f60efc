package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
)

const cancelledJob = "job: 1\nstatus: cancelled\nstage: designed\nstacks: [{id: A}]\n"

// eventfulRun is a run of which something came out across files, and of which not all
// was checked.
func eventfulRun(t *testing.T) *testRun {
	r := newTestRun(t)
	sum := r.run.Limits[0]
	outcome := func(k judge.Kind) checks.RepositoryOutcome {
		return checks.RepositoryOutcome{Name: sum.FullName, Limit: sum, Kind: k, Blocking: true, Fact: "premises.energy", File: "jobs/a.yaml", At: jobfile.Position{Line: 2, Column: 3}}
	}
	r.run.Repository = checks.Repository{
		Premises: []checks.PremisesResult{{Premises: "net-loft", Jobs: []string{"1"}, Outcomes: []checks.RepositoryOutcome{outcome(judge.Outside), outcome(judge.Within), outcome(judge.Accepted)}}},
		Outcomes: []checks.RepositoryOutcome{{Name: "record#serial-unique", Kind: judge.Outside, Blocking: true, Fact: "stacks[A].serial", File: "jobs/b.yaml", At: jobfile.Position{Line: 4, Column: 7}, Written: "K7", Reason: "it stands twice"}},
	}
	r.run.Problems = []checks.Problem{{File: "rules/p.cue", At: jobfile.Position{Line: 9}, Code: "broken-limit", Message: "limit policy#x: no unit"}}
	r.run.Notes = []string{"No equipment data was read.", "No policy was read."}
	r.run.Counts.Without = checks.WithoutEntry{Jobs: 1, Limits: 9, Blocking: 8}
	return r
}

func TestQuiet(t *testing.T) {
	const who = "; nothing else was checked, this tool approves nothing, and local code, the authority having jurisdiction and licensed practice decide.\n"
	quiet := Settings{Quiet: true}
	assert.Equal(t, "No job file was found, so nothing was judged"+who, newTestRun(t).write(t, "text", quiet))
	assert.Equal(t, "8 comparisons of values with limits in 1 job file; left out: 8 outcomes within and 2 outcomes not due"+who,
		newTestRun(t).write(t, "text", quiet, "jobs/a.yaml", cleanJob), "of a clean job nothing is left but the count")
	assert.Equal(t, "0 comparisons of values with limits in 1 job file; left out: 9 outcomes not applicable and 1 job that is set aside"+who,
		newTestRun(t).write(t, "text", quiet, "jobs/a.yaml", cancelledJob))

	out := newTestRun(t).write(t, "text", quiet, "jobs/a.yaml", bareJob)
	assert.Contains(t, out, "jobs/a.yaml: job 1 (surveyed): nothing was judged: no value was compared with a limit", "that is no pass")
	assert.Contains(t, out, "\n  not judged: 10 limits, 9 of them blocking, found nothing to judge")

	out = newTestRun(t).write(t, "text", quiet, "jobs/a.yaml", edited("air: 20 °C", "air: 50 °C"), "jobs/b.yaml", "job: [")
	assert.True(t, strings.HasPrefix(out, "jobs/a.yaml:12:10: outside: air around the stack"), out)
	assert.Contains(t, out, "\njobs/b.yaml: the file could not be read; nothing of it was checked\n8 comparisons of values with limits in 1 job file, 1 file that could not be read; left out: ")
	for _, gone := range []string{"Before the", "were compared", "Totals", "  outcomes "} {
		assert.NotContains(t, out, gone)
	}

	out = eventfulRun(t).write(t, "text", quiet, "jobs/a.yaml", cleanJob)
	for _, want := range []string{"jobs/a.yaml:2:3: outside: ", "jobs/b.yaml:4:7: outside: ", "rules/p.cue:9: problem: ", ", 9 limits that found nothing to judge (8 blocking) and 2 notes on what this run did not check at all; "} {
		assert.Contains(t, out, want)
	}
	assert.NotContains(t, out, "accepted: ")
	assert.NotContains(t, out, "Sums over")
}

func TestSummary(t *testing.T) {
	for _, c := range []struct{ name, job, want string }{
		{"clean", cleanJob, "job 2026-014 (designed): no finding; 7 values were compared with 8 limits; 2 comparisons wait on facts that are not due yet; by policy, xx/code."},
		{"findings", edited("air: 20 °C", "air: 50 °C", "    setting: garage\n", ""), "job 2026-014 (designed): 1 outcome outside, 2 outcomes not checked; 6 values were compared with 7 limits; 1 comparison waits on facts that are not due yet; by policy, xx/code."},
		{"nothing recorded", bareJob, "job 1 (surveyed): nothing was judged: no value was compared with a limit; 10 limits, 9 of them blocking, found nothing to judge."},
		{"cancelled", cancelledJob, "job 1 (cancelled, designed): not judged, since the job is cancelled; 9 comparisons do not apply."},
		{"not read", "job: [", "the file could not be read; nothing of it was checked; 1 problem"},
		{"a problem", edited("air: 20 °C", "air: 20 kg"), "job 2026-014 (designed): 1 outcome not checked; 6 values were compared with 7 limits; 2 comparisons wait on facts that are not due yet; by policy, xx/code; 1 problem."},
	} {
		t.Run(c.name, func(t *testing.T) {
			out := newTestRun(t).write(t, "text", Settings{Summary: true, Headings: true}, "jobs/a.yaml", c.job)
			line, rest, _ := strings.Cut(out, "\n")
			assert.Equal(t, "jobs/a.yaml: "+c.want, line)
			assert.True(t, strings.HasPrefix(rest, "\nTotals "), rest)
			assert.True(t, strings.HasSuffix(rest, caution+"\n"))
		})
	}
	out := eventfulRun(t).write(t, "text", Settings{Summary: true}, "jobs/a.yaml", cleanJob)
	assert.Contains(t, out, "\nSums over 1 property: 1 outcome outside, 1 outcome accepted, 1 outcome within.\nChecks across files: 1 outcome outside.\n\nTotals ")
	assert.Contains(t, out, "\n  problems    1 problem that kept something from being checked\n")
	assert.NotContains(t, out, "rules/p.cue:9")
}

// Places stay at the beginning of lines, and one empty line stands between jobs.
func TestHeadings(t *testing.T) {
	bad := edited("air: 20 °C", "air: 50 °C")
	r := eventfulRun(t)
	r.run.Files = 5
	out := r.write(t, "text", Settings{}, "jobs/a.yaml", cleanJob, "jobs/b.yaml", bad, "jobs/c.yaml", bad, "jobs/d.yaml", cleanJob, "jobs/e.yaml", cleanJob)
	var starts []string
	for line := range strings.Lines(out) {
		if line = strings.TrimSuffix(line, "\n"); !strings.HasPrefix(line, "  ") {
			first, _, _ := strings.Cut(line, ": ")
			starts = append(starts, first)
		}
	}
	assert.Equal(t, []string{"jobs/a.yaml", "", "Job 2026-014 (designed)", "jobs/b.yaml:12:10", "", "Job 2026-014 (designed)", "jobs/c.yaml:12:10", "", "jobs/d.yaml", "jobs/e.yaml", "",
		"Across files and in definitions", "jobs/a.yaml:2:3", "jobs/a.yaml:2:3", "Sums over 1 property", "jobs/b.yaml:4:7", "rules/p.cue:9", "", "Totals as of 2026-03-11, limits 0123456789ab", caution}, starts)
	assert.Contains(t, out, "\nJob 2026-014 (designed): 1 finding\n")

	for _, files := range []int{0, 1} {
		r := newTestRun(t)
		r.run.Files = files
		assert.NotContains(t, r.write(t, "text", Settings{}, "jobs/b.yaml", bad), "Job ")
	}
	out = newTestRun(t).write(t, "text", Settings{Headings: true}, "jobs/b.yaml", edited("air: 20 °C", "air: 20 kg", "above: 900 mm", "above: 700 mm"))
	assert.True(t, strings.HasPrefix(out, "Job 2026-014 (designed): 2 findings, 1 problem\njobs/b.yaml:11:24: "), out)
	out = newTestRun(t).write(t, "text", Settings{Headings: true}, "jobs/b.yaml", "job: [")
	assert.True(t, strings.HasPrefix(out, "A file that could not be read: 1 problem\njobs/b.yaml:1"), out)
	assert.True(t, strings.HasPrefix(newTestRun(t).write(t, "text", Settings{Headings: true}, "jobs/a.yaml", cleanJob), "jobs/a.yaml: job "), "a job without findings has one line of its own")
}
