package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/cmd/witnessmark/report"
	"witnessmark.example/cmd/witnessmark/report/inert"
)

// hostile are texts that steer what shows them: a terminal, a CI runner, a page, a
// spreadsheet, Markdown, a template, a path. A job file may hold them as they are.
var hostile = []string{
	"::error file=a,line=1::x", "::set-output name=x::y", " ::stop-commands::x", "##[group]x", "##[error]x", "%0A::error::x", "%0D%0A::error::x", ":", "::",
	"<script>alert(1)</script>", "</script><script>alert(1)</script>", `"><img src=x onerror=alert(1)>`, `' onmouseover='alert(1)`, "` onfocus=`alert(1)",
	"javascript:alert(1)", `<a href="javascript:alert(1)">x</a>`, "<svg/onload=alert(1)>", "</style><style>*{}</style>", "</title></textarea></template><b>x", "<!-- x", "-->", "<![CDATA[x]]>", "]]>", "&lt;script&gt;", "&#60;b&#62;", "&", "<", "<base href=//example.net>", `<meta http-equiv=refresh content="0;url=//example.net">`, "<plaintext>", "{{.}} ${x} #{x} <%= x %>",
	"`x` ``` **x** [x](javascript:alert(1)) ![x](//example.net/x.png)", "@everyone #1 <details>", "| a | b |\\|", "---", "# x",
	"=cmd|' /C calc'!A0", "+1+cmd", "-2+3", "@SUM(1)", "＝1", "=HYPERLINK(\"//example.net\")",
	"../../etc/passwd", "-rf", "$(id) `id` ; id", "~", "null", "true", "x\\u001b[31m", "\\", "\"", "'", "é 漢 ö́ \u00a0x", "\ufffd", strings.Repeat("w", 60_000),
}

// refused are texts with characters that no job file may hold. Those after the first
// blank one can stand in definitions, where they are spelled as escapes.
var refused = []string{
	"\xff\xfe", "\xc3", "\xed\xa0\x80", "",
	"\x1b[31mred\x1b[0m", "\x1b]8;;http://example.net\x07x\x1b]8;;\x07", "\x1b]0;title\x07", "\x1bc", "\u009b31m", "\u0085::error::x", "\x00", "\x08\x08", "\x7f", "\r::error::x", "\n::error::x", "\n##[error]x", "\t=1",
	"\u202ex", "\u2066x", "\u061c", "\u200b", "\u200e", "\ufeff", "\u2028x", "\u2029", "\u2060", "\U000e0041", "\ufff9",
}

// quoted writes text so that YAML, JSON and CUE read it back.
func quoted(text string) string {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	_ = e.Encode(text) // text can always be written
	return strings.TrimSpace(out.String())
}

// steered is a firm's repository with a text in every place where a file can hold one.
// Plain has the same places filled with plain words.
type steered struct {
	files map[string]string
	n     int
	plain bool
}

// text is the next of the texts, or plain words.
func (s *steered) text(from []string) string {
	s.n++
	if s.plain {
		return "plain words"
	}
	return from[s.n%len(from)]
}

// wanted are the texts that definitions can hold: with what job files refuse.
func definable() []string {
	i := 0
	for refused[i] != "" {
		i++
	}
	return append(append([]string{}, hostile[:len(hostile)-1]...), refused[i+1:]...)
}

// newSteered makes the repositories: one with jobs that are judged, by definitions that
// steer as well, one with jobs that can hardly be read, and one with jobs that cannot.
// Each is small, so that no format packs a part of what it writes.
func newSteered(t testing.TB, plain bool) []*steered {
	t.Helper()
	var all []*steered
	for _, fill := range []func(*steered){
		func(s *steered) { s.examples(t); s.definitions(t) },
		func(s *steered) { s.everyField(shape(t)) },
		func(s *steered) { s.unread() },
	} {
		s := &steered{files: map[string]string{}, plain: plain}
		fill(s)
		all = append(all, s)
	}
	return all
}

// examples takes the example jobs with a text before or behind every text and key.
func (s *steered) examples(t testing.TB) {
	c := shape(t)
	free := map[string]bool{}
	for _, l := range c.Leaves {
		free[l.Path] = !l.Scope.List.IsElsewhere() && l.Calculation == nil && l.Pattern == "" && len(l.Words) == 0 &&
			(l.Type == fact.Text || l.Type == fact.Key || l.Type == fact.Link && !l.Target.List.IsElsewhere())
	}
	jobs, err := filepath.Glob("../../examples/jobs/*.yaml")
	require.NoError(t, err)
	for i, name := range jobs {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		f, problems := jobfile.Read(name, data, jobfile.Limits{})
		require.Empty(t, problems)
		behind := map[string]string{}
		text := marked(f, free, func(value string) string {
			if behind[value] == "" {
				more := strings.NewReplacer("[", "(", "]", ")").Replace(s.text(hostile[:len(hostile)-1]))
				if behind[value] = quoted(value + more); s.n%2 == 0 {
					behind[value] = quoted(more + value)
				}
			}
			return behind[value]
		})
		s.files[fmt.Sprintf("jobs/%02d%s.yaml", i, s.fileName())] = text
	}
}

