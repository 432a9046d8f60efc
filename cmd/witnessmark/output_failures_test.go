package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/report"
)

// full is a writer that takes some bytes and then has no room.
type full struct {
	room  int
	taken bytes.Buffer
}

func (f *full) Write(b []byte) (int, error) {
	n, _ := f.taken.Write(b[:min(len(b), f.room)])
	if f.room -= n; n < len(b) {
		return n, &os.PathError{Op: "write", Path: "a.tmp", Err: syscall.ENOSPC}
	}
	return n, nil
}

// smallFirm is a firm of a few jobs and no product, which is read in no time, for runs
// that end early.
func smallFirm(t testing.TB) string {
	t.Helper()
	files := map[string]string{
		"witnessmark.cue": "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {name: \"Test co-operative\"}\n",
		"rules/policy.cue": "package rules\n\nimport \"witnessmark.example/schema/limit\"\n\n#policy: limit.#RuleSet & {\n" +
			"source: {name: \"policy\", title: \"How we work\", edition: \"1\", kind: \"policy\", decision: \"guarded\", always: true, decided_by: \"The firm.\"}\n" +
			"limits: \"wall-gap\": {measure: \"stacks.wall_gap\", within: <=25, unit: \"mm\", clause: \"1\", grade: \"document\", reviewed: \"2026-01-01\", review_by: \"2027-01-01\", why: \"Because.\"}\n}\n",
	}
	for _, name := range []string{"a", "b", "c"} {
		files["jobs/"+name+".yaml"] = "job: " + name + "\npremises: {id: " + name + ", occupancy: farm, region: vale}\nstage: surveyed\ndates: {surveyed: 2026-01-20}\nstacks:\n  - {id: A, wall_gap: 30 mm, wall: {material: concrete}}\n"
	}
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	}
	return dir
}

// into lints a repository with the real engine.
func into(t testing.TB, ctx context.Context, stdout io.Writer, engine func(context.Context, checks.Options, ...checks.Sink) (*checks.Run, error), args ...string) (status int, trouble string) {
	t.Helper()
	var out bytes.Buffer
	status = run(ctx, append([]string{"witnessmark", "lint", "--as-of", "2026-11-25"}, args...), surroundings{stdout: stdout, stderr: &out, version: "test",
		env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: engine, shipped: shipped(t)})
	return status, out.String()
}

// filesIn lists what is in a folder.
func filesIn(t testing.TB, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// Wherever the room ends (before the first byte, in the middle, at the last one), every
// format says so in one plain line, and the report beside it is whole.
func TestRoomEndsAnywhere(t *testing.T) {
	notRaced(t)
	dir := smallFirm(t)
	for _, f := range report.Formats() {
		whole := &full{room: 1 << 40}
		status, trouble := into(t, context.Background(), whole, checks.Lint, "--output", f.Name, dir)
		require.Equal(t, 1, status, trouble)
		size := whole.taken.Len()
		beside := filepath.Join(t.TempDir(), "beside.json")
		status, _ = into(t, context.Background(), io.Discard, checks.Lint, "--output", "json:"+beside, dir)
		require.Equal(t, 1, status)
		want, err := os.ReadFile(beside)
		require.NoError(t, err)
		for _, room := range []int{0, 1, size / 3, size / 2, size - 1} {
			require.NoError(t, os.Remove(beside))
			status, trouble := into(t, context.Background(), &full{room: room}, checks.Lint, "--output", f.Name, "--output", "json:"+beside, dir)
			assert.Equal(t, 2, status, "%s with room for %d of %d bytes", f.Name, room, size)
			assert.Equal(t, "witnessmark: write standard output: no space left on device\n", trouble)
			got, err := os.ReadFile(beside)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(want, got), "the report beside it is whole")
			assert.Equal(t, []string{"beside.json"}, filesIn(t, filepath.Dir(beside)))
		}
		status, trouble = into(t, context.Background(), &full{room: size}, checks.Lint, "--output", f.Name, dir)
		assert.Equal(t, 1, status, trouble)
	}
}

