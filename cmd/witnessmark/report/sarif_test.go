package report

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// sarifDoc is what these tests read of a log.
type sarifDoc struct {
	Version string
	Runs    []sarifDocRun
}

type sarifDocRun struct {
	ColumnKind string
	Results    []struct {
		RuleID              string
		Kind, Level         string
		Message             struct{ Text string }
		Locations           []sarifDocLocation
		Taxa                []sarifDocReference
		PartialFingerprints map[string]string
		Suppressions        *[]struct{ Kind, Status, Justification string }
		Properties          map[string]any
	}
	Tool struct {
		Driver struct {
			Name, Version       string
			Rules               []sarifDocRule
			SupportedTaxonomies []struct {
				Name, GUID string
				Index      int
			}
		}
	}
	Taxonomies []struct {
		Name, GUID, Version string
		Taxa                []struct{ ID, HelpURI string }
	}
	Artifacts []struct {
		Location struct{ URI string }
		Hashes   map[string]string
	}
	Invocations []struct {
		ExecutionSuccessful                                        bool
		ToolExecutionNotifications, ToolConfigurationNotifications []struct {
			Level     string
			Message   struct{ Text string }
			Locations []sarifDocLocation
		}
	}
}

type sarifDocLocation struct {
	PhysicalLocation struct {
		ArtifactLocation struct{ URI string }
		Region           struct{ StartLine, StartColumn, EndLine, EndColumn int }
	}
}

type sarifDocReference struct {
	ID            string
	ToolComponent struct{ Name, GUID string }
}

type sarifDocRule struct {
	ID                                string
	ShortDescription, FullDescription struct{ Text string }
	Help                              struct{ Text, Markdown string }
	Relationships                     []struct{ Target sarifDocReference }
	Properties                        struct{ Tags []string }
}

func sarifRun(t *testing.T, out string) sarifDocRun {
	t.Helper()
	var doc sarifDoc
	require.NoError(t, json.Unmarshal([]byte(out), &doc), out)
	require.Equal(t, "2.1.0", doc.Version)
	require.Len(t, doc.Runs, 1)
	return doc.Runs[0]
}

// Every outcome of a job is a result of the audit, by the kind that fits it, and only
// what fails has a level.
func TestAuditKinds(t *testing.T) {
	r := newTestRun(t)
	out := r.write(t, "sarif-audit", Settings{}, "jobs/a.yaml", eventful)
	want := map[string]string{"within": "pass none", "outside": "fail error", "too_close": "review none", "missing": "fail error", "not_checked": "open none", "not_due": "open none", "not_applicable": "notApplicable none"}
	counts := map[string]int{}
	for _, x := range sarifRun(t, out).Results {
		outcome := x.Properties["outcome"].(string)
		counts[outcome]++
		got := x.Kind + " " + x.Level
		if x.Properties["blocking"] == false {
			got = strings.Replace(got, "warning", "error", 1)
		}
		assert.Equal(t, want[outcome], got)
		assert.True(t, strings.HasPrefix(strings.ReplaceAll(x.Message.Text, " to call", ""), strings.ReplaceAll(outcome, "_", " ")), x.Message.Text)
	}
	for _, k := range judge.Kinds() {
		assert.Equal(t, r.run.Counts.ByKind[k], counts[k.String()], k)
	}
	for _, k := range []string{"within", "outside", "too_close", "missing", "not_checked", "not_applicable"} {
		assert.Positive(t, counts[k], k)
	}
}

// Whatever a log refers to is in it.
func TestSARIFRefersToWhatIsThere(t *testing.T) {
	for _, format := range []string{"sarif", "sarif-audit"} {
		run := sarifRun(t, newTestRun(t).write(t, format, Settings{}, "jobs/a.yaml", eventful, "jobs/b.yaml", "job: [", "jobs/c.yaml", cleanJob))
		rules, clauses := map[string]sarifDocRule{}, map[string]bool{}
		for _, rule := range run.Tool.Driver.Rules {
			assert.NotContains(t, rules, rule.ID)
			rules[rule.ID] = rule
			assert.NotEmpty(t, rule.ShortDescription.Text)
			assert.NotEmpty(t, rule.FullDescription.Text)
			assert.NotEmpty(t, rule.Help.Text)
			assert.NotEmpty(t, rule.Help.Markdown)
			assert.LessOrEqual(t, len(rule.Properties.Tags), 10)
		}
		for i, x := range run.Taxonomies {
			assert.Equal(t, fmt.Sprint(x.Name, x.GUID, i), fmt.Sprint(run.Tool.Driver.SupportedTaxonomies[i].Name, run.Tool.Driver.SupportedTaxonomies[i].GUID, run.Tool.Driver.SupportedTaxonomies[i].Index))
			for _, c := range x.Taxa {
				key := x.Name + x.GUID + c.ID
				assert.False(t, clauses[key], "each clause stands there once")
				clauses[key] = true
			}
		}
		assert.Len(t, run.Taxonomies, 2)
		limits := 0
		for _, x := range run.Results {
			rule, ok := rules[x.RuleID]
			require.True(t, ok, x.RuleID)
			for _, c := range x.Taxa {
				limits++
				assert.True(t, clauses[c.ToolComponent.Name+c.ToolComponent.GUID+c.ID], c)
				assert.Equal(t, c, rule.Relationships[0].Target)
			}
		}
		assert.Greater(t, limits, 3)
		assert.Equal(t, "unicodeCodePoints", run.ColumnKind)
		assert.False(t, run.Invocations[0].ExecutionSuccessful, "a file could not be read")
	}
}

