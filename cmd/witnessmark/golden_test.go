package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// lintReal runs the program with the real engine.
func lintReal(t *testing.T, args ...string) (status int, stdout string) {
	t.Helper()
	var out, trouble bytes.Buffer
	status = run(context.Background(), append([]string{"witnessmark", "lint", "--as-of", "2026-11-25"}, args...), surroundings{
		stdout: &out, stderr: &trouble, version: "test", env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint,
	})
	require.Empty(t, trouble.String())
	return status, out.String()
}

// Two reports of the examples, in full. With UPDATE_SCRIPTS set they are written
// anew; look at every difference.
func TestGoldenReports(t *testing.T) {
	for name, args := range map[string][]string{
		"2026-019.json": {"../../examples/jobs/2026-019.yaml", "--output", "json"},
		"examples.txt":  {"../../examples"},
	} {
		t.Run(name, func(t *testing.T) {
			status, got := lintReal(t, args...)
			assert.Equal(t, 1, status)
			golden := filepath.Join("../../testdata/golden", name)
			if os.Getenv("UPDATE_SCRIPTS") != "" {
				require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			assert.True(t, string(want) == got, "%s differs; run UPDATE_SCRIPTS=1 go test ./cmd/witnessmark and look at the difference", golden)
		})
	}
}

// The same bytes come out whatever the number of workers, the time zone of the
// machine and the working folder.
func TestSameBytes(t *testing.T) {
	absolute, err := filepath.Abs("../../examples")
	require.NoError(t, err)
	zone := time.Local
	t.Cleanup(func() { time.Local = zone })
	for _, format := range []string{"json", "text"} {
		_, first := lintReal(t, "../../examples", "--output", format, "--workers", "1")
		for _, workers := range []string{"1", "2", "7", "16"} {
			for _, path := range []string{"../../examples", absolute} {
				time.Local = time.FixedZone("elsewhere", 13*3600)
				_, again := lintReal(t, path, "--output", format, "--workers", workers)
				assert.True(t, first == again, "%s with %s workers from %s", format, workers, path)
			}
		}
	}
	_, first := lintReal(t, "../../examples", "--output", "json")
	t.Chdir(absolute)
	for _, path := range []string{".", "jobs", "../examples"} {
		_, again := lintReal(t, path, "--output", "json")
		assert.True(t, first == again, "from the folder itself, as %s", path)
	}
}

// The finding that the README shows is one that the tool prints.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(readme), "```text\n")
	require.True(t, found)
	sample, _, found := strings.Cut(rest, "```")
	require.True(t, found)
	require.Greater(t, strings.Count(sample, "\n"), 8)
	golden, err := os.ReadFile("../../testdata/golden/examples.txt")
	require.NoError(t, err)
	assert.Contains(t, string(golden), sample)
}

// What the README tells a new firm to write is accepted, judged, and told what is
// still missing.
func TestReadmeRepository(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	dir := t.TempDir()
	for _, f := range []struct{ fence, mark, name string }{
		{"cue", "#firm:", "witnessmark.cue"}, {"cue", "#products:", "equipment/morvane.cue"},
		{"cue", "#policy:", "rules/policy.cue"}, {"cue", "#instruments:", "registers/all.cue"}, {"yaml", "job: 2026-014", "jobs/2026-014.yaml"},
	} {
		text := ""
		for _, block := range strings.Split(string(readme), "```"+f.fence+"\n")[1:] {
			if body, _, ok := strings.Cut(block, "```"); ok && strings.Contains(body, f.mark) {
				text = body
			}
		}
		require.NotEmpty(t, text, f.name)
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, f.name)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, f.name), []byte(text), 0o644))
	}
	status, out := lintReal(t, dir)
	assert.Equal(t, 1, status, out)
	assert.NotContains(t, out, ": problem:")
	assert.Contains(t, out, "jobs/2026-014.yaml:11:")
	assert.Contains(t, out, ": missing: ")
	assert.Contains(t, out, "by equipment/morvane@B, policy, practice, us/irc-2021, us/nec-2023")
}
