package report

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
)

// inert is, for each format for CI, what holds of a report whatever text stands in the
// files it is about.
var inert = map[string]func(t *testing.T, out string){
	"markdown":     requireInertMarkdown,
	"summary":      requireInertMarkdown,
	"annotations":  requireInertAnnotations,
	"sarif":        requireInertSARIF,
	"sarif-audit":  requireInertSARIF,
	"junit":        requireInertXML,
	"code-quality": requireInertJSON,
}

var annotation = regexp.MustCompile(`^::(error|warning|notice) (file=[^,:]+,)?(line=\d+,)?(col=\d+,)?title=[^,:]*::.+$`)

// requireInertAnnotations demands that every line is one of our commands, whole.
func requireInertAnnotations(t *testing.T, out string) {
	t.Helper()
	counts := map[string]int{}
	for line := range strings.Lines(out) {
		line = strings.TrimSuffix(line, "\n")
		requireSteerless(t, line)
		m := annotation.FindStringSubmatch(line)
		require.NotNil(t, m, line)
		counts[m[1]]++
		require.Equal(t, 2, strings.Count(line, "::"), line)
		require.NotContains(t, line, "##[")
		require.NotRegexp(t, `%(?:[^023][^0-9A-F]|0[^AD]|2[^5C]|3[^A])`, line, "a bare % would be taken for an escape")
	}
	for level, n := range counts {
		require.LessOrEqual(t, n, 10, level)
	}
}

// requireInertJSON demands valid JSON that steers nothing where it is shown.
func requireInertJSON(t *testing.T, out string) {
	t.Helper()
	require.True(t, json.Valid([]byte(out)), out)
	for line := range strings.Lines(out) {
		requireSteerless(t, strings.TrimSuffix(line, "\n"))
		require.NotContains(t, line, "##[")
		require.NotRegexp(t, `^\s*::`, line)
	}
}

// requireInertSARIF demands that messages hold no link, that help is inert Markdown, and
// that every reference is relative or an address of the web.
func requireInertSARIF(t *testing.T, out string) {
	t.Helper()
	requireInertJSON(t, out)
	var doc any
	require.NoError(t, json.Unmarshal([]byte(out), &doc))
	var walk func(key string, v any)
	walk = func(key string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				walk(k, x)
			}
		case []any:
			for _, x := range v {
				walk(key, x)
			}
		case string:
			require.NotEmpty(t, v, key)
			for line := range strings.SplitSeq(v, "\n") {
				requireSteerless(t, line)
			}
			switch key {
			case "text":
				require.NotContains(t, v, "](")
			case "markdown":
				requireInertMarkdown(t, v)
			case "uri":
				u, err := url.Parse(v)
				require.NoError(t, err)
				require.False(t, u.IsAbs() || strings.HasPrefix(v, "/"), v)
			case "informationUri", "helpUri", "$schema":
				require.Regexp(t, `^https?://`, v)
			}
		}
	}
	walk("", doc)
}

// requireInertXML demands XML that is well formed, with no other elements than ours and
// nothing that steers where it is shown.
func requireInertXML(t *testing.T, out string) {
	t.Helper()
	for line := range strings.Lines(out) {
		line = strings.TrimSuffix(line, "\n")
		requireHarmless(t, line)
	}
	d := xml.NewDecoder(strings.NewReader(out))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
		if start, ok := token.(xml.StartElement); ok {
			require.Contains(t, []string{"testsuites", "testsuite", "properties", "property", "testcase", "failure", "error", "skipped"}, start.Name.Local)
		}
	}
}

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

// Nothing in a file, a name or a definition means anything to what shows the report.
func TestFormatsForCIAreInert(t *testing.T) {
	for _, f := range Formats() {
		check, ok := inert[f.Name]
		if !ok {
			assert.Contains(t, []string{"text", "json", "html"}, f.Name, "a format says what holds of it")
			continue
		}
		t.Run(f.Name, func(t *testing.T) {
			for _, text := range hostileTexts {
				check(t, hostileReport(t, f.Name, text))
			}
		})
	}
}