// What cannot be written, and what keeps it from being written, is said in one line for
// each report, in every format. Nothing that stood there is touched, and nothing stays.
func TestPathsThatCannotBeWritten(t *testing.T) {
	notRaced(t)
	repo := smallFirm(t)
	for _, f := range report.Formats() {
		dir := t.TempDir()
		for name, text := range map[string]string{"file": "old", "good": "old"} {
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
		}
		require.NoError(t, os.Mkdir(filepath.Join(dir, "folder"), 0o777))
		require.NoError(t, os.Mkdir(filepath.Join(dir, "locked"), 0o555))
		cases := map[string]string{"none/r": "no such file or directory", "file/r": "not a directory", "folder": "it is a folder", "locked/r": "permission denied"}
		if os.Getuid() == 0 {
			delete(cases, "locked/r") // nothing is locked for the superuser
		}
		args := []string{"--output", f.Name + ":" + filepath.Join(dir, "good")}
		for path := range cases {
			args = append(args, "--output", f.Name+":"+filepath.Join(dir, path))
		}
		status, trouble := into(t, context.Background(), io.Discard, checks.Lint, append(args, repo)...)
		assert.Equal(t, 2, status)
		for path, says := range cases {
			assert.Equal(t, 1, strings.Count(trouble, "witnessmark: write "+filepath.Join(dir, path)+": "+says+"\n"), trouble)
		}
		assert.Equal(t, len(cases), strings.Count(trouble, "\n"), trouble)
		assert.NotContains(t, trouble, ".tmp")
		old, err := os.ReadFile(filepath.Join(dir, "file"))
		require.NoError(t, err)
		assert.Equal(t, "old", string(old))
		good, err := os.ReadFile(filepath.Join(dir, "good"))
		require.NoError(t, err)
		assert.Greater(t, len(good), 100, "what can be written is")
		assert.Equal(t, []string{"file", "folder", "good", "locked"}, filesIn(t, dir))
		assert.Empty(t, filesIn(t, filepath.Join(dir, "folder")))
	}
}

// A report that cannot be put in place at the end leaves nothing either.
func TestCannotBePutInPlace(t *testing.T) {
	notRaced(t)
	repo := smallFirm(t)
	for _, f := range report.Formats() {
		dir := t.TempDir()
		path := filepath.Join(dir, "r")
		status, trouble := into(t, context.Background(), io.Discard, func(ctx context.Context, o checks.Options, sinks ...checks.Sink) (*checks.Run, error) {
			require.Len(t, filesIn(t, dir), 1, "it is being written beside the path")
			require.NoError(t, os.Mkdir(path, 0o777))
			return checks.Lint(ctx, o, sinks...)
		}, "--output", f.Name+":"+path, repo)
		assert.Equal(t, 2, status)
		assert.Equal(t, 1, strings.Count(trouble, "\n"), trouble)
		assert.True(t, strings.HasPrefix(trouble, "witnessmark: write "+path+": "), trouble)
		assert.NotContains(t, trouble, ".tmp")
		assert.Equal(t, []string{"r"}, filesIn(t, dir))
	}
}

// A run that is broken off after some jobs leaves what stood there and nothing else.
func TestBrokenOffInTheMiddle(t *testing.T) {
	repo, dir := smallFirm(t), t.TempDir()
	args := []string{repo}
	for _, f := range report.Formats() {
		require.NoError(t, os.WriteFile(filepath.Join(dir, f.Name), []byte("old"), 0o666))
		args = append(args, "--output", f.Name+":"+filepath.Join(dir, f.Name), "--workers", "1")
	}
	ctx, cancel := context.WithCancel(context.Background())
	status, trouble := into(t, ctx, io.Discard, func(ctx context.Context, o checks.Options, sinks ...checks.Sink) (*checks.Run, error) {
		for _, s := range sinks { // what a sink may have handed on by then
			_ = s.Begin(&checks.Run{})
			_ = s.Job(bytes.Repeat([]byte(" "), 1<<17))
		}
		cancel()
		return nil, ctx.Err()
	}, args...)
	assert.Equal(t, 2, status)
	assert.Equal(t, "witnessmark: the run was broken off before it was complete; no report was written\n", trouble)
	assert.Len(t, filesIn(t, dir), len(report.Formats()))
	for _, name := range filesIn(t, dir) {
		data, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		assert.Equal(t, "old", string(data), name)
	}
}

