package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
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

// shape is the shape that ships.
func shape(t testing.TB) *fact.Compiled {
	t.Helper()
	l, err := checks.OpenLibrary(checks.Options{Root: "../../examples", Paths: []string{"../../examples"}, Shipped: shipped(t)})
	require.NoError(t, err)
	return l.Shape
}

// privateLeaves are the fields of a job file that are private.
func privateLeaves(c *fact.Compiled) (all []*fact.Leaf) {
	for _, l := range c.Leaves {
		if l.IsPrivate() && !l.Scope.List.IsElsewhere() {
			all = append(all, l)
		}
	}
	return all
}

// marker is a word that stands in no text of the tool's own.
const marker = "zqx"

// repository writes a firm's repository: its own files of the examples and others.
func repository(t testing.TB, files map[string]string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../examples")))
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "jobs")))
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	}
	return dir
}

// outcomes is a sink that keeps how everything came out, without a word of a file.
type outcomes struct {
	mu  sync.Mutex
	all map[string][]string // by file
}

func (o *outcomes) Begin(*checks.Run) error { return nil }
func (o *outcomes) Job([]byte) error        { return nil }
func (o *outcomes) End(r *checks.Run) error {
	for _, p := range r.Problems {
		o.all[p.File] = append(o.all[p.File], fmt.Sprint(p.At, p.Code))
	}
	for _, p := range r.Repository.Premises {
		for _, x := range p.Outcomes {
			o.all[x.File] = append(o.all[x.File], fmt.Sprint(x.At, x.Name, x.Kind, x.Margin, len(x.Shares)))
		}
	}
	for _, x := range r.Repository.Outcomes {
		o.all[x.File] = append(o.all[x.File], fmt.Sprint(x.At, x.Name, x.Kind))
	}
	return nil
}
func (o *outcomes) Render(dst []byte, j *checks.Job) []byte {
	var lines []string
	for _, p := range j.Problems {
		lines = append(lines, fmt.Sprint(p.At, p.Code))
	}
	if j.Result != nil {
		for i := range j.Result.Outcomes {
			x := &j.Result.Outcomes[i]
			margin, _ := x.Margin()
			lines = append(lines, fmt.Sprint(x.Name(), x.Kind, x.Blocking, x.Strictest, margin, len(x.WaitsOn), x.Reason == ""))
		}
		for _, g := range j.Result.Gates {
			lines = append(lines, fmt.Sprint(g.Gate, g.Passed, len(g.Open)))
		}
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.all[j.File] = lines
	return dst
}

// told is all that a run says: the files of every format and both streams.
type told struct {
	status   int
	text     string
	streams  string            // standard output and standard error
	reports  map[string][]byte // by format
	outcomes map[string][]string
	counts   checks.Counts
}

// tell lints a repository with every format there is.
func tell(t testing.TB, dir string, args ...string) told {
	t.Helper()
	seen := &outcomes{all: map[string][]string{}}
	var out told
	var stdout, stderr bytes.Buffer
	reports := t.TempDir()
	line := []string{"witnessmark", "lint", "--as-of", "2026-11-25", "--root", dir, "--calculations"}
	for _, f := range report.Formats() {
		line = append(line, "--output", f.Name+":"+filepath.Join(reports, f.Name))
	}
	out.status = run(context.Background(), append(append(line, args...), dir), surroundings{
		stdout: &stdout, stderr: &stderr, version: "test", env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, shipped: shipped(t),
		lint: func(ctx context.Context, o checks.Options, sinks ...checks.Sink) (*checks.Run, error) {
			r, err := checks.Lint(ctx, o, append(sinks, seen)...)
			if r != nil {
				out.counts = r.Counts
			}
			return r, err
		},
	})
	out.streams, out.reports = stdout.String()+"\n"+stderr.String(), map[string][]byte{}
	var text strings.Builder
	text.WriteString(out.streams)
	for _, f := range report.Formats() {
		data, err := os.ReadFile(filepath.Join(reports, f.Name))
		require.NoError(t, err, "%s: %s", f.Name, stderr.String())
		require.NotEmpty(t, data, f.Name)
		text.WriteString("\n")
		text.Write(data)
		out.reports[f.Name] = data
	}
	out.text = text.String()
	out.outcomes = seen.all
	return out
}

// assertRedacted runs a repository with private values and without them. It
// returns what was said with them.
func assertRedacted(t *testing.T, dir string, markers ...string) string {
	t.Helper()
	with, without := tell(t, dir), tell(t, dir, "--redact")
	require.False(t, inert.Packed([]byte(without.text)), "a part of a report is packed and cannot be looked through; give the test fewer jobs")
	for _, m := range markers {
		for rest, at := strings.ToLower(without.text), 0; ; {
			if at = strings.Index(rest, m); at < 0 {
				break
			}
			assert.Fail(t, "a private value is told", "%q: …%s…", m, rest[max(0, at-160):min(len(rest), at+80)])
			rest = rest[at+len(m):]
			if t.Failed() && len(rest) > 0 {
				break
			}
		}
	}
	assert.Contains(t, without.text, "(left out)")
	assert.NotContains(t, with.text, "(left out")
	assert.Equal(t, with.status, without.status)
	assert.Equal(t, with.counts, without.counts)
	assert.Equal(t, with.outcomes, without.outcomes)
	return strings.ToLower(with.text)
}

// Every example with a marker in place of every private value, in its register too:
// no report says one, and all comes out as it does without --redact.
func TestRedactedExamples(t *testing.T) {
	notRaced(t)
	c, files := shape(t), map[string]string{}
	private := map[string]bool{}
	for _, l := range privateLeaves(c) {
		private[l.Path] = true
	}
	names := map[string]string{} // marker for each value, so that links still lead somewhere
	mark := func(value string) string {
		if names[value] == "" {
			names[value] = fmt.Sprintf("%s%d", marker, len(names)+1)
		}
		return names[value]
	}
	jobs, err := filepath.Glob("../../examples/jobs/*.yaml")
	require.NoError(t, err)
	for _, name := range jobs {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		f, problems := jobfile.Read(filepath.Base(name), data, jobfile.Limits{})
		require.Empty(t, problems)
		files["jobs/"+filepath.Base(name)] = marked(f, private, mark)
	}
	require.Greater(t, len(names), 100)
	for _, name := range []string{"registers/people.cue", "registers/instruments.cue"} {
		data, err := os.ReadFile("../../examples/" + name)
		require.NoError(t, err)
		text := regexp.MustCompile(`(?m)\b(name|licence|serial|certificate):(\s*)"([^"]*)"`).ReplaceAllStringFunc(string(data), func(s string) string {
			head, value, _ := strings.Cut(s, `"`)
			return head + `"` + mark(value)
		})
		if strings.Contains(name, "people") {
			text = regexp.MustCompile(`(?m)^\t([a-z]+):`).ReplaceAllStringFunc(text, func(s string) string { return "\t" + mark(strings.Trim(s, "\t:")) + ":" })
		}
		files[name] = text
	}
	dir := repository(t, files)
	said := assertRedacted(t, dir, marker)
	assert.Greater(t, strings.Count(said, marker), 20, "without --redact they are told")
	for _, name := range jobs[:3] {
		for _, format := range []string{"text", "json"} {
			var out, trouble bytes.Buffer
			run(context.Background(), []string{"witnessmark", "limits", "--redact", "--root", dir, "--output", format, "--for", filepath.Join(dir, "jobs", filepath.Base(name))},
				surroundings{stdout: &out, stderr: &trouble, env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, shipped: shipped(t), lint: checks.Lint})
			require.Empty(t, trouble.String())
			assert.NotContains(t, out.String(), marker, name)
			assert.Contains(t, out.String(), "left out", name)
		}
	}
}

// marked is a job file with another text in place of every private value.
func marked(f *jobfile.File, private map[string]bool, mark func(string) string) string {
	var out strings.Builder
	at := 0
	var walk func(n *jobfile.Node, path string)
	walk = func(n *jobfile.Node, path string) {
		for i := range n.Fields {
			walk(n.Fields[i].Value, strings.TrimPrefix(path+"."+n.Fields[i].Key, "."))
		}
		for _, item := range n.Items {
			walk(item, path)
		}
		if n.Kind == jobfile.Scalar && private[path] && n.Text != "" {
			out.Write(f.Source[at:n.Span.Start])
			out.WriteString(mark(n.Text))
			at = n.Span.End
		}
	}
	walk(f.Root, "")
	out.Write(f.Source[at:])
	return out.String()
}

// A job for every private field and every way in which one can be written wrong.
func TestRedactedBadValues(t *testing.T) {
	notRaced(t)
	forms := []string{
		"%s", `"%s \" x ` + "\\t" + ` y"`, "[%s, other %s]", "{planned: %s, built: %[1]s b}", "{%s: %[1]s}", "{by: {by: %s}}", "%s" + strings.Repeat(" and so on", 30),
		"|\n      %s one\n      %[1]s two", `"%s`, "%s: x", "[%s", "&a %s", "'%s' tail", "%s  # %[1]s", "@%s", "[5,8 %s]", "{a: %s 5,8 mm}",
	}
	files, n := map[string]string{}, 0
	markers := []string{marker, "qzv"}
	add := func(text string) {
		n++
		files[fmt.Sprintf("jobs/b%04d.yaml", n)] = text
	}
	for i, l := range privateLeaves(shape(t)) {
		for k, form := range forms {
			if (i+k)%3 > 0 && os.Getenv("EVERY_LINE") == "" { // each form in every third field
				continue
			}
			m := fmt.Sprintf("%s%dk", marker, n+1)
			for strings.Count(form, "%") > 1 && !strings.Contains(form, "%[1]s") {
				form = strings.Replace(form, "%s", m, 1)
			}
			if strings.Contains(form, "%") {
				form = fmt.Sprintf(form, m)
			}
			add(jobWith(l, l.Name(), form, n+1))
		}
		add(jobWith(l, l.Name(), "qzv", n+1)) // as short as the key of a person may be, and the same in many jobs
		add(jobWith(l, l.Name()+"x", marker+"misspelt", n+1))
		add(jobWith(l, l.Name(), marker+"twice\n    "+l.Name()+": "+marker+"again", n+1))
		if l.Scope.Parent != nil && l.Scope.Parent.Parent == nil {
			list := l.Scope.List.Name
			for _, form := range []string{marker + "bare", "{" + marker + "key: {" + l.Inside() + ": " + marker + "}}", "[" + marker + "item]", "[[" + marker + "]]"} {
				if head, tail, nested := strings.Cut(list, "."); nested {
					add(fmt.Sprintf("job: J%d\nstage: installed\n%s: {%s: %s}\n", n+1, head, tail, form))
				} else {
					add(fmt.Sprintf("job: J%d\nstage: installed\n%s: %s\n", n+1, list, form))
				}
			}
		}
	}
	add("job: near\nstage: surveyed\ncrew: [{id: c, person: zqxaa}]\n") // which is near to one that there is
	files["registers/people.cue"] = `package registers
import "witnessmark.example/schema/register"
#people: register.#People & {
	zqxa: {name: "zqx Doe", licence: "zqx 12", valid_until: "2020-01-01", may_rule_on: ["zqx rule"]}
	zqxb: {name: 5, licence: "zqxl", valid_until: "zqx day"}
	zqxc: {name: "zqxn", phone: "zqxphone"}
	qzv: {name: "Q", valid_until: "2020-01-01"}
}
`
	said, part := "", map[string]string{}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if part[name] = files[name]; len(part) >= 150 || strings.HasPrefix(name, "registers/") {
			part["registers/people.cue"] = files["registers/people.cue"]
			said += assertRedacted(t, repository(t, part), markers...)
			clear(part)
		}
	}
	assert.Greater(t, strings.Count(said, marker), 100, "without --redact they are told")
	files = map[string]string{"jobs/b0001.yaml": files["jobs/b0001.yaml"], "jobs/a.yaml": "job: a\nstage: surveyed\ncrew: [{id: zqxe, person: zqxa}]\n",
		"registers/more.cue": "#people: {zqxd: name: \"zqx\"\n"}
	said = assertRedacted(t, repository(t, files), markers...)
	assert.Contains(t, said, "zqxa")
}

