package report

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/report/inert"
	"witnessmark.example/cmd/witnessmark/since"
)

// besideBase writes a format of the job of headJob, beside one of baseJob and one that
// is gone.
func besideBase(t *testing.T, format string, files ...string) string {
	t.Helper()
	c := compareRuns(t, append([]string{file, baseJob, "jobs/gone.yaml", strings.Replace(cleanJob, "40 mm", "10 mm", 1)}, files...)...)
	target, err := ParseTarget(format)
	require.NoError(t, err)
	var out bytes.Buffer
	runAll(t, c, target.Format.New(&out, Settings{Since: c}), append([]string{file, headJob}, files...)...)
	return out.String()
}

// Only what is new has a line; what was known is counted, and what is gone is no mend.
func TestAnnotationsSince(t *testing.T) {
	out := besideBase(t, "annotations")
	assert.Contains(t, out, "::error file=jobs/a.yaml,line=7,col=97,title=new%2C outside%3A xx/code#air::Air around the stack")
	assert.Contains(t, out, "title=new%2C outside%3A xx/code#gap::")
	assert.Contains(t, out, "%0Ain the base: outside, 12 mm\n")
	assert.NotContains(t, out, "xx/code#setting::")
	assert.NotContains(t, out, "title=known")
	last := out[strings.Index(out, "::notice title=since the base::"):]
	assert.Contains(t, last, ": 3 new, 2 known, 2 fixed, 2 gone without being judged again, one for each limit and value; the exit status counts those that are new; 1 path is changed or new and not committed. What is known stands in the other reports")
	assert.Contains(t, last, "%0Ajobs/gone.yaml: gone: Gap to the wall (stacks[A].wall_gap) was outside at 10 mm, xx/code#gap; the job file is gone, so nothing says that it is in order%0A")
	assert.Contains(t, last, "%0Ajobs/a.yaml: fixed: Modules in the stack (stacks[A].modules) was outside at 9, xx/code#modules; now within\n")
}

// However much is new, gone and noted, the host shows the counts, and is told how much
// there is more.
func TestAnnotationsSinceAreFew(t *testing.T) {
	var base, head []string
	for i := range 30 {
		base = append(base, fmt.Sprintf("jobs/g%d.yaml", i), strings.Replace(cleanJob, "40 mm", "10 mm", 1))
		head = append(head, fmt.Sprintf("jobs/h%d.yaml", i), strings.Replace(eventful, "2026-014", fmt.Sprint(i), 1))
	}
	c := compareRuns(t, base...)
	c.Notes = []string{"One.", "Two."}
	var out bytes.Buffer
	sink := NewAnnotations(&out, Settings{Since: c}).(*annotationSink)
	runAll(t, c, sink, head...)
	for _, level := range levels {
		assert.LessOrEqual(t, strings.Count(out.String(), "::"+level+" "), 10, level)
	}
	assert.Contains(t, out.String(), "%0Anot compared: Two.%0A")
	assert.Contains(t, out.String(), "%0Aand 54 more gone\n")
	assert.Regexp(t, `::error title=more findings::\d+ more`, out.String())
}

// New in full, then what is fixed or gone, then what was known as counts.
func TestMarkdownSince(t *testing.T) {
	out := besideBase(t, "summary", "jobs/same.yaml", cleanJob, "jobs/old.yaml", strings.Replace(baseJob, "2026-1", "2026-2", 1))
	require.NoError(t, inert.Markdown([]byte(out)))
	parts := regexp.MustCompile(`(?m)^## .*$`).Split(out, -1)
	require.Len(t, parts, 5, out)
	assert.Equal(t, []string{"## witnessmark", "## New since the base", "## Fixed and gone since the base", "## Known since the base"}, regexp.MustCompile(`(?m)^## .*$`).FindAllString(out, -1))
	assert.Contains(t, parts[1], "- Compared with main, base 012345678901: ")
	assert.Contains(t, parts[2], "| new, outside | `jobs/a.yaml:7` | Gap to the wall (stacks\\[A\\].wall\\_gap) is 11 mm; in the base: outside, 12 mm |")
	assert.NotContains(t, parts[2], "| Setting")
	assert.NotContains(t, parts[2], "jobs/old.yaml")
	assert.Less(t, strings.Index(parts[3], "gone: Gap"), strings.Index(parts[3], "fixed: Modules"))
	assert.Contains(t, parts[4], "\n- `jobs/old.yaml`: 4 outside (4 blocking), 1 not checked (1 blocking).\n")
	assert.Contains(t, parts[4], "\n- `jobs/a.yaml`: 1 outside (1 blocking), 1 not checked (1 blocking).\n")
	assert.Contains(t, out, "\n- Not listed: 1 job without findings whose file is as it was in the base.\n")
	c := compareRuns(t, file, baseJob)
	var same bytes.Buffer
	runAll(t, c, NewMarkdown(&same, Settings{Since: c}), file, baseJob)
	assert.Contains(t, same.String(), "## New since the base\n\nNothing is new.\n")
}