// fileName is a text that a file can be called by.
func (s *steered) fileName() string {
	names := []string{"::error::x", "##[group]x", "\n::error::x", "\x1b[31m", "\u202egnp", "<b onclick=x>", "\"", "'", "=1", "..", " ", "$(id)", "\u200b", "&amp;", "%0A::error::x", "`x`", "[x](y)", "|", "\r", "a:", ":"}
	s.n++
	if s.plain {
		return "plain"
	}
	return names[s.n%len(names)]
}

// everyField makes jobs in which a text stands in every field, and as a field.
func (s *steered) everyField(c *fact.Compiled) {
	short, long := hostile[:len(hostile)-1], hostile[len(hostile)-1]
	for i := range len(short) / 3 {
		job, text := map[string]any{}, ""
		for k, l := range c.Leaves {
			if text = short[(3*i+k)%len(short)]; k == 17*i && i%5 == 0 {
				text = long
			}
			if l.Scope.List.IsElsewhere() || l.Calculation != nil {
				continue
			}
			in := job
			if l.Scope.Parent != nil {
				in = entryOf(job, l.Scope)
			}
			parts := strings.Split(l.Inside(), ".")
			for _, p := range parts[:len(parts)-1] {
				if in[p] == nil {
					in[p] = map[string]any{}
				}
				in = in[p].(map[string]any)
			}
			value := text
			switch {
			case s.plain:
				value = "plain words"
			case l.Path == "stage":
				value = "installed"
			}
			in[parts[len(parts)-1]] = value
			if l.Many {
				in[parts[len(parts)-1]] = []string{value, value}
			}
		}
		job["stage"] = "installed"
		if !s.plain {
			job[text+"x"] = text
			job["premises"].(map[string]any)[text] = text
		} else {
			job["plain words x"] = text
			job["premises"].(map[string]any)["plain words"] = text
		}
		if i%2 == 0 {
			job["job"], job["premises"].(map[string]any)["id"] = fmt.Sprintf("E%d", i), "net-loft"
		}
		data, _ := json.Marshal(job) // texts and maps can always be written
		s.files[fmt.Sprintf("jobs/every%03d.json", i)] = string(data)
	}
}

// entryOf finds or makes the one entry of a list.
func entryOf(job map[string]any, sc *fact.Scope) map[string]any {
	in := job
	if sc.Parent.Parent != nil {
		in = entryOf(job, sc.Parent)
	}
	parts := strings.Split(strings.TrimPrefix(strings.TrimPrefix(sc.List.Name, sc.Parent.List.Name), "."), ".")
	for _, p := range parts[:len(parts)-1] {
		if in[p] == nil {
			in[p] = map[string]any{}
		}
		in = in[p].(map[string]any)
	}
	last := parts[len(parts)-1]
	if in[last] == nil {
		in[last] = []any{map[string]any{}}
	}
	return in[last].([]any)[0].(map[string]any)
}

// unread makes files that are refused for what stands in them.
func (s *steered) unread() {
	for i, text := range append(append([]string{}, refused...), hostile[:len(hostile)-1]...) {
		for k, form := range []string{"job: J\nremark: \"%s\"\n", "job: J\n%s: x\n", "job: %s\njob: %[1]s\n", "%s", "job: [%s, {a: 5,8 %[1]s}\n", "job: \"%s\n"} {
			if s.plain {
				text = "\x01"
			}
			s.files[fmt.Sprintf("jobs/unread%03d-%d.yaml", i, k)] = fmt.Sprintf(form, text)
		}
	}
}

// definitions takes the firm's own files with a text before or behind every text for people.
func (s *steered) definitions(t testing.TB) {
	texts := definable()
	field := regexp.MustCompile(`\b(title|edition|decided_by|why|clause|licence|model|serial|certificate|says|telephone|address|hours):(\s*)"((?:[^"\\]|\\.)*)"`)
	for _, name := range []string{"witnessmark.cue", "rules/policy.cue", "rules/tholvane.cue", "registers/people.cue", "registers/instruments.cue", "equipment/orrelin.cue", "equipment/tessavo.cue", "equipment/havrick-8.cue"} {
		data, err := os.ReadFile("../../examples/" + name)
		require.NoError(t, err)
		text := field.ReplaceAllStringFunc(string(data), func(one string) string {
			m := field.FindStringSubmatch(one)
			if more := s.text(texts); s.n%2 == 0 {
				return m[1] + ":" + m[2] + quoted(more+m[3])
			} else {
				return m[1] + ":" + m[2] + quoted(m[3]+more)
			}
		})
		text = strings.Replace(text, `"Ammerel Isles Storage Co-operative"`, quoted(s.text(texts)+s.text(texts)+s.text(texts)), 1)
		text = strings.Replace(text, `"fixings": {`, quoted("fixings"+s.text(texts))+": {", 1)
		s.files[name] = text
	}
	broken := s.text([]string{"<script>\x1b[31m\u202e\n::error::x"})
	s.files["rules/broken.cue"] = "package rules\nimport \"witnessmark.example/schema/limit\"\n#b: limit.#RuleSet & {source: {name: " + quoted(broken) + "}, limits: " + quoted(broken) + ": " + quoted(broken) + "}\n"
	s.files["registers/broken.cue"] = "package registers\n#" + "peopel: " + quoted(broken) + ": {}\n"
	s.files["equipment/broken.cue"] = "package equipment\n#products: " + quoted(broken) + ": A: " + quoted(broken) + "\n"
	s.files["rules/"+s.fileName()+".cue"] = "package rules\n" + broken
}