func TestAuditNamesFiles(t *testing.T) {
	run := sarifRun(t, newTestRun(t).write(t, "sarif-audit", Settings{}, "jobs/a b%.yaml", eventful, "jobs/b.yaml", "job: ["))
	require.Len(t, run.Artifacts, 2)
	assert.Equal(t, "jobs/a%20b%25.yaml", run.Artifacts[0].Location.URI)
	assert.Regexp(t, "^[0-9a-f]{64}$", run.Artifacts[0].Hashes["sha-256"])
	assert.Empty(t, run.Artifacts[1].Hashes)
	texts := ""
	for _, n := range run.Invocations[0].ToolExecutionNotifications {
		texts += n.Message.Text + "\n"
	}
	assert.Contains(t, texts, "could not be read; nothing of it was checked")
	assert.Contains(t, texts, "1 job file judged, 1 file that could not be read")
}

// A run is whole only if everything could be read and something was compared.
func TestSARIFSaysWhetherTheRunWasWhole(t *testing.T) {
	whole := func(change func(r *checks.Run), files ...string) bool {
		r := newTestRun(t)
		change(r.run)
		return sarifRun(t, r.write(t, "sarif", Settings{}, files...)).Invocations[0].ExecutionSuccessful
	}
	assert.True(t, whole(func(*checks.Run) {}, "jobs/a.yaml", eventful))
	assert.False(t, whole(func(*checks.Run) {}))
	assert.False(t, whole(func(r *checks.Run) { r.Counts.Unread = 1 }, "jobs/a.yaml", eventful))
	assert.False(t, whole(func(r *checks.Run) { r.Problems = []checks.Problem{{Code: "x", Message: "y"}} }, "jobs/a.yaml", eventful))
}

// A rule is explained in the words of the explain command.
func TestRulesAreExplained(t *testing.T) {
	run := sarifRun(t, newTestRun(t).write(t, "sarif", Settings{}, "jobs/a.yaml", eventful))
	for _, rule := range run.Tool.Driver.Rules {
		if rule.ID != "xx/code#gap" {
			continue
		}
		assert.Equal(t, "A limit: gap to the wall (stacks.wall_gap) must be at least 25 mm.", rule.ShortDescription.Text)
		assert.Contains(t, rule.Help.Text, "\nSource: Code of the Isles, edition 2024 (xx/code, code, of this firm)\n")
		assert.Contains(t, rule.Help.Text, "\nGrade: document (the source's own text was read), blocking; reviewed 2026-01-01, again due 2027-01-01\n")
		assert.Contains(t, rule.Help.Markdown, "\n- **decided by** The harbour office decides.\n")
		return
	}
	t.Fatal("the rule is not there")
}

// The host wants a place with a whole region for everything, takes no empty text, and
// sees nothing that nobody has to look at.
func TestUploadForTheHost(t *testing.T) {
	r := newTestRun(t)
	r.run.Notes = []string{"no root file"}
	r.run.Problems = []checks.Problem{{Code: "x", Message: "nowhere"}}
	run := sarifRun(t, r.write(t, "sarif", Settings{}, "jobs/a.yaml", eventful, "jobs/b.yaml", cleanJob))
	for _, x := range run.Results {
		require.Len(t, x.Locations, 1)
		at := x.Locations[0].PhysicalLocation
		assert.NotEmpty(t, at.ArtifactLocation.URI)
		assert.Positive(t, at.Region.StartLine*at.Region.StartColumn*at.Region.EndLine*at.Region.EndColumn)
		assert.Equal(t, "fail", x.Kind)
		assert.Contains(t, []string{"error", "warning"}, x.Level)
		assert.NotEmpty(t, x.Message.Text)
		assert.NotContains(t, []string{"within", "not_due", "not_applicable", "accepted"}, x.Properties["outcome"])
		assert.Nil(t, x.Suppressions)
	}
}

// What the host would drop is left out, the worst last, and told.
func TestUploadIsCut(t *testing.T) {
	var out strings.Builder
	r := newTestRun(t)
	sink := NewSARIF(&out, Settings{}).(*sarifUpload)
	sink.most = 2
	require.NoError(t, sink.Begin(r.run))
	require.NoError(t, sink.Job(sink.Render(nil, r.job(t, "jobs/a.yaml", eventful))))
	require.NoError(t, sink.End(r.run))
	run := sarifRun(t, out.String())
	require.Len(t, run.Results, 2)
	for _, x := range run.Results {
		assert.Equal(t, "outside", x.Properties["outcome"])
	}
	assert.Equal(t, "4 findings were left out, since the host keeps no more: 1 outside, 1 too close to call, 1 missing, 1 not checked. The other reports have everything.", run.Invocations[0].ToolExecutionNotifications[0].Message.Text)
}

func TestSARIFReferences(t *testing.T) {
	for in, want := range map[string]string{"jobs/a.yaml": "jobs/a.yaml", "a b/ü#?:%\xff": "a%20b/%C3%BC%23%3F%3A%25%FF", "~-._": "~-._"} {
		assert.Equal(t, want, sarifURI(in))
	}
	for in, want := range map[string]string{"https://x.example/a": "https://x.example/a", "javascript:x": "", "papers/x.pdf": "", "": "", "https://": "", "http://[": ""} {
		assert.Equal(t, want, webAddress(in))
	}
	assert.Equal(t, "é…", atMost("ééé", 5))
	assert.Equal(t, "abc", atMost("abc", 3))
}
