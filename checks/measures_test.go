package checks

import (
	"context"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/quantity"
)

// A worked example of a calculated measure is a file of testdata/measures: a head
// of "name: value" lines, then the files of a firm. The head says
//
//	measure  the measure, by its full name
//	entry    the entry of the job it belongs to, "conductors[c]"; none for the job itself
//	gives    the published result, with the tolerance it was published to: "21 A ± 0.05 A"
//	refuses  instead of a result: part of the reason why there is none
//	source   where the result was published; address and grade of that
//
// The grade "arithmetic" marks a source that is good for checking arithmetic and
// not to be cited. Each example is judged in five cases; see TestMeasures.
type worked struct {
	file                    string
	measure, entry, refuses string
	gives                   quantity.Quantity
	files                   firm
	unit                    string // of limits, where the measure's own has no short number for the value
}

func readWorked(t *testing.T, name string, shape *fact.Compiled) worked {
	t.Helper()
	archive, err := txtar.ParseFile(name)
	require.NoError(t, err)
	head := map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(string(archive.Comment)), "\n") {
		key, value, ok := strings.Cut(line, ": ")
		require.True(t, ok || line == "", "%s: head: %q", name, line)
		head[key] = value
	}
	w := worked{file: name, measure: head["measure"], entry: head["entry"], refuses: head["refuses"], files: firm{"witnessmark.cue": rootFile}}
	require.NotNil(t, shape.Leaf(w.measure), "%s: there is no measure %q", name, w.measure)
	require.NotEmpty(t, head["source"], "%s: source", name)
	require.Contains(t, []string{"document", "copy", "official", "secondary", "memory", "practice", "arithmetic"}, head["grade"], "%s: grade", name)
	if head["grade"] == "arithmetic" {
		require.Empty(t, head["address"], "%s: an address of that kind is not carried over", name)
	}
	if w.refuses == "" {
		w.gives, err = quantity.Parse(head["gives"], shape.Leaf(w.measure).Of, quantity.Options{})
		require.NoError(t, err, "%s: gives", name)
		require.True(t, w.gives.HasUncertainty() || shape.Leaf(w.measure).Type == fact.Count || w.gives.Unit().OrderReversed(), "%s: gives no tolerance", name)
	}
	for _, f := range archive.Files {
		w.files[f.Name] = string(f.Data)
	}
	require.Contains(t, w.files, workedJob, name)
	return w
}

const workedJob = "jobs/1.yaml"

// lintWith judges the example with a limit on its measure for each bound.
func (w *worked) lintWith(t *testing.T, job string, bounds map[string]string, leaf *fact.Leaf) (*lines, *measured) {
	t.Helper()
	f := firm{}
	for name, text := range w.files {
		f[name] = text
	}
	f[workedJob] = job + "rule_sets: [probe]\n"
	unit := leaf.Unit
	if w.unit != "" {
		unit = w.unit
	}
	var limits [][2]string
	for name, within := range bounds {
		limits = append(limits, [2]string{name, fmt.Sprintf("measure: %q, within: %s, unit: %q", w.measure, within, unit)})
	}
	// Not one that always applies: it would contradict limits that ship.
	f["rules/probe.cue"] = strings.Replace(ruleFile("probe", "code", "simple", "", limits...), ", always: true", "", 1)
	out, got := newLines(), &measured{leaf: w.measure, entry: w.entry}
	run, err := Lint(context.Background(), Options{FS: f.fs(), Paths: []string{"."}, AsOf: asOf, Workers: 1}, out, got)
	require.NoError(t, err)
	for _, p := range run.Problems {
		if !strings.HasPrefix(p.File, "jobs/") {
			t.Fatalf("%s: %s:%d: %s", w.file, p.File, p.At.Line, p.Message)
		}
	}
	got.problems = run.Problems
	return out, got
}

func (w *worked) outcome(t *testing.T, out *lines, name string) seen {
	t.Helper()
	at := w.measure
	if w.entry != "" {
		at = w.entry + strings.TrimPrefix(w.measure, listOf(w.entry))
	}
	s, ok := out.full[workedJob+" probe#"+name+" "+at]
	require.True(t, ok, "%s: no outcome for %s at %s", w.file, name, at)
	return s
}

var keys = regexp.MustCompile(`\[[^]]*\]`)

func listOf(entry string) string { return keys.ReplaceAllString(entry, "") }

// Every worked example gives what was published, and is judged within, outside
// and exactly at a limit; without any one of its inputs it is not checked and the
// absent one is named; with a wrong unit it is a problem at the line and no pass.
func TestMeasures(t *testing.T) {
	shape := shapeOf(t)
	files, err := filepath.Glob("../testdata/measures/*.txtar")
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, name := range files {
		w := readWorked(t, name, shape)
		seen[w.measure] = seen[w.measure] || w.refuses == ""
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			leaf := shape.Leaf(w.measure)
			_, got := w.lintWith(t, w.files[workedJob], map[string]string{"any": ">=0"}, leaf)
			if w.refuses != "" {
				assert.False(t, got.known, "gives %s", got.text)
				assert.Contains(t, got.reason, w.refuses)
				return
			}
			require.True(t, got.known, "not calculated: %s, waits on %v", got.reason, got.lacks)
			spread := w.gives.BaseUncertainty()
			assert.InDelta(t, w.gives.Base(), got.base, spread+1e-9*w.gives.Base(), "published %s, calculated %s", w.gives.Format(leaf.Of), got.text)
			w.judged(t, leaf, got)
			w.without(t, leaf, got)
		})
	}
	for _, l := range shape.Leaves {
		if l.Calculation != nil && l.Calculation.Function != "" {
			assert.True(t, seen[l.Path], "%s has no worked example in testdata/measures", l.Path)
		}
	}
}