// reports are what every format writes about a repository, by format; under "out" and
// "trouble" what went to the streams.
func (s *steered) reports(t testing.TB, dir string) map[string][]byte {
	t.Helper()
	said, got := tell(t, dir), map[string][]byte{}
	require.Equal(t, 2, said.status, said.text)
	for name, text := range said.reports {
		got[name] = text
	}
	require.NoError(t, inert.Text([]byte(said.streams)))
	return got
}

// A repository that steers wherever it can goes through every format, and nothing of
// it gets through.
func TestNothingSteersAReport(t *testing.T) {
	notRaced(t)
	var plain []map[string][]byte
	for _, s := range newSteered(t, true) {
		plain = append(plain, s.reports(t, repository(t, s.files)))
	}
	var dirs []string
	got := map[string][]byte{}
	for i, s := range newSteered(t, false) {
		dirs = append(dirs, repository(t, s.files))
		one := s.reports(t, dirs[i])
		requireInert(t, one, plain...)
		for name, text := range one {
			got[name] = append(got[name], text...)
		}
	}
	assert.Greater(t, bytes.Count(got["text"], []byte("problem: ")), 300)
	for format, pieces := range map[string][]string{"text": {`:\u003aerror`, `##\u005b`, "<script>alert(1)</script>", "=cmd|'"}, "json": {`\u001b[31mred`, `##\u005bgroup`, "::error file"}} {
		for _, piece := range pieces {
			assert.True(t, bytes.Contains(got[format], []byte(piece)), "%s is shown, and can do nothing", piece)
		}
	}
	long := strings.Repeat("w", 60_000)
	assert.Contains(t, string(got["json"]), long)

	dir := dirs[0]
	jobs, err := filepath.Glob(filepath.Join(dir, "jobs", "*"))
	require.NoError(t, err)
	every, err := filepath.Glob(filepath.Join(dirs[1], "jobs", "every000*"))
	require.NoError(t, err)
	commands := [][]string{{"firm"}, {"firm", "--output", "json"}, {"limits"}, {"limits", "--output", "csv"}, {"limits", "--output", "json"}, {"limits", "check"},
		{"limits", "check", "--output", "json"}, {"explain", "policy"}, {"explain", "orrelin@A"}, {"explain", "\x1b[31m::error::x"}, {"limits", "--for", "\n::error::x"}, {"lint", "\u202e/x"}, {"lint", "--output", "\x1b[31m"}}
	for _, name := range append(jobs[:2], every...) {
		commands = append(commands, []string{"limits", "--for", name}, []string{"limits", "--output", "json", "--for", name})
	}
	for _, args := range commands {
		var out, trouble bytes.Buffer
		around := surroundings{stdout: &out, stderr: &trouble, version: "test", env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t)}
		root := dir
		if len(every) > 0 && args[len(args)-1] == every[0] {
			root = dirs[1]
		}
		run(context.Background(), append([]string{"witnessmark", args[0], "--root", root}, args[1:]...), around)
		require.NoError(t, inert.Text(trouble.Bytes()), args)
		require.NotEmpty(t, out.String()+trouble.String(), args)
		switch text := out.Bytes(); {
		case len(text) == 0:
		case strings.Contains(strings.Join(args, " "), "--output json"):
			require.NoError(t, inert.JSON(text), args)
		case strings.Contains(strings.Join(args, " "), "--output csv"):
			require.NoError(t, inert.CSV(text), args)
		default:
			require.NoError(t, inert.Text(text), args)
		}
	}
}

// A report that goes to standard output with a format that CI shows is as inert there,
// in colour too: nothing but the tool's own colours is left.
func TestNothingSteersATerminal(t *testing.T) {
	dir := repository(t, newSteered(t, false)[0].files)
	var out, trouble bytes.Buffer
	run(context.Background(), []string{"witnessmark", "lint", "--root", dir, "--color", "always", "--calculations", dir}, surroundings{stdout: &out, stderr: &trouble, terminal: true,
		env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t)})
	own := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAll(out.Bytes(), nil)
	require.NoError(t, inert.Text(own))
	colours := map[string]bool{}
	for _, one := range regexp.MustCompile("\x1b\\[[0-9;]*m").FindAllString(out.String(), -1) {
		colours[one] = true
	}
	assert.Less(t, len(colours), 20, colours)
	require.NoError(t, inert.Text(trouble.Bytes()))
	assert.NotEmpty(t, report.Formats())
}
