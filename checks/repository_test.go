package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// housed is a designed job with existing storage in a garage on some premises.
func housed(number, premises, energy, more string) string {
	return fmt.Sprintf("job: %q\npremises: {id: %s, occupancy: dwelling}\nstage: designed\nrule_sets: [us/irc-2021]\n%slocations: [{id: g, setting: attached garage}]\nexisting: [{id: e, location: g, energy: %s, kind: lithium-ion}]\n",
		number, premises, more, energy)
}

func sums(run *Run, premises string) map[string]RepositoryOutcome {
	out := map[string]RepositoryOutcome{}
	for _, p := range run.Repository.Premises {
		if p.Premises == premises {
			for _, o := range p.Outcomes {
				out[o.Name] = o
			}
		}
	}
	return out
}

const garages = "us/irc-2021#energy-in-garages"

// Storage of several jobs on one property is added up, whatever part of the
// repository is linted.
func TestSumsOverPremises(t *testing.T) {
	f := firm{"witnessmark.cue": rootFile, "jobs/a.yaml": housed("1", "p", "41 kWh", ""), "jobs/b.yaml": housed("2", "p", "39 kWh", ""), "jobs/c.yaml": housed("3", "q", "79 kWh", "")}
	run, _ := lint(t, f)
	o := sums(run, "p")[garages]
	assert.Equal(t, judge.Within, o.Kind, "at the limit is within")
	assert.Equal(t, "0 kWh", o.Margin)
	assert.Equal(t, "1 kWh", sums(run, "q")[garages].Margin)

	f["jobs/b.yaml"] = housed("2", "p", "39.01 kWh", "")
	for _, path := range []string{".", "jobs/a.yaml", "jobs"} {
		run, _ = lint(t, f, path)
		o = sums(run, "p")[garages]
		assert.Equal(t, judge.Outside, o.Kind, path)
		assert.Equal(t, "0.01 kWh", o.Margin)
		assert.Equal(t, path != "jobs/a.yaml", len(sums(run, "q")) > 0, "only properties of jobs that were asked for are shown")
	}
}

// What could not be read may belong anywhere: no sum is then within.
func TestSumsWithAnUnreadFile(t *testing.T) {
	f := firm{"witnessmark.cue": rootFile, "jobs/a.yaml": housed("1", "p", "41 kWh", ""), "jobs/z.yaml": "job: [\n", "jobs/c.yaml": housed("3", "q", "81 kWh", "")}
	run, _ := lint(t, f, "jobs/a.yaml", "jobs/c.yaml")
	o := sums(run, "p")[garages]
	assert.Equal(t, judge.NotChecked, o.Kind)
	assert.Contains(t, o.Reason, "jobs/z.yaml could not be read and may belong here")
	assert.Equal(t, judge.Outside, sums(run, "q")[garages].Kind, "what is already above stays above")
	require.Len(t, run.Problems, 1)
	assert.Equal(t, "not-indexed", run.Problems[0].Code)
}

// A share that is not known leaves the sum unknown.
func TestSumsWithAnUnknownShare(t *testing.T) {
	f := firm{"witnessmark.cue": rootFile, "jobs/a.yaml": housed("1", "p", "41 kWh", ""), "jobs/b.yaml": strings.Replace(housed("2", "p", "1 kWh", ""), ", energy: 1 kWh", "", 1)}
	run, _ := lint(t, f)
	o := sums(run, "p")[garages]
	assert.Equal(t, judge.NotChecked, o.Kind)
	assert.Contains(t, o.Reason, "existing[e].energy is not recorded")
}

// A stack that no unit lists would silently add nothing.
func TestSumsWithAStackInNoUnit(t *testing.T) {
	f := firm{"witnessmark.cue": rootFile, "equipment/quell.cue": product, "jobs/a.yaml": housed("1", "p", "41 kWh", "") + "units: [{id: U, location: g, stacks: []}]\nstacks: [{id: A, equipment: quell@A, modules: 5}]\n"}
	run, _ := lint(t, f)
	assert.Equal(t, judge.NotChecked, sums(run, "p")[garages].Kind)
}

