package report

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/since"
)

// The same job in the base and now: one value mended, one farther outside, one moved by
// a line, one new.
const (
	baseJob = "job: 2026-1\nstage: designed\nunits:\n  - {id: U1, stacks: [A]}\nstacks:\n  - {id: A, equipment: morvane@B, modules: 9, wall_gap: 12 mm, clearance: {above: 900 mm}, air: 20 °C, setting: bedroom}\n"
	headJob = "# a note\njob: 2026-1\nstage: designed\nunits:\n  - {id: U1, stacks: [A]}\nstacks:\n  - {id: A, equipment: morvane@B, modules: 4, wall_gap: 11 mm, clearance: {above: 900 mm}, air: 41 °C, setting: bedroom}\n"
	file    = "jobs/a.yaml"
)

// compareRuns judges the base and starts a comparison.
func compareRuns(t *testing.T, files ...string) *since.Comparison {
	t.Helper()
	r, base := newTestRun(t), since.NewBase()
	require.NoError(t, base.Begin(r.run))
	for i := 0; i < len(files); i += 2 {
		require.NoError(t, base.Job(base.Render(nil, r.job(t, files[i], files[i+1]))))
	}
	require.NoError(t, base.End(r.run))
	return since.NewComparison(base, since.Options{Ref: "main", Commit: strings.Repeat("0123456789", 4), Uncommitted: 1, Wanted: func(string) bool { return true }})
}

// runAll runs the head through a comparison and a sink.
func runAll(t *testing.T, c *since.Comparison, sink checks.Sink, files ...string) {
	t.Helper()
	r := newTestRun(t)
	sinks := []checks.Sink{c, sink}
	for _, s := range sinks {
		require.NoError(t, s.Begin(r.run))
	}
	for i := 0; i < len(files); i += 2 {
		job := r.job(t, files[i], files[i+1])
		var rendered [][]byte
		for _, s := range sinks {
			rendered = append(rendered, s.Render(nil, job))
		}
		if job.Result != nil {
			job.Result.Outcomes = nil // the job's memory serves the next one
		}
		for k, s := range sinks {
			require.NoError(t, s.Job(rendered[k]))
		}
	}
	for _, s := range sinks {
		require.NoError(t, s.End(r.run))
	}
}

// openFormat makes a format of what the formats for CI share.
type openFormat struct{ *openSink }

func (openFormat) End(*checks.Run) error { return nil }

func TestOpenStates(t *testing.T) {
	c := compareRuns(t, file, baseJob, "jobs/gone.yaml", strings.Replace(cleanJob, "40 mm", "10 mm", 1))
	s := &openSink{since: c}
	runAll(t, c, openFormat{s}, file, headJob)
	states, inBase, keys := map[string]since.State{}, map[string]string{}, map[string]string{}
	r := newTestRun(t)
	for _, o := range s.all(r.run) {
		states[o.Fact], inBase[o.Fact], keys[o.Fact] = o.State, o.InBase, o.Key
	}
	assert.Equal(t, since.Known, states["stacks[A].setting"], "a line more above it is no change")
	assert.Equal(t, since.New, states["stacks[A].air"])
	assert.Empty(t, inBase["stacks[A].air"])
	assert.Equal(t, since.New, states["stacks[A].wall_gap"], "farther outside")
	assert.Equal(t, "outside, 12 mm", inBase["stacks[A].wall_gap"])
	left := map[string]Open{}
	for _, o := range leftOf(s.since) {
		left[o.File+" "+o.Name] = o
	}
	fixed := left["jobs/a.yaml xx/code#modules"]
	assert.Equal(t, since.Fixed, fixed.State)
	assert.Equal(t, "Modules in the stack (stacks[A].modules) was outside at 9, xx/code#modules; now within", fixed.Text)
	gone := left["jobs/gone.yaml xx/code#gap"]
	assert.Equal(t, since.Gone, gone.State)
	assert.Contains(t, gone.Text, "the job file is gone, so nothing says that it is in order")
	assert.Equal(t, keys["stacks[A].wall_gap"], openKeyOf(t, baseJob, "stacks[A].wall_gap"), "the key is the same without a comparison")
}

func openKeyOf(t *testing.T, text, fact string) string {
	t.Helper()
	r, s := newTestRun(t), &openSink{}
	require.NoError(t, s.Job(s.Render(nil, r.job(t, file, text))))
	for _, o := range s.all(r.run) {
		if o.Fact == fact {
			assert.Empty(t, o.State)
			return o.Key
		}
	}
	assert.Empty(t, leftOf(s.since))
	return ""
}

// Every format says it, by the schema and without steering anything.
func TestFormatsSince(t *testing.T) {
	for _, f := range Formats() {
		c := compareRuns(t, file, baseJob, "jobs/gone.yaml", strings.Replace(cleanJob, "wall_gap: 40 mm", "wall_gap: \"10 mm##[group]\"", 1))
		var out bytes.Buffer
		if slices.Contains([]string{"emergency", "owner", "snags", "labels"}, f.Name) {
			continue // what stands on a site does not depend on what changed in a repository
		}
		runAll(t, c, f.New(&out, Settings{Since: c}), file, headJob)
		assert.NotContains(t, out.String(), "##[group]", f.Name)
		if !slices.Contains([]string{"csv", "sarif", "code-quality"}, f.Name) { // what is gone has no row, and closes what the host had
			assert.Contains(t, out.String(), "u005bgroup]", f.Name)
		}
		if f.Name != "code-quality" { // the host compares
			assert.Contains(t, out.String(), "new", f.Name)
		}
		if f.Name == "json" {
			assert.NoError(t, validate(t, out.Bytes()))
			assert.Contains(t, out.String(), `"state":"new","in_base":{"outcome":"outside","value":"12 mm","blocking":true}`)
		}
	}
}

// A job in which nothing differs is counted and not shown, by the text report only.
func TestJobNotShown(t *testing.T) {
	c := compareRuns(t, file, baseJob)
	var out bytes.Buffer
	runAll(t, c, NewText(&out, Settings{Since: c}), file, baseJob)
	assert.False(t, strings.Contains(out.String(), "jobs/a.yaml:"), out.String())
	assert.Contains(t, out.String(), "1 job whose file is as it was and in which nothing is new or fixed; known findings in them: ")
	assert.Zero(t, c.Totals.New)
	assert.Equal(t, c.Totals.Known, c.Totals.KnownNotShown)
	c = compareRuns(t, file, baseJob)
	out.Reset()
	runAll(t, c, NewJSON(&out, Settings{Since: c}), file, baseJob)
	assert.Contains(t, out.String(), `"shown":false,"new":0,`)
	assert.Contains(t, out.String(), `"state":"known"`)
	assert.NoError(t, validate(t, out.Bytes()))
}
