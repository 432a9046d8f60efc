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

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/quantity"
)

const workedJob = "jobs/1.yaml"

// lint judges variants of the example's job, by the name of their file, with the
// rule sets of one more file.
func (w *worked) lint(t *testing.T, jobs map[string]string, rules string) (*lines, map[string]*measured) {
	t.Helper()
	f := firm{}
	for name, text := range w.files {
		f[name] = text
	}
	delete(f, workedJob)
	for name, text := range jobs {
		f[name] = text
	}
	if rules != "" {
		f["rules/probe.cue"] = rules
	}
	out, got := newLines(), &measuring{leaf: w.measure, entry: w.entry, of: map[string]*measured{}}
	run, err := Lint(context.Background(), Options{FS: f.fs(), Paths: []string{"."}, AsOf: asOf, Workers: 1, Shipped: once(t)}, out, got)
	require.NoError(t, err)
	for _, p := range run.Problems {
		m := got.of[p.File]
		if m == nil {
			t.Fatalf("%s: %s:%d: %s", w.file, p.File, p.At.Line, p.Message)
		}
		m.problems = append(m.problems, p)
	}
	return out, got.of
}

func (w *worked) outcome(t *testing.T, out *lines, file, name string) seen {
	t.Helper()
	at := w.measure
	if w.entry != "" {
		at = w.entry + strings.TrimPrefix(w.measure, listOf(w.entry))
	}
	s, ok := out.full[file+" "+name+" "+at]
	require.True(t, ok, "%s: no outcome for %s at %s", w.file, name, at)
	return s
}

var keys = regexp.MustCompile(`\[[^]]*\]`)

func listOf(entry string) string { return keys.ReplaceAllString(entry, "") }

// Every worked example gives what was published, and is judged within, outside
// and exactly at a limit; without any one of its inputs it is not checked and the
// absent one is named; with a wrong unit it is a problem at the line and no pass.
// Every function has an example, and its check against something outside the project.
func TestMeasures(t *testing.T) {
	shape := shapeOf(t)
	files, err := filepath.Glob("../testdata/measures/*.txtar")
	require.NoError(t, err)
	var all []worked
	for i, name := range files {
		w := readWorked(t, name, shape)
		all = append(all, w)
		if raced && i%8 != 0 {
			continue // one in eight, see raced
		}
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			t.Parallel()
			w.try(t, shape.Leaf(w.measure))
		})
	}
	for _, fault := range notFromOutside(t, shape, all, readWithoutSource(t)) {
		assert.Fail(t, fault)
	}
}

func (w *worked) try(t *testing.T, leaf *fact.Leaf) {
	_, all := w.lint(t, map[string]string{workedJob: w.files[workedJob]}, "")
	got := all[workedJob]
	if w.refuses != "" {
		assert.False(t, got.known, "gives %s", got.text)
		assert.Contains(t, got.reason, w.refuses)
		return
	}
	require.True(t, got.known, "not calculated: %s, waits on %v", got.reason, got.lacks)
	spread := w.gives.BaseUncertainty()
	assert.InDelta(t, w.gives.Base(), got.base, spread+1e-9*w.gives.Base(), "published %s, calculated %s", w.gives.Format(leaf.Of), got.text)

	jobs := map[string]string{}
	rules := w.probes(leaf, got, jobs)
	checks := w.without(t, leaf, got, jobs)
	out, all := w.lint(t, jobs, rules)
	if rules != "" {
		for _, side := range []string{"up", "down"} {
			for name, want := range map[string]judge.Kind{"inside": judge.Within, "at": judge.Within, "outside": judge.Outside} {
				assert.Equal(t, want, w.outcome(t, out, "jobs/"+side+".yaml", side+"#"+name).kind, "%s %s", side, name)
			}
		}
	}
	for file, check := range checks {
		check(t, all[file])
	}
}