// Where there is no room, what is new goes first, and the page counts what it leaves out.
func TestMarkdownSinceIsCut(t *testing.T) {
	var base, head []string
	for i := range 60 {
		base = append(base, fmt.Sprintf("jobs/g%d.yaml", i), strings.Replace(cleanJob, "40 mm", "10 mm", 1), fmt.Sprintf("jobs/k%d.yaml", i), baseJob)
		head = append(head, fmt.Sprintf("jobs/h%d.yaml", i), strings.Replace(eventful, "2026-014", fmt.Sprint(i), 1), fmt.Sprintf("jobs/k%d.yaml", i), baseJob)
	}
	write := func(most int) string {
		c := compareRuns(t, base...)
		var out bytes.Buffer
		runAll(t, c, newMarkdown(&out, Settings{Since: c}, most), head...)
		assert.LessOrEqual(t, out.Len(), most)
		return out.String()
	}
	whole := write(1 << 20)
	assert.NotContains(t, whole, "Cut to fit")
	outside, gone, known := strings.Count(whole, "\n| new, outside"), strings.Count(whole, ": gone: "), strings.Count(whole, "\n- `jobs/k")
	assert.Equal(t, 60, known)
	cut := write(60_000)
	require.NoError(t, inert.Markdown([]byte(cut)))
	assert.Contains(t, cut, "\n| new, outside")
	shown := strings.Count(cut, ": gone: ")
	if shown < gone {
		assert.Contains(t, cut, plural(gone-shown, "finding that is fixed or gone is", "findings that are fixed or gone are")+" not listed. ")
	}
	shown = strings.Count(cut, "\n- `jobs/k")
	require.Less(t, shown, known)
	assert.Contains(t, cut, plural(known-shown, "job with known findings is", "jobs with known findings are")+" not listed. ")
	assert.Less(t, strings.Count(cut, "\n| new, outside"), outside)
}

// The states of SARIF: whether a result was there, and was the same; in the properties
// whether it counts as new.
func TestSARIFSince(t *testing.T) {
	type result struct {
		RuleID, BaselineState, Level string
		Message                      struct{ Text string }
		Properties                   struct{ Outcome, Since, In_base string }
		PartialFingerprints          map[string]string
	}
	read := func(format string) map[string]result {
		var doc struct{ Runs []struct{ Results []result } }
		require.NoError(t, json.Unmarshal([]byte(besideBase(t, format)), &doc))
		out := map[string]result{}
		for _, x := range doc.Runs[0].Results {
			out[x.RuleID+" "+x.BaselineState] = x
		}
		return out
	}
	upload, audit := read("sarif"), read("sarif-audit")
	for _, all := range []map[string]result{upload, audit} {
		assert.Equal(t, "new", all["xx/code#air new"].Properties.Since)
		assert.Equal(t, "known", all["xx/code#setting unchanged"].Properties.Since)
		worse := all["xx/code#gap updated"]
		assert.Equal(t, "new", worse.Properties.Since)
		assert.Equal(t, "outside, 12 mm", worse.Properties.In_base)
		assert.Equal(t, openKeyOf(t, baseJob, "stacks[A].wall_gap"), worse.PartialFingerprints[fingerprint])
	}
	assert.NotContains(t, upload, "xx/code#modules absent")
	fixed := audit["xx/code#modules absent"]
	assert.Equal(t, "fixed outside error", strings.Join([]string{fixed.Properties.Since, fixed.Properties.Outcome, fixed.Level}, " "))
	assert.Equal(t, openKeyOf(t, baseJob, "stacks[A].modules"), fixed.PartialFingerprints[fingerprint], "the identity of the base")
	assert.Contains(t, audit, "xx/code#modules ", "within; what is no finding was not compared")
	assert.Equal(t, "gone", audit["xx/code#gap absent"].Properties.Since)
	for _, format := range []string{"sarif", "sarif-audit"} {
		assert.Contains(t, besideBase(t, format), ": 3 new, 2 known, 2 fixed, 2 gone without being judged again")
	}
}