// judged holds the value against limits above, below and at it.
func (w *worked) judged(t *testing.T, leaf *fact.Leaf, got *measured) {
	u := leaf.Of
	q := got.quantity
	if !q.IsCalculated() && q.Kind() == quantity.Area && q.Unit().System() == quantity.US {
		u, w.unit = quantity.MustUnit("kcmil"), "kcmil" // a wire size is exact in this and endless in mm²
	}
	at, more, less := q.In(u), q.In(u)*1.001+1e-9, q.In(u)*0.999-1e-9
	if leaf.Type == fact.Count {
		more, less = at+1, at-1
	}
	if u.OrderReversed() {
		return // a limit is never in such a unit
	}
	write := func(x float64) string { return strconv.FormatFloat(x, 'g', 15, 64) }
	for side, bounds := range map[string]map[string]string{
		"up":   {"inside": "<=" + write(more), "at": "<=" + write(at), "outside": "<=" + write(less)},
		"down": {"inside": ">=" + write(less), "at": ">=" + write(at), "outside": ">=" + write(more)},
	} {
		out, _ := w.lintWith(t, w.files[workedJob], bounds, leaf)
		assert.Equal(t, judge.Within, w.outcome(t, out, "inside").kind, "%s inside", side)
		assert.Equal(t, judge.Within, w.outcome(t, out, "at").kind, "%s exactly at", side)
		assert.Equal(t, judge.Outside, w.outcome(t, out, "outside").kind, "%s outside", side)
	}
}

// without takes each input out of the job in turn, and writes it in a wrong unit.
func (w *worked) without(t *testing.T, leaf *fact.Leaf, got *measured) {
	tried := 0
	for _, in := range got.inputs {
		if !in.inJob {
			continue
		}
		tried++
		job := in.replaced(t, w.files[workedJob], "")
		_, now := w.lintWith(t, job, map[string]string{"any": ">=0"}, leaf)
		if !in.optional {
			assert.False(t, now.known, "without %s it still gives %s", in.address, now.text)
		}
		if !now.known && now.reason == "" {
			assert.NotEmpty(t, now.lacks, "without %s nothing is named", in.address)
		}
		if in.quantity {
			job = in.replaced(t, w.files[workedJob], "3 lx")
			_, wrong := w.lintWith(t, job, map[string]string{"any": ">=0"}, leaf)
			assert.False(t, wrong.known, "with %s in lux it gives %s", in.address, wrong.text)
			at := []int{}
			for _, p := range wrong.problems {
				at = append(at, p.At.Line)
			}
			assert.Contains(t, at, in.line, "%s in lux is no problem at its line", in.address)
		}
	}
	ofJob := slices.ContainsFunc(leaf.Calculation.Inputs, func(in fact.Input) bool { return !strings.Contains(in.Fact, ".equipment.") })
	if ofJob && len(got.inputs) > 0 {
		assert.Positive(t, tried, "none of its inputs stands in the job: write at least one there")
	}
}

// measured is a sink that keeps one calculated value and the written values
// behind it.
type measured struct {
	leaf, entry string

	known        bool
	base         float64
	quantity     quantity.Quantity
	text, reason string
	lacks        []string
	inputs       []measuredInput
	problems     []Problem
}

type measuredInput struct {
	address, written          string
	line, column              int
	inJob, optional, quantity bool
}

func (m *measured) Begin(*Run) error { return nil }
func (m *measured) Job([]byte) error { return nil }
func (m *measured) End(*Run) error   { return nil }

func (m *measured) Render(dst []byte, j *Job) []byte {
	if j.Result == nil {
		return dst
	}
	facts := j.Result.Facts
	leaf := facts.Shape.Leaf(m.leaf)
	for _, in := range facts.Entries[leaf.Scope.ID] {
		if in.Parent != nil && in.Address() != m.entry {
			continue
		}
		v := in.Get(leaf)
		m.known = v.State == fact.Known
		if v.More != nil {
			m.reason = v.More.Reason
			for _, l := range v.More.Lacks {
				m.lacks = append(m.lacks, l.Of.AddressOf(l.Leaf))
			}
		}
		if m.known {
			m.quantity, m.base, m.text = v.Quantity, v.Quantity.Base(), leaf.Format(v.Quantity, leaf.Of)
			m.collect(v.More.From, false)
		}
	}
	return dst
}

// collect gathers what was written in the job and went into a calculation, and
// into those of its inputs.
func (m *measured) collect(w *fact.Working, optional bool) {
	for i := range w.Inputs {
		in := &w.Inputs[i]
		if in.Leaf == nil || in.Value == nil {
			continue
		}
		may := optional || w.Optional(i)
		if in.Value.More != nil && in.Value.More.From != nil {
			m.collect(in.Value.More.From, may)
			continue
		}
		one := measuredInput{address: in.Of.AddressOf(in.Leaf), written: in.Value.Written, line: in.Value.At.Line, column: in.Value.At.Column,
			inJob: !in.Of.Scope.List.IsElsewhere(), optional: may, quantity: in.Leaf.Type == fact.Quantity}
		m.inputs = append(m.inputs, one)
	}
}

// replaced writes another text for the value.
func (in *measuredInput) replaced(t *testing.T, job, with string) string {
	t.Helper()
	lines := strings.Split(job, "\n")
	line := lines[in.line-1]
	runes := []rune(line)
	before, after := string(runes[:in.column-1]), string(runes[in.column-1:])
	rest, ok := strings.CutPrefix(after, in.written)
	if !ok {
		rest, ok = strings.CutPrefix(after, `"`+in.written+`"`)
	}
	require.True(t, ok, "%s: %q does not begin with %q", in.address, after, in.written)
	lines[in.line-1] = before + with + rest
	return strings.Join(lines, "\n")
}