// jobWith is a job with one field, written as given.
func jobWith(l *fact.Leaf, field, value string, n int) string {
	premises := "net-loft"
	body, indent := "", ""
	path := []string{}
	for sc := l.Scope; sc != nil && sc.Parent != nil; sc = sc.Parent {
		path = append([]string{strings.TrimPrefix(strings.TrimPrefix(sc.List.Name, sc.Parent.List.Name), ".")}, path...)
	}
	scopes := []*fact.Scope{}
	for sc := l.Scope; sc != nil && sc.Parent != nil; sc = sc.Parent {
		scopes = append([]*fact.Scope{sc}, scopes...)
	}
	for i, sc := range scopes {
		for _, part := range strings.Split(path[i], ".") {
			body += indent + part + ":\n"
			indent += "  "
		}
		key := "k1"
		if len(sc.Key().Words) > 0 {
			key = sc.Key().Words[0]
		}
		if sc.Key() == l && field == l.Name() {
			body += indent + "-"
			indent = " "
			break
		}
		body += indent + "- " + sc.Key().Name() + ": \"" + map[bool]string{true: "1", false: key}[sc.Key().Pattern != ""] + "\"\n"
		indent += "  "
	}
	inside := strings.Split(l.Inside(), ".")
	for _, part := range inside[:len(inside)-1] {
		body += indent + part + ":\n"
		indent += "  "
	}
	body += indent + field + ": " + value + "\n"
	if l.Path == "premises.id" {
		return fmt.Sprintf("job: J%d\nstage: installed\npremises:\n  %s: %s\n", n, field, value)
	}
	return fmt.Sprintf("job: J%d\nstage: installed\npremises: {id: %s}\n%s", n, premises, body)
}

// The list of limits holds no job to leave something out of.
func TestRedactGoesWithAJob(t *testing.T) {
	status, _, trouble := new(trial).witnessmark(t, "limits", "--redact")
	assert.Equal(t, 2, status)
	assert.Contains(t, trouble, "--redact")
}