// command is the program itself: the test binary under its name.
func command(t testing.TB, ctx context.Context, shell string) *exec.Cmd {
	t.Helper()
	program, err := os.Executable()
	require.NoError(t, err)
	link := filepath.Join(t.TempDir(), "witnessmark")
	require.NoError(t, os.Symlink(program, link))
	return exec.CommandContext(ctx, "sh", "-c", strings.ReplaceAll(shell, "witnessmark", link))
}

// The program itself, where a file may not grow beyond some blocks, as on a disk that
// fills up while the report is written.
func TestDiskFillsUp(t *testing.T) {
	repo, dir := smallFirm(t), t.TempDir()
	path := filepath.Join(dir, "r.json")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o666))
	out, err := command(t, t.Context(), "trap '' XFSZ; ulimit -f 16; exec witnessmark lint --as-of 2026-11-25 --output json:"+path+" "+repo+" 2>&1").Output()
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit)
	assert.Equal(t, 2, exit.ExitCode())
	assert.Equal(t, "witnessmark: write "+path+": file too large\n", string(out))
	old, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(old))
	assert.Equal(t, []string{"r.json"}, filesIn(t, dir))
}

// The program itself, interrupted while it writes.
func TestInterrupted(t *testing.T) {
	files := map[string]string{}
	data, err := os.ReadFile("../../examples/jobs/2026-019.yaml")
	require.NoError(t, err)
	for i := range 1500 {
		files[fmt.Sprintf("jobs/%04d.yaml", i)] = string(data)
	}
	repo, dir := repository(t, files), t.TempDir()
	path := filepath.Join(dir, "r.json")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o666))
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		cmd := command(t, t.Context(), "exec witnessmark lint --workers 1 --output json:"+path+" "+repo)
		var trouble bytes.Buffer
		cmd.Stderr = &trouble
		require.NoError(t, cmd.Start())
		require.Eventually(t, func() bool { return len(filesIn(t, dir)) == 2 }, 30*time.Second, time.Millisecond, "it is being written beside the path")
		require.NoError(t, cmd.Process.Signal(signal))
		var exit *exec.ExitError
		require.ErrorAs(t, cmd.Wait(), &exit)
		assert.Equal(t, 2, exit.ExitCode())
		assert.Equal(t, "witnessmark: the run was broken off before it was complete; no report was written\n", trouble.String())
		assert.Equal(t, []string{"r.json"}, filesIn(t, dir))
	}
	old, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(old))
}

// The other commands write their reports in the same way, and complain of each in a
// line of its own.
func TestOtherReportsThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	a, b, good := filepath.Join(dir, "a", "r"), filepath.Join(dir, "b", "r"), filepath.Join(dir, "good")
	var trouble bytes.Buffer
	status := run(context.Background(), []string{"witnessmark", "limits", "--root", "../../examples", "--output", "json:" + a, "--output", "csv:" + good, "--output", "table:" + b},
		surroundings{stdout: io.Discard, stderr: &trouble, env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t)})
	assert.Equal(t, 2, status)
	assert.Equal(t, fmt.Sprintf("witnessmark: write %s: no such file or directory\nwitnessmark: write %s: no such file or directory\n", a, b), trouble.String())
	assert.Equal(t, []string{"good"}, filesIn(t, dir))
}

// What several errors say stands in several lines, each inert.
func TestComplain(t *testing.T) {
	var out strings.Builder
	complain(&out, errors.Join(errors.New("one"), fmt.Errorf("two: %w", errors.New("\n::error::x"))))
	complain(&out, fmt.Errorf("%w and %w", errors.New("three"), errors.New("four")))
	assert.Equal(t, "witnessmark: one\nwitnessmark: two: \\u000a:\\u003aerror:\\u003ax\nwitnessmark: three and four\n", out.String())
}