// What fails is what the exit status counts. What was known is no pass either.
func TestJUnitSince(t *testing.T) {
	var doc junitDoc
	require.NoError(t, xml.Unmarshal([]byte(besideBase(t, "junit")), &doc))
	failed, skipped, passed := map[string]string{}, map[string]string{}, map[string]bool{}
	for _, s := range doc.Suites {
		for _, c := range s.Cases {
			switch {
			case c.Failure != nil:
				failed[c.Name] = c.Failure.Message
			case c.Skipped != nil:
				skipped[c.Name] = c.Skipped.Body
			default:
				passed[c.Name] = true
			}
		}
	}
	assert.Len(t, failed, 3)
	for name, message := range failed {
		assert.True(t, strings.HasPrefix(message, "new, outside: "), "%s: %s", name, message)
	}
	assert.True(t, strings.HasPrefix(skipped["xx/code#setting jobs/a.yaml#stacks[A].setting"], "known since the base: outside: setting"))
	assert.Contains(t, skipped["gone xx/code#gap jobs/gone.yaml#stacks[A].wall_gap"], "so nothing says that it is in order")
	assert.True(t, passed["fixed xx/code#modules jobs/a.yaml#stacks[A].modules"])
	assert.Contains(t, skipped["compared with the base"], "3 new, 2 known, 2 fixed")
}

// The host compares by itself, so that it is given everything, as without a base.
func TestCodeQualitySince(t *testing.T) {
	assert.Equal(t, newTestRun(t).write(t, "code-quality", Settings{}, file, headJob), besideBase(t, "code-quality"))
}

// A problem ends the run with 2, known or not, and is told in full by every format.
func TestKnownProblemsAreTold(t *testing.T) {
	const broken = "job: ["
	for format, want := range map[string]string{"annotations": "title=known%2C problem%3A problem/", "summary": "| known, problem |", "junit": `message="known, `, "sarif": `"since":"known"`} {
		c := compareRuns(t, file, broken)
		target, err := ParseTarget(format)
		require.NoError(t, err)
		var out bytes.Buffer
		runAll(t, c, target.Format.New(&out, Settings{Since: c}), file, broken)
		assert.Contains(t, out.String(), want, format)
	}
}

// What left has the identity that it had, whatever it is about.
func TestKeysOfWhatLeft(t *testing.T) {
	r := newTestRun(t)
	limit := r.run.Limits[0]
	sum := checks.RepositoryOutcome{Name: "a#b", Limit: limit, Measure: "premises.energy", Fact: "premises.energy", File: "jobs/a.yaml"}
	serial := checks.RepositoryOutcome{Name: "record#serial-unique", Fact: "modules[1].serial", File: "jobs/a.yaml"}
	p := checks.Problem{Code: "x", Message: "jobs/a.yaml:12: no", File: "jobs/a.yaml"}
	for want, l := range map[string]since.Finding{
		keyAcross(&sum, "P1"):    {Name: "a#b", Kind: judge.Outside, Fact: "premises.energy of premises P1", File: "jobs/a.yaml", Of: "P1", Sum: "premises.energy"},
		keyAcross(&serial, ""):   {Name: "record#serial-unique", Kind: judge.Outside, Fact: "modules[1].serial of jobs/a.yaml", File: "jobs/a.yaml", Of: "jobs/a.yaml"},
		openProblem(&p, "1").Key: {Name: "problem/x", Fact: p.Message, File: "jobs/a.yaml"},
	} {
		assert.Equal(t, want, keyLeft(&since.Left{Finding: &l}), l.Name)
	}
}
