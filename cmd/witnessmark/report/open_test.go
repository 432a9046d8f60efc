package report

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
)

// identities reads what a report tells its findings apart by, in sorted order.
func identities(t *testing.T, format, out string) []string {
	t.Helper()
	var ids []string
	switch format {
	case "code-quality":
		var all []struct{ Fingerprint string }
		require.NoError(t, json.Unmarshal([]byte(out), &all))
		for _, i := range all {
			ids = append(ids, i.Fingerprint)
		}
	case "junit":
		var doc junitDoc
		require.NoError(t, xml.Unmarshal([]byte(out), &doc))
		for _, s := range doc.Suites {
			for _, c := range s.Cases {
				ids = append(ids, c.Name)
			}
		}
	default:
		for _, r := range sarifRun(t, out).Results {
			ids = append(ids, r.PartialFingerprints[fingerprint])
		}
	}
	require.NotEmpty(t, ids)
	slices.Sort(ids)
	return ids
}

var withIdentities = []string{"code-quality", "junit", "sarif", "sarif-audit"}

// What a finding is told apart by is unique and hangs neither on lines above it nor on
// other jobs.
func TestIdentitiesLast(t *testing.T) {
	a, b := "jobs/a.yaml", "jobs/b.yaml"
	unreadable := edited("air: 20 °C", "air: 20", "morvane@B", "morvane@C", "modules: 4", "modules: four")
	moved := func(text string) string { return "# one more\n\n# line\n" + text }
	for _, format := range withIdentities {
		t.Run(format, func(t *testing.T) {
			write := func(files ...string) []string {
				return identities(t, format, newTestRun(t).write(t, format, Settings{}, files...))
			}
			first := write(a, eventful, b, unreadable)
			assert.Equal(t, len(first), len(slices.Compact(slices.Clone(first))), "no two are the same")
			assert.Equal(t, first, write(b, moved(unreadable), a, moved(eventful)))
			alone := write(a, eventful)
			for _, id := range alone {
				assert.Contains(t, first, id)
			}
			assert.NotEqual(t, alone, write(a, strings.Replace(eventful, "id: A", "id: Z", 1)), "another value is another finding")
		})
	}
}

// Two problems with the same words, and two names that are spelled out alike, are told
// apart all the same.
func TestIdentitiesOfDoubles(t *testing.T) {
	for _, format := range withIdentities {
		r := newTestRun(t)
		p := checks.Problem{File: "rules/p.cue", Code: "broken-limit", Message: "no unit"}
		r.run.Problems = []checks.Problem{p, p}
		files := []string{"jobs/a\x01.yaml", "job: [", `jobs/a\u0001.yaml`, "job: ["}
		ids := identities(t, format, r.write(t, format, Settings{}, files...))
		assert.Equal(t, len(ids), len(slices.Compact(slices.Clone(ids))), "%s: %v", format, ids)
	}
}

// What a problem says of lines does not count; what else it says does.
func TestIdentityOfAProblem(t *testing.T) {
	key := func(message string) string {
		o := openProblem(&checks.Problem{File: "jobs/a.yaml", Code: "twice", Message: message}, "1")
		return o.Key
	}
	assert.Equal(t, key("the key stands at line 4 and rules/a.cue:12"), key("the key stands at line 7 and rules/a.cue:19"))
	assert.NotEqual(t, key("the key a stands twice"), key("the key b stands twice"))
	assert.NotEqual(t, key("22 mm is no torque"), key("23 mm is no torque"))
}

// A sum over premises keeps its identity whichever job comes last.
func TestIdentityOfASum(t *testing.T) {
	for _, format := range []string{"code-quality", "sarif", "sarif-audit"} {
		var ids [][]string
		for _, file := range []string{"jobs/a.yaml", "jobs/z.yaml"} {
			r := newTestRun(t)
			r.run.Repository.Premises = []checks.PremisesResult{{Premises: "net-loft", Outcomes: []checks.RepositoryOutcome{{Name: "xx/code#energy", Kind: judge.Outside, Measure: "units.energy", File: file, Reason: "too much"}}}}
			ids = append(ids, identities(t, format, r.write(t, format, Settings{}, "jobs/a.yaml", cleanJob)))
		}
		assert.Equal(t, ids[0], ids[1], format)
	}
}

