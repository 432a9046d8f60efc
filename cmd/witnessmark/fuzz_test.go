package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/cmd/witnessmark/report"
)

// Whatever stands in a job file, both reports come out whole and inert: the JSON
// can be read, and no control character reaches the text.
func FuzzReports(f *testing.F) {
	notRaced(f)
	repo := fstest.MapFS{}
	require.NoError(f, filepath.WalkDir("../../examples", func(p string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		name := strings.TrimPrefix(filepath.ToSlash(p), "../../examples/")
		if strings.HasPrefix(name, "jobs/") {
			f.Add(string(data))
			return err
		}
		repo[name] = &fstest.MapFile{Data: data}
		return err
	}))
	f.Add("job: \"\x1b[31m::error::x\"\npremises: {id: p}\nstage: installed\nstacks: [{id: \"##[x\", equipment: a@b}]\n")
	f.Fuzz(func(t *testing.T, text string) {
		files := fstest.MapFS{"jobs/a.yaml": {Data: []byte(text)}}
		for name, file := range repo {
			files[name] = file
		}
		var plain, js bytes.Buffer
		run, err := checks.Lint(context.Background(), checks.Options{FS: files, Paths: []string{"."}, Workers: 1, Shipped: shipped(t)},
			report.NewText(&plain, report.Settings{}), report.NewJSON(&js, report.Settings{}))
		require.NoError(t, err)
		require.Empty(t, run.Failed)
		var doc map[string]any
		require.NoError(t, json.Unmarshal(js.Bytes(), &doc))
		for _, line := range strings.Split(plain.String(), "\n") {
			assert.NotContains(t, line, "\x1b")
			assert.False(t, strings.HasPrefix(strings.TrimSpace(line), "::"), line)
			assert.NotContains(t, line, "##[")
		}
	})
}

// Every example job with each of its lines taken out, and at every stage, goes
// through both reports, and no line taken out turns a finding on another value
// into nothing at all: the file is judged or a problem says why not. The ordinary
// run takes out every seventh line, beginning at another place in each file; with
// EVERY_LINE set, every one.
func TestExamplesWithALineMissing(t *testing.T) {
	notRaced(t)
	jobs, err := filepath.Glob("../../examples/jobs/*.yaml")
	require.NoError(t, err)
	base := fstest.MapFS{}
	for _, name := range []string{"witnessmark.cue", "equipment/orrelin.cue", "equipment/tessavo.cue", "rules/policy.cue", "rules/tholvane.cue"} {
		data, err := os.ReadFile("../../examples/" + name)
		require.NoError(t, err)
		base[name] = &fstest.MapFile{Data: data}
	}
	var made []string
	add := func(name, text string) {
		made = append(made, name)
		base[name] = &fstest.MapFile{Data: []byte(text)}
	}
	for _, job := range jobs {
		data, err := os.ReadFile(job)
		require.NoError(t, err)
		name, rows := strings.TrimSuffix(filepath.Base(job), ".yaml"), strings.Split(string(data), "\n")
		for _, i := range sampled(name, len(rows)) {
			add(fmt.Sprintf("jobs/%s-cut-%03d.yaml", name, i), strings.Join(slices.Delete(slices.Clone(rows), i, i+1), "\n"))
		}
		for _, stage := range fact.StageNames() {
			add("jobs/"+name+"-"+stage+".yaml", regexp.MustCompile(`(?m)^stage: .*$`).ReplaceAllString(string(data), "stage: "+stage))
		}
	}
	var plain, js bytes.Buffer
	run, err := checks.Lint(context.Background(), checks.Options{FS: base, Paths: []string{"."}, Shipped: shipped(t)},
		report.NewText(&plain, report.Settings{}), report.NewJSON(&js, report.Settings{}))
	require.NoError(t, err)
	require.Empty(t, run.Failed)
	require.True(t, json.Valid(js.Bytes()))
	assert.Equal(t, len(made), run.Counts.Jobs+run.Counts.Unread)
	for _, name := range made {
		if strings.Contains(name, "-cut-") {
			assert.True(t, strings.Contains(plain.String(), name), "%s is not in the report", name)
		}
	}
}

// sampled lists every seventh of n lines, from one that the file's name decides,
// so that the same lines are taken each time; with EVERY_LINE set, all of them.
func sampled(name string, n int) (lines []int) {
	step, from := 7, int(crc32.ChecksumIEEE([]byte(name))%7)
	if os.Getenv("EVERY_LINE") != "" {
		step, from = 1, 0
	}
	for i := min(from, n-1); i < n; i += step {
		lines = append(lines, i)
	}
	return lines
}
