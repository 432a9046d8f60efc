package main

import (
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobgen"
)

// generated writes a generated firm into a repository of its own, with one commit.
func generated(t testing.TB, jobs int) (dir string, paths []string) {
	t.Helper()
	dir = t.TempDir()
	require.NoError(t, jobgen.Write(jobgen.Firm(jobs, 20261125), func(name string, data []byte) error {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if filepath.Ext(path) == ".yaml" {
			paths = append(paths, path)
		}
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		return os.WriteFile(path, data, 0o644)
	}))
	committed(t, dir)
	return dir, paths
}

// committed makes a folder a repository with one commit.
func committed(t testing.TB, dir string) {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("git is not installed")
	}
	t.Setenv("GIT_CONFIG_GLOBAL", os.DevNull)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	for _, args := range [][]string{{"init", "-q", "-b", "main"}, {"add", "."}, {"-c", "user.name=Author", "-c", "user.email=author@firm.example", "commit", "-q", "-m", "the firm"}} {
		c := exec.Command("git", args...)
		c.Dir = dir
		out, err := c.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
}

// lintOnce runs the command with what ships with the tool read before.
func lintOnce(t testing.TB, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, trouble strings.Builder
	status = run(context.Background(), append([]string{"witnessmark", "lint", "--as-of", "2026-11-25"}, args...), surroundings{stdout: &out, stderr: &trouble,
		env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, version: "test", shipped: shipped(t), lint: checks.Lint})
	return status, out.String(), trouble.String()
}

// Whatever is in the jobs: beside themselves all is known, and the exit status is that
// of a run without findings; and lines that are moved make nothing new.
func TestSinceOfGeneratedJobs(t *testing.T) {
	dir, paths := generated(t, 60)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "note"), nil, 0o644))
	for range 2 {
		want, _, _ := lintOnce(t, "--fail-on", "none", dir)
		status, out, trouble := lintOnce(t, "--since", "HEAD", dir)
		assert.Equal(t, want, status, trouble)
		assert.Contains(t, out, "\n  findings    0 new, ")
		assert.NotContains(t, out, " 0 known, 0 fixed, one for each", "there are findings to compare")
		assert.NotContains(t, out, "gone without")
		for _, path := range paths { // now with lines more, of which nothing depends
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(path, append([]byte("# a note\n\n"), data...), 0o644))
		}
	}
}

// BenchmarkSince compares a run with --since with one without, over a thousand jobs of
// which one is new. The two take turns; the middle one of the ratios is reported.
func BenchmarkSince(b *testing.B) {
	dir, paths := generated(b, 1000)
	data, err := os.ReadFile(paths[0])
	require.NoError(b, err)
	require.NoError(b, os.WriteFile(filepath.Join(filepath.Dir(paths[0]), "added.yaml"), data, 0o644))
	timed := func(args ...string) time.Duration {
		start := time.Now()
		run(context.Background(), append([]string{"witnessmark", "lint", "--as-of", "2026-11-25", dir}, args...), surroundings{stdout: io.Discard, stderr: io.Discard,
			env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, version: "test", lint: checks.Lint})
		return time.Since(start)
	}
	var ratios []float64
	var once, since time.Duration
	for b.Loop() {
		once, since = timed(), timed("--since", "HEAD")
		ratios = append(ratios, float64(since)/float64(once))
	}
	slices.Sort(ratios)
	b.ReportMetric(ratios[len(ratios)/2], "×lint")
	b.ReportMetric(float64(once.Milliseconds()), "lint-ms")
	b.ReportMetric(float64(since.Milliseconds()), "since-ms")
}