// Jobs that are cancelled, removed or replaced do not count; in a circle of
// replacements nothing is left out.
func TestWhatDoesNotCount(t *testing.T) {
	for name, c := range map[string]struct {
		a, b string
		want judge.Kind
	}{
		"both":                              {housed("1", "p", "41 kWh", ""), housed("2", "p", "41 kWh", ""), judge.Outside},
		"cancelled":                         {housed("1", "p", "41 kWh", "status: cancelled\n"), housed("2", "p", "41 kWh", ""), judge.Within},
		"removed":                           {housed("1", "p", "41 kWh", "status: removed\n"), housed("2", "p", "41 kWh", ""), judge.Within},
		"on hold":                           {housed("1", "p", "41 kWh", "status: on hold\n"), housed("2", "p", "41 kWh", ""), judge.Outside},
		"replaced":                          {housed("1", "p", "41 kWh", ""), strings.Replace(housed("2", "p", "41 kWh", "replaces_job: \"1\"\n"), "designed", "installed", 1), judge.Within},
		"only planned to be replaced":       {housed("1", "p", "41 kWh", ""), housed("2", "p", "41 kWh", "replaces_job: \"1\"\n"), judge.Outside},
		"circle":                            {housed("1", "p", "41 kWh", "replaces_job: \"2\"\n"), housed("2", "p", "41 kWh", "replaces_job: \"1\"\n"), judge.Outside},
		"replaced by one that is cancelled": {housed("1", "p", "81 kWh", ""), housed("2", "p", "1 kWh", "replaces_job: \"1\"\nstatus: cancelled\n"), judge.Outside},
	} {
		t.Run(name, func(t *testing.T) {
			run, _ := lint(t, firm{"witnessmark.cue": rootFile, "jobs/a.yaml": c.a, "jobs/b.yaml": c.b})
			assert.Equal(t, c.want.String(), sums(run, "p")[garages].Kind.String())
		})
	}
}

func clashes(run *Run) []string {
	var out []string
	for _, o := range run.Repository.Outcomes {
		out = append(out, fmt.Sprintf("%s:%d %s %s", o.File, o.At.Line, o.Name, o.Written))
	}
	return out
}

// The checks across files point at every place concerned.
func TestClashes(t *testing.T) {
	serials := func(n string, s ...string) string {
		return fmt.Sprintf("job: %q\npremises: {id: p%s}\nstage: designed\nstacks:\n  - id: A\n    slots: [{slot: 1, serial: %s}, {slot: 2, serial: %s}]\n", n, n, s[0], s[1])
	}
	f := firm{"witnessmark.cue": rootFile, "jobs/a.yaml": serials("1", "S1", "S2"), "jobs/b.yaml": serials("1", "S2", "S3"), "jobs/c.yaml": serials("3", "S4", "S4"),
		"jobs/d.yaml": "job: 4\npremises: {id: p4}\nstage: designed\nadds_to: 99\n", "jobs/e.yaml": "job: 5\npremises: {id: p4}\nstage: designed\nadds_to: 3\n"}
	run, _ := lint(t, f)
	assert.Equal(t, []string{
		"jobs/a.yaml:1 record#job-number-unique 1", "jobs/a.yaml:6 record#serial-unique S2",
		"jobs/b.yaml:1 record#job-number-unique 1", "jobs/b.yaml:6 record#serial-unique S2",
		"jobs/c.yaml:6 record#serial-unique S4", "jobs/c.yaml:6 record#serial-unique S4",
		"jobs/d.yaml:4 record#earlier-job 99", "jobs/e.yaml:4 record#earlier-job 3",
	}, clashes(run))
	run, _ = lint(t, f, "jobs/b.yaml")
	assert.Equal(t, []string{"jobs/b.yaml:1 record#job-number-unique 1", "jobs/b.yaml:6 record#serial-unique S2"}, clashes(run), "the other place is in a file that was not asked for")
	assert.Contains(t, run.Repository.Outcomes[1].Reason, "jobs/a.yaml:6")
}

// A job in another time zone has another day.
func TestDayInTheJobsZone(t *testing.T) {
	job := func(zone string) string {
		return "job: 1\npremises: {id: p, time_zone: " + zone + "}\nstage: handed-over\ndates: {handed-over: 2026-01-01}\n"
	}
	const key = "jobs/a.yaml record#recorded dates.completed"
	for _, c := range []struct {
		asOf AsOf
		zone string
		want bool
	}{ // due 60 days after 2026-01-01, that is missing from 2026-03-03 on
		{AsOf{Instant: instant("2026-03-02T20:00:00Z"), Date: noDay}, "Etc/UTC", false},
		{AsOf{Instant: instant("2026-03-02T20:00:00Z"), Date: noDay}, "Pacific/Kiritimati", true},
		{AsOf{Instant: instant("2026-03-03T04:00:00Z"), Date: noDay}, "Etc/UTC", true},
		{AsOf{Instant: instant("2026-03-03T04:00:00Z"), Date: noDay}, "Etc/GMT+12", false},
		{AsOf{Date: day("2026-03-03")}, "Etc/GMT+12", true},
		{AsOf{Date: day("2026-03-02")}, "Pacific/Kiritimati", false},
	} {
		run, out := lintAt(t, c.asOf, firm{"jobs/a.yaml": job(c.zone)})
		require.Empty(t, run.Problems)
		_, missing := out.full[key]
		assert.Equal(t, c.want, missing, "%s in %s", c.asOf, c.zone)
	}
	run, _ := lint(t, firm{"jobs/a.yaml": job("Nowhere/Else")})
	require.Len(t, run.Problems, 1)
	assert.Equal(t, "unknown-time-zone", run.Problems[0].Code)
}