// probes writes limits above, below and at the value, and a job for each side: all
// of them together would contradict each other.
func (w *worked) probes(leaf *fact.Leaf, got *measured, jobs map[string]string) string {
	u, unit, q := leaf.Of, leaf.Unit, got.quantity
	if !q.IsCalculated() && q.Kind() == quantity.Area && q.Unit().System() == quantity.US {
		u, unit = quantity.MustUnit("kcmil"), "kcmil" // a wire size is exact in this and endless in mm²
	}
	if u.OrderReversed() {
		return "" // a limit is never in such a unit
	}
	at, more, less := q.In(u), q.In(u)*1.001+1e-9, q.In(u)*0.999-1e-9
	if leaf.Type == fact.Count {
		more, less = at+1, at-1
	}
	rules := ""
	for side, bounds := range map[string][3]float64{"up": {more, at, less}, "down": {less, at, more}} {
		sign := map[string]string{"up": "<=", "down": ">="}[side]
		var limits [][2]string
		for i, name := range []string{"inside", "at", "outside"} {
			limits = append(limits, [2]string{name, fmt.Sprintf("measure: %q, within: %s%s, unit: %q", w.measure, sign, strconv.FormatFloat(bounds[i], 'g', 15, 64), unit)})
		}
		// Not one that always applies: it would contradict limits that ship.
		text := strings.Replace(ruleFile(side, "code", "simple", "", limits...), ", always: true", "", 1)
		if rules != "" {
			text = text[strings.Index(text, "#"+side):]
		}
		rules += text
		jobs["jobs/"+side+".yaml"] = w.files[workedJob] + "rule_sets: [" + side + "]\n"
	}
	return rules
}

// without adds jobs with each input taken out in turn, and written in a wrong
// unit, and returns what has to hold of each.
func (w *worked) without(t *testing.T, leaf *fact.Leaf, got *measured, jobs map[string]string) map[string]func(*testing.T, *measured) {
	checks := map[string]func(*testing.T, *measured){}
	for i, in := range got.inputs {
		if !in.inJob {
			continue
		}
		absent := fmt.Sprintf("jobs/absent-%d.yaml", i)
		jobs[absent] = in.replaced(t, w.files[workedJob], "")
		checks[absent] = func(t *testing.T, now *measured) {
			if !in.optional {
				assert.False(t, now.known, "without %s it still gives %s", in.address, now.text)
			}
			if !now.known && now.reason == "" {
				assert.NotEmpty(t, now.lacks, "without %s nothing is named", in.address)
			}
		}
		if !in.quantity {
			continue
		}
		wrong := fmt.Sprintf("jobs/wrong-%d.yaml", i)
		jobs[wrong] = in.replaced(t, w.files[workedJob], "3 lx")
		checks[wrong] = func(t *testing.T, now *measured) {
			assert.False(t, now.known, "with %s in lux it gives %s", in.address, now.text)
			at := []int{}
			for _, p := range now.problems {
				at = append(at, p.At.Line)
			}
			assert.Contains(t, at, in.line, "%s in lux is no problem at its line", in.address)
		}
	}
	ofJob := slices.ContainsFunc(leaf.Calculation.Inputs, func(in fact.Input) bool { return !strings.Contains(in.Fact, ".equipment.") })
	// The rated currents of stacks come from their datasheets alone.
	if ofJob && len(got.inputs) > 0 && leaf.Path != "stacks.joined_rated_current" {
		assert.NotEmpty(t, checks, "none of its inputs stands in the job: write at least one there")
	}
	return checks
}

// measuring is a sink that keeps one calculated value of each job.
type measuring struct {
	leaf, entry string
	of          map[string]*measured // by the file of the job
}

// measured is a calculated value and the written values behind it.
type measured struct {
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

func (m *measuring) Begin(*Run) error { return nil }
func (m *measuring) Job([]byte) error { return nil }
func (m *measuring) End(*Run) error   { return nil }

func (m *measuring) Render(dst []byte, j *Job) []byte {
	got := &measured{}
	m.of[j.File] = got
	if j.Result == nil {
		return dst
	}
	leaf := j.Result.Facts.Shape.Leaf(m.leaf)
	for _, in := range j.Result.Facts.Entries[leaf.Scope.ID] {
		if in.Parent == nil || in.Address() == m.entry {
			got.read(in.Get(leaf), leaf)
		}
	}
	return dst
}

func (m *measured) read(v *fact.Value, leaf *fact.Leaf) {
	m.known = v.State == fact.Known
	if v.More != nil {
		m.reason = strings.Clone(v.More.Reason)
		for _, l := range v.More.Lacks {
			m.lacks = append(m.lacks, l.Of.AddressOf(l.Leaf))
		}
	}
	if m.known {
		m.quantity, m.base, m.text = v.Quantity, v.Quantity.Base(), leaf.Format(v.Quantity, leaf.Of)
		m.collect(v.More.From, false)
	}
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
		one := measuredInput{address: in.Of.AddressOf(in.Leaf), written: strings.Clone(in.Value.Written), line: in.Value.At.Line, column: in.Value.At.Column,
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
	if !ok {
		rest, ok = strings.CutPrefix(after, "'"+in.written+"'")
	}
	require.True(t, ok, "%s: %q does not begin with %q", in.address, after, in.written)
	lines[in.line-1] = before + with + rest
	return strings.Join(lines, "\n")
}
