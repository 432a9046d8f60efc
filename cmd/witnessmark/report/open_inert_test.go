package report

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/report/inert"
)

// formatsForCI are the formats that CI hosts show.
var formatsForCI = []string{"markdown", "summary", "annotations", "sarif", "sarif-audit", "junit", "code-quality"}

// hostileTexts are text that one format or another would obey.
var hostileTexts = []string{
	"::error file=x::boo ##[error]", "##[group] ::warning::", "a\x1b[2J\u202e\u2066b\u0085", "<script>x</script><!-- ]]>", "![x](https://x.example)", "[a](b) | c \\| d `e|`",
	"@all #1 GH-2 www.x.example", "%0A::error::x %2C", `"}],"x":[{"`, "&lt; &#x3c; \ufffe\uffff", "*a* _b_ ~c~ $d$", "](1)", "{0}", strings.Repeat("long ", 2000),
}

// hostileReport runs a format over files in which everything that may be text is hostile.
func hostileReport(t *testing.T, format, text string) string {
	r := newTestRun(t)
	quoted, err := json.Marshal(text)
	require.NoError(t, err)
	q := string(quoted)
	files := []string{
		text + ".yaml", edited("2026-014", q, "id: A", "id: "+q, "stacks: [A]", "stacks: ["+q+"]", "note: ok", "note: "+q, "setting: garage", "setting: bedroom", "40 mm", "4 mm"),
		"jobs/\n" + text, "job: [",
		"b\x00\xff" + text, edited("air: 20 °C", "air: "+q, "morvane@B", q),
	}
	r.run.Notes = []string{text, "\n" + text}
	r.run.Tool = text
	r.run.Problems = append(r.run.Problems, checks.Problem{File: "rules/" + text + ".cue", At: jobfile.Position{Line: 3}, Code: text, Message: text, Mend: text}, checks.Problem{Code: "x", Message: "\xff" + text})
	sum := r.run.Limits[0]
	r.run.Repository.Premises = []checks.PremisesResult{{Premises: text, Jobs: []string{text}, Outcomes: []checks.RepositoryOutcome{
		{Kind: judge.NotChecked, Name: text, Fact: text, Reason: text}, {Kind: judge.Accepted, Name: sum.FullName, Limit: sum, Fact: text, Reason: text, File: text}}}}
	r.run.Repository.Outcomes = []checks.RepositoryOutcome{{Kind: judge.Outside, Blocking: true, Name: text, Fact: text, File: text, Written: text, Reason: text}}
	for _, l := range r.run.Limits {
		l.Source.Title, l.Source.DecidedBy, l.Source.Edition, l.Why, l.Clause, l.Address = text, text, text, text, text, text
	}
	return r.write(t, format, Settings{}, files...)
}

// Nothing in a file, a name or a definition means anything to what shows the report. The
// other formats are held to it in the tests of the command.
func TestFormatsForCIAreInert(t *testing.T) {
	for _, name := range formatsForCI {
		t.Run(name, func(t *testing.T) {
			for _, text := range hostileTexts {
				require.NoError(t, inert.Formats[name]([]byte(hostileReport(t, name, text))), text)
			}
		})
	}
}
