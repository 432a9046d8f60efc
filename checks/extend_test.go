package checks

import (
	"context"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/judge"
	"witnessmark.example/schema"
)

// edited is the tool's CUE module with changes to some of its files.
func edited(t *testing.T, edits map[string]func(string) string) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(schema.Files, ".", func(p string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(schema.Files, p)
		if edit := edits[p]; edit != nil {
			data = []byte(edit(string(data)))
		}
		out[p] = &fstest.MapFile{Data: data}
		return err
	}))
	return out
}

// A field and a limit on it are added by editing CUE alone: no Go is touched.
func TestFieldAndLimitAddedByCUEAlone(t *testing.T) {
	own := edited(t, map[string]func(string) string{
		"job/stack.cue": func(s string) string {
			return strings.Replace(s, "#Stack: {", `#Stack: {
	// Distance to the nearest bed.
	bed_distance?: string @unit(mm) @label(en="distance to a bed") @due(designed) @built(installed)`, 1)
		},
		"rules/practice/practice.cue": func(s string) string {
			return strings.Replace(s, "	limits: {", `	limits: {
		"away-from-beds": {
			measure: "stacks.bed_distance", within: >=2, unit: "m", clause: "common practice, no source", grade: "practice"
			reviewed: "2026-11-25", review_by: "2027-11-25", why: "Nobody should sleep beside a stack."
		}`, 1)
		},
	})
	f := firm{"witnessmark.cue": rootFile, "jobs/a.yaml": oneStack("    bed_distance: 6 ft\n"), "jobs/b.yaml": strings.Replace(oneStack("    bed_distance: 7 ft\n"), "job: 1", "job: 2", 1), "jobs/c.yaml": strings.Replace(oneStack(""), "job: 1", "job: 3", 1)}
	out := newLines()
	run, err := Lint(context.Background(), Options{FS: f.fs(), Schema: own, Paths: []string{"."}, AsOf: asOf, Workers: 1}, out)
	require.NoError(t, err)
	require.Empty(t, run.Problems)
	s := out.full["jobs/a.yaml practice#away-from-beds stacks[A].bed_distance"]
	assert.Equal(t, judge.Outside, s.kind)
	assert.False(t, s.blocking)
	assert.Equal(t, "0.2 m", s.margin[:5])
	assert.Equal(t, judge.Within, out.full["jobs/b.yaml practice#away-from-beds stacks[A].bed_distance"].kind)
	assert.Equal(t, judge.Missing, out.full["jobs/c.yaml record#recorded stacks[A].bed_distance"].kind, "a new field falls due by its own attribute")
}

// A firm adds a limit by a few lines of CUE in its own repository.
func TestLimitAddedByAFirm(t *testing.T) {
	f := gapFirm("guarded", "", oneStack("    wall_gap: 19 mm\n"))
	_, out := lint(t, f)
	for key := range out.full {
		assert.NotContains(t, key, "policy#")
	}
	f["rules/more.cue"] = ruleFile("house-rule", "policy", "guarded", "", [2]string{"gap", gap + `within: >=20`})
	_, out = lint(t, f)
	assert.Equal(t, judge.Outside, out.full["jobs/a.yaml house-rule#gap stacks[A].wall_gap"].kind)
}

// The definitions that ship give the same outcomes whether they are read from
// CUE at start-up or from their compiled form.
func TestCompiledAndLiveDefinitionsAgree(t *testing.T) {
	live, compiled := newLines(), newLines()
	_, err := Lint(context.Background(), Options{Paths: []string{"../examples"}, Schema: schema.Files, AsOf: asOf}, live)
	require.NoError(t, err)
	_, err = Lint(context.Background(), Options{Paths: []string{"../examples"}, AsOf: asOf, Shipped: once(t)}, compiled)
	require.NoError(t, err)
	assert.Equal(t, compiled.all, live.all)
	assert.NotEmpty(t, live.all)
	_, _, err = define.Decode([]byte("{"))
	assert.Error(t, err)
}