// What was not judged is told in every format, and never as a pass.
func TestNotJudgedIsTold(t *testing.T) {
	waits := edited("    note: ok\n", "")                        // not checked
	misses := edited("    clearance: {above: 900 mm}\n", "")     // missing
	for name, c := range map[string]struct{ file, want string }{ // want is told by every format
		"a file that could not be read": {"job: [", "jobs/x.yaml"},
		"not checked":                   {waits, "not checked"},
		"missing":                       {misses, "missing"},
		"a value that is unreadable":    {edited("air: 20 °C", "air: 20"), "has no unit"},
	} {
		for _, format := range formatsForCI {
			out := newTestRun(t).write(t, format, Settings{}, "jobs/x.yaml", c.file)
			assert.Contains(t, out, c.want, "%s in %s", name, format)
		}
	}
	for _, format := range formatsForCI {
		r := newTestRun(t)
		r.run.Notes = []string{"no root file was found"}
		r.run.Problems = []checks.Problem{{File: "rules/p.cue", At: jobfile.Position{Line: 9}, Code: "broken-limit", Message: "limit policy#x: no unit"}}
		out := r.write(t, format, Settings{})
		assert.Contains(t, out, "no root file was found", format)
		assert.Regexp(t, "(?i)limit `?policy#x`?: no unit", out, format)
		assert.Regexp(t, "(?i)nothing was (checked|judged)|0 comparisons", out, format)
	}
}

// An accepted deviation is named as such and never as a pass or as something to mend.
func TestConcessionIsTold(t *testing.T) {
	accepted := func(format string) string {
		r := newTestRun(t)
		job := r.job(t, "jobs/a.yaml", edited("40 mm", "24 mm"))
		for i := range job.Result.Outcomes {
			if o := &job.Result.Outcomes[i]; o.Name() == "xx/code#gap" {
				require.Equal(t, judge.Outside, o.Kind)
				o.Kind, o.Reason = judge.Accepted, "accepted by the authority (concession c1)"
			}
		}
		var b strings.Builder
		for _, f := range Formats() {
			if f.Name == format {
				sink := f.New(&b, Settings{})
				require.NoError(t, sink.Begin(r.run))
				require.NoError(t, sink.Job(sink.Render(nil, job)))
				require.NoError(t, sink.End(r.run))
			}
		}
		return b.String()
	}
	assert.Contains(t, accepted("markdown"), "| accepted | `jobs/a.yaml:10` | Gap to the wall")
	assert.Contains(t, accepted("annotations"), "::notice file=jobs/a.yaml,line=10,col=15,title=accepted%3A xx/code#gap::")
	assert.Contains(t, accepted("code-quality"), `"description":"accepted: Gap`)
	assert.Contains(t, accepted("junit"), `<testcase name="xx/code#gap jobs/a.yaml#stacks[A].wall_gap" classname="jobs/a.yaml"><skipped>accepted: `)
	assert.Contains(t, accepted("sarif"), "1 deviation is accepted by a concession and left out here")
	for _, r := range sarifRun(t, accepted("sarif")).Results {
		assert.NotEqual(t, "xx/code#gap", r.RuleID)
	}
	found := false
	for _, r := range sarifRun(t, accepted("sarif-audit")).Results {
		require.NotNil(t, r.Suppressions)
		if r.RuleID == "xx/code#gap" {
			found = true
			assert.Equal(t, "fail note inSource accepted", fmt.Sprint(r.Kind, " ", r.Level, " ", (*r.Suppressions)[0].Kind, " ", (*r.Suppressions)[0].Status))
		} else {
			assert.Empty(t, *r.Suppressions)
		}
	}
	assert.True(t, found)
}
