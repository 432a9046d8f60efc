package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/register"
	"witnessmark.example/cmd/witnessmark/report/inert"
)

// edited is the clean job with lines replaced: old, new, old, new …
func edited(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(cleanJob) }

// findings is the report on one job, without the totals.
func findings(t *testing.T, text string) string {
	t.Helper()
	out := newTestRun(t).write(t, "text", Settings{}, "jobs/a.yaml", text)
	body, _, ok := strings.Cut(out, "\nTotals")
	require.True(t, ok, out)
	return body
}

func TestFindings(t *testing.T) {
	for _, c := range []struct{ name, job, want string }{
		{"outside, in another unit, with the plan and a second limit in one line", edited("stage: designed", "stage: installed", "wall_gap: 40 mm", "torque: 7 N·m\n    wall_gap: {planned: 40 mm, built: 2 cm ± 1 mm}"), `
jobs/a.yaml:11:39: outside: gap to the wall (stacks[A].wall_gap) is 2 cm ± 1 mm (20 mm); the limit is >= 25 mm
  value       2 cm ± 1 mm (20 mm); planned 40 mm
  limit       >= 25 mm  xx/code#gap
  margin      5 mm outside the limit
  source      Code of the Isles, edition 2024, 4.2
  grade       document (its own text was read), blocking; reviewed 2026-01-01, again due 2027-01-01
  why         It is so.
  decided by  The harbour office decides.
  defined     rules/test.cue:10
  also        outside >= 30 mm  xx/code#gap-hearsay, 10 mm outside the limit; Code of the Isles, edition 2024, 4.3; grade memory, advisory; decided by: The harbour office decides. Defined in rules/test.cue:20
`},
		{"advisory, while the blocking limit on the same value is within and not shown", edited("wall_gap: 40 mm", "wall_gap: 26 mm"), `
jobs/a.yaml:10:15: outside: advisory: gap to the wall (stacks[A].wall_gap) is 26 mm; the limit is >= 30 mm
  value       26 mm
  limit       >= 30 mm  xx/code#gap-hearsay
  margin      4 mm outside the limit
  source      Code of the Isles, edition 2024, 4.3
  grade       memory (recalled, not read), advisory; reviewed 2026-01-01, again due 2027-01-01
`},
		{"calculated", edited("modules: 4", "modules: 5"), `
jobs/a.yaml:5:5: outside: energy of the unit (units[U1].energy) is 12 kWh; the limit is <= 10 kWh
  value       12 kWh
  calculated  12 kWh; formula: sum of the stacks' energies
  limit       <= 10 kWh  xx/code#energy
  margin      2 kWh outside the limit
`},
		{"a word", edited("setting: garage", "setting: bedroom"), `
jobs/a.yaml:13:14: outside: setting (stacks[A].setting) is "bedroom"; the limit is not "bedroom"
  value       "bedroom"
  limit       not "bedroom"  xx/code#setting
  source      Code of the Isles, edition 2024, 7
`},
		{"on a bound that must not be reached", edited("air: 20 °C", "air: 40 °C"), `
jobs/a.yaml:12:10: outside: air around the stack (stacks[A].air) is 40 °C; the limit is < 40 °C
  value       40 °C
  limit       < 40 °C  xx/code#air
  margin      1 K outside the limit
`},
		{"bound taken from a fact", edited("above: 900 mm", "above: 700 mm"), `
jobs/a.yaml:11:24: outside: free space above (stacks[A].clearance.above) is 700 mm; the limit is >= 800 mm (20 × stacks.wall_gap)
  value       700 mm
  limit       >= 20 × stacks.wall_gap, here 800 mm  policy#above
  margin      100 mm outside the limit
`},
		{"too close to call, by the policy's band", edited("note: ok", "note: ok\n    torque: 7.9 N·m"), `
jobs/a.yaml:15:13: too close to call: torque set (stacks[A].torque) is 7.9 N·m; the limit is <= 8 N·m
  value       7.9 N·m; with the band of the firm's policy: 7.9 N·m ± 4 %
  limit       <= 8 N·m  policy#torque
  margin      0.1 N·m within the limit as written
  source      How we work, edition 3, 1
  grade       document (its own text was read), blocking; reviewed 2026-01-01, again due 2027-01-01
  why         It is so.
  decided by  We do.
  defined     rules/test.cue:80
  note        the uncertainty reaches over the limit, and this source is met only with all of it within
`},
		{"only the plan is written", edited("stage: designed", "stage: installed", "note: ok", "note: ok\n    torque: 7 N·m"), `
jobs/a.yaml:10:15: missing: built value of gap to the wall (stacks[A].wall_gap), due installed; only the plan is written, 40 mm
  mend        wall_gap: {planned: 40 mm, built: …}
  waiting     xx/code#gap: >= 25 mm; grade document, blocking
  waiting     xx/code#gap-hearsay: >= 30 mm; grade memory, advisory
  decided by  The harbour office decides.
  waiting     policy#above: >= 20 × stacks.wall_gap; grade document, blocking; for stacks[A].clearance.above
  decided by  We do.
`},
		{"missing in a block that is not there", edited("    clearance: {above: 900 mm}\n", ""), `
jobs/a.yaml:7:5: missing: free space above (stacks[A].clearance.above), due designed
  mend        clearance: {above: …}  (written like 600 mm)
  waiting     policy#above: >= 20 × stacks.wall_gap; grade document, blocking
  decided by  We do.
`},
		{"missing, due some days after a date", edited("premises:", "dates: {handed-over: 2026-01-01}\npremises:", "stage: designed", "stage: handed-over", "wall_gap: 40 mm", "torque: 7 N·m\n    marked: true\n    wall_gap: {built: 40 mm}"), `
jobs/a.yaml:3:1: missing: completed on (dates.completed), due 30 days after handed-over
  mend        completed: …  (year-month-day)
`},
		{"never due by itself, but a limit needs it", edited("    setting: garage\n", ""), `
jobs/a.yaml:7:5: not checked: setting (stacks[A].setting) is not recorded
  mend        setting: …  (one of: garage, bedroom)
  waiting     xx/code#setting: not "bedroom"; grade document, blocking
  waiting     xx/code#marked: yes; grade document, blocking; for stacks[A].marked
  decided by  The harbour office decides.
`},
		{"product without data: one line behind the problem", edited("morvane@B", "morvane@C"), `
jobs/a.yaml:8:16: problem: equipment: there is no such product
`},
		{"product without data: no reason twice", edited("morvane@B", "morvane@C"), `
jobs/a.yaml:8:16: not checked: product of the stack (stacks[A].equipment) could not be used; no limit of its datasheet was checked
`},
		{"stage that the dates contradict", edited("premises:", "dates: {handed-over: 2026-01-01}\npremises:"), `
jobs/a.yaml:2:8: outside: stage (stage): the job is handed-over since 2026-01-01 by its dates, but its stage is designed
  check       record#stage-by-dates
`},
		{"cannot be read", edited("air: 20 °C", "air: 20 kg"), `
jobs/a.yaml:12:10: not checked: air around the stack (stacks[A].air) could not be read: `},
		{"file that cannot be read", "job: [", `
jobs/a.yaml: the file could not be read; nothing of it was checked
`},
		{"on one line each: what is open before the next gate", edited("above: 900 mm", "above: 700 mm", "    setting: garage\n", ""), `
  Before the next gate, start-work, 2 points are open, not counting checks across files:
    - setting (stacks[A].setting) is not checked against 1 limit.
    - free space above (stacks[A].clearance.above) is outside policy#above.
  Before the later gate energise 3 points are open.
  job 2026-014 (designed): 6 values were compared with 7 limits; 2 comparisons not checked; 1 comparison waits on facts that are not due yet; by policy, xx/code.
`},
		{"gate passed with open points by a job on hold", edited("stage: designed", "stage: energised\nstatus: on hold", "above: 900 mm", "above: 700 mm", "wall_gap: 40 mm", "wall_gap: {built: 40 mm}"), `
  The gate start-work was passed with 1 open point:
    - free space above (stacks[A].clearance.above) is outside policy#above.
  The gate energise was passed with 2 open points:
    - torque set (stacks[A].torque) is not recorded.
    - paint mark (stacks[A].marked) is not recorded.
`},
		{"gate passed with open points", edited("stage: designed", "stage: energised", "above: 900 mm", "above: 700 mm", "wall_gap: 40 mm", "torque: 7 N·m\n    marked: true\n    wall_gap: {built: 40 mm}"), `
  The gate start-work was passed with 1 open point: stacks[A].clearance.above.
  Before the next gate, hand-over, no point is open among those that were checked, not counting checks across files, which stand below.
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Contains(t, "\n"+findings(t, c.job), c.want)
		})
	}
}

func TestJobsWithoutFindings(t *testing.T) {
	for _, c := range []struct{ name, job, want string }{
		{"clean", cleanJob, "jobs/a.yaml: job 2026-014 (designed): 7 values within 8 limits; 2 comparisons wait on facts that are not due yet; by policy, xx/code; next gate start-work: 0 open points, not counting checks across files, which stand below.\n"},
		{"open before the next gate", edited("stage: designed", "stage: installed", "wall_gap: 40 mm", "torque: 7 N·m\n    wall_gap: {built: 40 mm}"),
			"jobs/a.yaml: job 2026-014 (installed): 8 values within 9 limits; 1 comparison waits on facts that are not due yet; by policy, xx/code; next gate energise: 1 open point (stacks[A].marked), not counting checks across files, which stand below.\n"},
		{"cancelled", "job: 1\nstatus: cancelled\nstage: designed\nstacks: [{id: A}]\n", "jobs/a.yaml: job 1 (cancelled, designed): not judged, since the job is cancelled; 9 comparisons do not apply.\n"},
		{"on hold: nothing is demanded, and what is open stands there", edited("stage: designed", "stage: energised\nstatus: on hold", "    clearance: {above: 900 mm}\n", "", "wall_gap: 40 mm", "wall_gap: {built: 40 mm}"),
			"jobs/a.yaml: job 2026-014 (on hold, energised): 6 values within 7 limits; 3 comparisons wait on facts that are not due yet; by policy, xx/code.\n" +
				"  The gate start-work was passed with 1 open point:\n    - free space above (stacks[A].clearance.above) is not recorded.\n" +
				"  The gate energise was passed with 2 open points:\n    - torque set (stacks[A].torque) is not recorded.\n    - paint mark (stacks[A].marked) is not recorded.\n" +
				"  Before the next gate, hand-over, no point is open among those that were checked, not counting checks across files, which stand below.\n"},
		{"on hold before its first gate", edited("stage: designed", "stage: designed\nstatus: on hold", "    clearance: {above: 900 mm}\n", ""),
			"jobs/a.yaml: job 2026-014 (on hold, designed): 6 values within 7 limits; 3 comparisons wait on facts that are not due yet; by policy, xx/code.\n" +
				"  Before the next gate, start-work, 1 point is open, not counting checks across files:\n    - free space above (stacks[A].clearance.above) is not recorded.\n" +
				"  Before the later gate energise 3 points are open.\n"},
		{"nothing to judge", "job: 1\nstage: surveyed\n", "jobs/a.yaml: job 1 (surveyed): nothing was judged: no value was compared with a limit; next gate start-work: 0 open points, not counting checks across files, which stand below.\n" +
			"  not judged: 10 limits, 9 of them blocking, found nothing to judge, since none is recorded of units (1), stacks (9).\n"},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, findings(t, c.job)) })
	}
}

// What is open names a plan as such, and a built-in check as no limit.
func TestOpenPoints(t *testing.T) {
	for _, c := range []struct{ name, job, want string }{
		{"planned only", edited("stage: designed", "stage: installed", "note: ok", "note: ok\n    torque: 7 N·m"),
			"    - gap to the wall (stacks[A].wall_gap) is still to be read on site and is not checked against 1 limit.\n"},
		{"product without data", edited("morvane@B", "morvane@C"),
			"    - product of the stack (stacks[A].equipment) could not be read.\n"},
		{"stage that the dates contradict", edited("premises:", "dates: {handed-over: 2026-01-01}\npremises:"),
			"    - stage (stage) does not pass record#stage-by-dates.\n"},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Contains(t, findings(t, c.job), c.want) })
	}
	out := findings(t, edited("morvane@B", "morvane@C"))
	assert.Equal(t, 2, strings.Count(out, "jobs/a.yaml:8:16: "), "the problem and one line on what it means: %s", out)
}

// Who reads a limit that nobody has compared with its source for too long has to
// know that, wherever the limit stands.
func TestReviewOverdue(t *testing.T) {
	for day, want := range map[string]string{
		"2027-01-01": "blocking; reviewed 2026-01-01, again due 2027-01-01\n",
		"2027-01-02": "blocking; reviewed 2026-01-01, review overdue since 2027-01-01\n",
	} {
		r := newTestRun(t)
		r.run.AsOf.Date, _ = fact.ParseDay(day)
		sum := r.run.Limits[0]
		r.run.Repository.Premises = []checks.PremisesResult{{Premises: "p", Outcomes: []checks.RepositoryOutcome{{Name: sum.FullName, Limit: sum, Kind: judge.Outside, Blocking: true, Fact: "f"}}}}
		out := r.write(t, "text", Settings{}, "jobs/a.yaml", edited("wall_gap: 40 mm", "wall_gap: 20 mm"))
		assert.Equal(t, 2, strings.Count(out, want), "in a finding of the job and in one on a sum: %s", out)
		assert.Equal(t, day == "2027-01-02", strings.Contains(out, "memory, advisory; review overdue since 2027-01-01; decided by"))
	}
}

// A job says by what it was judged.
func TestJudgedBy(t *testing.T) {
	for _, c := range []struct {
		name     string
		official bool
		applied  int // how many of its limits
		want     string
	}{
		{"a code", true, 9, "; by policy, xx/code;"},
		{"a code of which one limit applied", true, 1, "; by policy, xx/code;"},
		{"a code of which nothing applied", true, 0, "; by policy, xx/code (nothing of it applied);"},
		{"the firm's own rules alone", false, 9, "; by policy, xx/code; no code or standard took part;"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newTestRun(t)
			job := r.job(t, "jobs/a.yaml", cleanJob)
			for i := range job.Result.Outcomes {
				o := &job.Result.Outcomes[i]
				if o.Limit == nil || o.Limit.Source.Name != "xx/code" {
					continue
				}
				if !c.official {
					o.Limit.Source.Kind = limit.Practice
				}
				if c.applied--; c.applied < 0 {
					o.Kind = judge.NotApplicable
				}
			}
			assert.Contains(t, string(NewText(nil, Settings{}).Render(nil, job)), c.want)
		})
	}
}

// Findings and problems of a file come in the order of the file.
func TestOrderInFile(t *testing.T) {
	out := findings(t, edited("modules: 4", "modules: 9", "air: 20 °C", "air: 20 kg", "above: 900 mm", "above: 1 mm"))
	var heads []string
	for line := range strings.Lines(out) {
		if strings.HasPrefix(line, "jobs/") {
			heads = append(heads, strings.Join(strings.SplitN(line, ":", 5)[1:4], ":"))
		}
	}
	assert.Equal(t, []string{"5:5: outside", "9:14: outside", "11:24: outside", "12:10: problem", "12:10: not checked"}, heads)
}

// On one line the column decides, whatever the names are.
func TestOrderInLine(t *testing.T) {
	out := findings(t, "job: 1\nstage: surveyed\nstacks: [{id: A, setting: bedroom, modules: 9}]\n")
	assert.Less(t, strings.Index(out, "jobs/a.yaml:3:27: outside: setting"), strings.Index(out, "jobs/a.yaml:3:45: outside: modules"))
	assert.Contains(t, out, "jobs/a.yaml:3:27: outside: setting")
}

// A limit that waits on two facts stands only under the one that is due by now.
func TestFactsNotDueAreNoFindings(t *testing.T) {
	r := newTestRun(t)
	job := r.job(t, "jobs/a.yaml", edited("    setting: garage\n", ""))
	added := false
	for i := range job.Result.Outcomes {
		if o := &job.Result.Outcomes[i]; o.Name() == "xx/code#setting" {
			require.Equal(t, judge.NotChecked, o.Kind)
			o.WaitsOn = append(o.WaitsOn, fact.Lack{Of: o.Of, Leaf: r.shape.Leaf("stacks.marked")})
			added = true
		}
	}
	require.True(t, added)
	out := string(NewText(nil, Settings{}).Render(nil, job))
	assert.Contains(t, out, "not checked: setting (stacks[A].setting) is not recorded")
	assert.NotContains(t, out, "paint mark (stacks[A].marked) is not recorded\n")
}

// A limit that contradicts another is not judged; both are named with their places.
func TestContradiction(t *testing.T) {
	r := newTestRun(t)
	gap, other := r.run.Limits[1], r.run.Limits[2]
	other.Conflicts = append(other.Conflicts, gap) // what only advises keeps nothing blocking from judging
	out := r.write(t, "text", Settings{}, "jobs/a.yaml", cleanJob)
	assert.Contains(t, out, "jobs/a.yaml:10:15: not checked: advisory: gap to the wall (stacks[A].wall_gap); the limits contradict each other: xx/code#gap demands >= 25 mm\n  value       40 mm\n  limit       >= 30 mm  xx/code#gap-hearsay\n")
	assert.Contains(t, out, "  against     xx/code#gap, >= 25 mm, defined in rules/test.cue:10\n")
}

// Nothing in a file may begin a line, reorder text or give orders to a CI runner.
func TestHostileJob(t *testing.T) {
	hostile := edited("2026-014", `"::error file=x::boo ##[error]"`, "id: A", `id: "::set-output x"`, "stacks: [A]", `stacks: ["::set-output x"]`, "note: ok", `note: "##[group] ::warning::"`)
	name := "::error\n\x1b]0;x\x07\u202ejobs/##[x].yaml:"
	r := newTestRun(t)
	r.run.Notes = []string{"a\n::notice::b"}
	r.run.Problems = append(r.run.Problems, checks.Problem{File: "rules/\x1b[31m.cue", At: jobfile.Position{Line: 3}, Message: "x\u2028::y", Mend: "\xff"})
	r.run.Repository.Premises = []checks.PremisesResult{{Premises: "\n::p", Jobs: []string{"\r::j"}, Outcomes: []checks.RepositoryOutcome{{Kind: judge.NotChecked, Name: "\n::n", Fact: "\n::f", Reason: "\n::r"}}}}
	r.run.Repository.Outcomes = []checks.RepositoryOutcome{{Kind: judge.Outside, Name: "\n::n", Fact: "::f", File: "\n::f", Written: "\u202e", Reason: "\n::r"}}
	out := r.write(t, "text", Settings{}, name, hostile)
	for line := range strings.Lines(out) {
		require.NoError(t, inert.Harmless([]byte(strings.TrimSuffix(line, "\n"))))
		assert.Regexp(t, `^(  |\\u003a|rules/|\\u000a|premises |Totals|Sums|Work on|$)`, strings.TrimSuffix(line, "\n"))
	}
	js := newTestRun(t).write(t, "json", Settings{}, name, hostile)
	for line := range strings.Lines(js) {
		require.NoError(t, inert.Steerless([]byte(strings.TrimSuffix(line, "\n"))))
		assert.NotContains(t, line, "##[")
	}
}

func TestAcrossFiles(t *testing.T) {
	r := newTestRun(t)
	sum := r.run.Limits[0] // stands in for a limit on a sum over a property
	q := quantity.MustOf("12 kWh", "kWh")
	r.run.Repository = checks.Repository{
		Premises: []checks.PremisesResult{{Premises: "net-loft", Jobs: []string{"1", "2"}, Outcomes: []checks.RepositoryOutcome{
			{Name: sum.FullName, Limit: sum, Kind: judge.Outside, Blocking: true, Measure: "premises.energy", Fact: "premises.energy", Value: q, Margin: "2 kWh", Room: quantity.Decimal{Coef: 2}, Strict: true,
				File: "jobs/a.yaml", At: jobfile.Position{Line: 2, Column: 3}, Shares: []register.Share{{Job: "1", Value: q}, {Job: "2", Value: q}}},
			{Name: sum.FullName, Limit: sum, Kind: judge.Within, Blocking: true, Measure: "premises.energy", Fact: "premises.energy", Value: q, Margin: "2 kWh", Room: quantity.Decimal{Coef: 2}},
		}}},
		Outcomes: []checks.RepositoryOutcome{{Name: "record#serial-unique", Kind: judge.Outside, Blocking: true, Fact: "stacks[A].serial", File: "jobs/b.yaml", At: jobfile.Position{Line: 4, Column: 7}, Written: "K7", Reason: "the same serial number stands at jobs/a.yaml:3"}},
	}
	r.run.Notes = []string{"No equipment data was read."}
	r.run.Problems = []checks.Problem{{File: "rules/p.cue", At: jobfile.Position{Line: 9}, Code: "broken-limit", Message: "limit policy#x: no unit", Mend: "mend it"}}
	out := r.write(t, "text", Settings{}, "jobs/a.yaml", cleanJob)
	for _, want := range []string{
		"jobs/a.yaml:2:3: outside: energy of the unit (premises.energy) is 12 kWh; the limit is <= 10 kWh\n  limit       <= 10 kWh  xx/code#energy\n  margin      2 kWh outside the limit\n",
		"  defined     rules/test.cue:30\n  premises    net-loft\n  jobs        1: 12 kWh, 2: 12 kWh\n",
		"Sums over 1 property: 2 comparisons with limits; without findings: 1 outcome within.\n",
		"jobs/b.yaml:4:7: outside: stacks[A].serial \"K7\": the same serial number stands at jobs/a.yaml:3\n  check       record#serial-unique\n",
		"rules/p.cue:9: problem: limit policy#x: no unit\n  mend        mend it\n",
		"  not checked No equipment data was read.\n",
		caution + "\n",
	} {
		assert.Contains(t, out, want)
	}
	js := r.write(t, "json", Settings{}, "jobs/a.yaml", cleanJob)
	require.NoError(t, validate(t, []byte(js)))
	assert.Contains(t, js, `"outcome":"outside","blocking":true,"value":12,"unit":"kWh","within":"<= 10 kWh","margin":-2,"strictest":true,"decision":"simple","file":"jobs/a.yaml","at":{"line":2,"column":3},"shares":[{"job":"1","value":12},{"job":"2","value":12}]}`)
	assert.Contains(t, js, `"written":"K7","file":"jobs/b.yaml","at":{"line":4,"column":7},"reason":`)
}

// Sums that are not known for the same reason are one finding, whatever the
// number of limits and properties.
func TestUnknownSums(t *testing.T) {
	r := newTestRun(t)
	gap, policy := r.run.Limits[0], r.run.Limits[len(r.run.Limits)-1]
	outcome := func(l *limit.Planned, fact, reason string) checks.RepositoryOutcome {
		return checks.RepositoryOutcome{Name: l.FullName, Limit: l, Kind: judge.NotChecked, Blocking: l.Blocking, Fact: fact, Reason: reason, File: "jobs/a.yaml", At: jobfile.Position{Line: 2, Column: 3}}
	}
	require.NotEqual(t, gap.Source, policy.Source)
	const unread = "jobs/x.yaml could not be read and may belong here"
	for _, p := range []string{"barn", "", "mill"} {
		r.run.Repository.Premises = append(r.run.Repository.Premises, checks.PremisesResult{Premises: p, Outcomes: []checks.RepositoryOutcome{
			outcome(gap, "premises.a", unread), outcome(policy, "premises.b", unread)}})
	}
	last := &r.run.Repository.Premises[2]
	last.Outcomes = append(last.Outcomes, outcome(gap, "premises.c", "job 7: it is so"))
	out := r.write(t, "text", Settings{}, "jobs/a.yaml", cleanJob)
	name := label(gap.Way.Leaf)
	assert.Contains(t, out, "jobs/a.yaml:2:3: not checked: "+name+" (premises.a) and 1 other sum of 3 properties: "+unread+"\n"+
		"  premises    barn, not named by the job, mill\n"+
		"  waiting     "+gap.FullName+": "+gap.Describe(false)+"; grade copy, blocking; for premises.a\n  decided by  The harbour office decides.\n"+
		"  waiting     "+policy.FullName+": "+policy.Describe(false)+"; grade document, blocking; for premises.b\n  decided by  We do.\n")
	assert.Contains(t, out, "jobs/a.yaml:2:3: not checked: "+name+" (premises.c): job 7: it is so\n  premises    mill\n")
	assert.Equal(t, 2, strings.Count(out, ": not checked: "))
}

func TestEmptyRepository(t *testing.T) {
	out := newTestRun(t).write(t, "text", Settings{})
	assert.Contains(t, out, "  files       no job file was found, so nothing was judged\n")
	assert.NotContains(t, out, "  outcomes    ")
	for _, job := range []string{cleanJob, "job: ["} {
		assert.NotContains(t, newTestRun(t).write(t, "text", Settings{}, "jobs/a.yaml", job), "no job file")
	}
}

func TestTotals(t *testing.T) {
	r := newTestRun(t)
	out := r.write(t, "text", Settings{}, "jobs/a.yaml", cleanJob, "jobs/b.yaml", "job: [")
	for _, want := range []string{
		"Totals as of 2026-03-11, limits 0123456789ab\n",
		"  files       1 job file judged, 1 file that could not be read\n",
		"  judged      8 comparisons of values with limits; the outcomes below also count built-in checks and sums to which no job adds anything\n",
		"  outcomes    within: 8 outcomes\n",
		"  outcomes    not due: 2 outcomes\n",
		"  problems    ",
	} {
		assert.Contains(t, out, want)
	}
	assert.Equal(t, 1, strings.Count(out, "jobs/b.yaml:1:"), "a problem of a job file is written once, with its job")
	assert.True(t, strings.HasSuffix(out, caution+"\n"))
}

func TestColourAndPaths(t *testing.T) {
	plain := newTestRun(t).write(t, "text", Settings{}, "jobs/a.yaml", edited("air: 20 °C", "air: 50 °C"))
	assert.NotContains(t, plain, "\x1b")
	coloured := newTestRun(t).write(t, "text", Settings{Colour: true, Path: func(f string) string { return "../" + f }}, "jobs/a.yaml", edited("air: 20 °C", "air: 50 °C"))
	assert.Contains(t, coloured, "\x1b[1m../jobs/a.yaml:12:10\x1b[")
	assert.Contains(t, coloured, "\x1b[31;1moutside\x1b[")
	stripped := strings.NewReplacer("../jobs", "jobs", "../rules", "rules").Replace(stripColour(coloured))
	assert.Equal(t, plain, stripped, "colour adds nothing but colour")
}

func stripColour(s string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(s, "\x1b[")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		_, s, _ = strings.Cut(after, "m")
	}
}

func TestWordsCoverEverything(t *testing.T) {
	for _, k := range judge.Kinds() {
		assert.NotEmpty(t, spoken(k))
		assert.NotContains(t, spoken(k), "_")
	}
	assert.Equal(t, "due energise", dueWords(fact.Due{At: fact.GateEnergise}))
	assert.Equal(t, "due 1 day after handed-over", dueWords(fact.Due{At: fact.AtHandOver, Days: 1}))
}
