package main

import (
	"context"
	"encoding/json"
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
)

func TestSeveralReports(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.json")
	status, out, trouble := new(trial).witnessmark(t, "lint", "--output", "text", "--output", "json:"+path)
	assert.Equal(t, 0, status)
	assert.Empty(t, trouble)
	assert.Contains(t, out, "Totals")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.True(t, json.Valid(data))
}

// A report that cannot be written is trouble, and the others are written.
func TestReportsThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	good := filepath.Join(dir, "good.json")
	for _, c := range []struct{ name, bad, want string }{
		{"no such folder", filepath.Join(dir, "no", "r"), "no such file or directory"},
		{"a folder", dir, "it is a folder"},
		{"full device", "/dev/full", "no space left on device"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := os.Stat("/dev/full"); err != nil && c.bad == "/dev/full" {
				t.Skip("there is no /dev/full here")
			}
			require.NoError(t, os.RemoveAll(good))
			status, out, trouble := new(trial).witnessmark(t, "lint", "--output", "text:"+c.bad, "--output", "json:"+good)
			assert.Equal(t, 2, status)
			assert.Empty(t, out)
			assert.Equal(t, "witnessmark: write "+c.bad+": "+c.want+"\n", trouble)
			assert.FileExists(t, good)
		})
	}
}

func TestFailedSink(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.json")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o666))
	x := &trial{failing: map[int]error{0: &os.PathError{Op: "write", Path: "tmp", Err: syscall.ENOSPC}}}
	status, _, trouble := x.witnessmark(t, "lint", "--output", "json:"+path)
	assert.Equal(t, 2, status)
	assert.Equal(t, "witnessmark: write "+path+": no space left on device\n", trouble)
	data, _ := os.ReadFile(path)
	assert.Equal(t, "old", string(data), "a report that is not whole replaces nothing")
}

func TestReaderThatWentAway(t *testing.T) {
	x := &trial{failing: map[int]error{0: &os.PathError{Op: "write", Path: "/dev/stdout", Err: syscall.EPIPE}}}
	status, _, trouble := x.witnessmark(t, "lint")
	assert.Equal(t, 0, status)
	assert.Empty(t, trouble)
}

func TestBrokenOff(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var trouble strings.Builder
	status := run(ctx, []string{"witnessmark", "lint"}, surroundings{stdout: &strings.Builder{}, stderr: &trouble,
		env: os.Getenv, now: time.Now, folder: os.Getwd,
		lint: func(ctx context.Context, _ checks.Options, _ ...checks.Sink) (*checks.Run, error) {
			return nil, ctx.Err()
		}})
	assert.Equal(t, 2, status)
	assert.Contains(t, trouble.String(), "broken off")
}

func TestColour(t *testing.T) {
	for _, c := range []struct {
		name     string
		option   string
		env      map[string]string
		terminal bool
		want     bool
	}{
		{"pipe", "auto", nil, false, false},
		{"terminal", "auto", nil, true, true},
		{"dumb terminal", "auto", map[string]string{"TERM": "dumb"}, true, false},
		{"NO_COLOR", "auto", map[string]string{"NO_COLOR": "1"}, true, false},
		{"NO_COLOR empty", "auto", map[string]string{"NO_COLOR": ""}, true, true},
		{"NO_COLOR beats FORCE_COLOR", "auto", map[string]string{"NO_COLOR": "1", "FORCE_COLOR": "1"}, true, false},
		{"FORCE_COLOR", "auto", map[string]string{"FORCE_COLOR": "1", "TERM": "dumb"}, false, true},
		{"CLICOLOR_FORCE", "auto", map[string]string{"CLICOLOR_FORCE": "1"}, false, true},
		{"CLICOLOR_FORCE 0", "auto", map[string]string{"CLICOLOR_FORCE": "0"}, false, false},
		{"CLICOLOR 0", "auto", map[string]string{"CLICOLOR": "0"}, true, false},
		{"force beats CLICOLOR 0", "auto", map[string]string{"CLICOLOR": "0", "CLICOLOR_FORCE": "1"}, false, true},
		{"always beats NO_COLOR", "always", map[string]string{"NO_COLOR": "1"}, false, true},
		{"never beats FORCE_COLOR", "never", map[string]string{"FORCE_COLOR": "1"}, true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, out, _ := (&trial{env: c.env, terminal: c.terminal}).witnessmark(t, "lint", "--color", c.option, "--paths", "root")
			assert.Equal(t, c.want, strings.Contains(out, "\x1b["))
		})
	}
	path := filepath.Join(t.TempDir(), "r.txt")
	_, _, _ = (&trial{env: map[string]string{"FORCE_COLOR": "1"}, terminal: true}).witnessmark(t, "lint", "--output", "text:"+path)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.NotContains(t, string(data), "\x1b", "a file is coloured only when the option asks for it")
}

func TestPaths(t *testing.T) {
	root := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(root, "jobs", "old"), 0o777))
	require.NoError(t, os.WriteFile(filepath.Join(root, "witnessmark.cue"), nil, 0o666))
	for _, c := range []struct {
		name, folder string
		args         []string
		terminal     bool
		want         string
	}{
		{"pipe", "jobs/old", nil, false, "jobs/a.yaml: "},
		{"terminal at the root", "", nil, true, "jobs/a.yaml: "},
		{"terminal below it", "jobs/old", nil, true, "../a.yaml: "},
		{"asked for", "jobs", []string{"--paths", "working-directory"}, false, "a.yaml: "},
		{"root asked for", "jobs", []string{"--paths", "root"}, true, "jobs/a.yaml: "},
		{"path elsewhere", "jobs/old", []string{"..", "--paths", "working-directory"}, false, "../a.yaml: "},
		{"root given", "jobs", []string{"--root", "..", "--paths", "working-directory"}, false, "a.yaml: "},
		{"root given from above it", "..", []string{"--root", filepath.Base(root), "--paths", "working-directory"}, false, filepath.Base(root) + "/jobs/a.yaml: "},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := &trial{folder: filepath.Join(root, filepath.FromSlash(c.folder)), terminal: c.terminal}
			_, out, trouble := x.witnessmark(t, append([]string{"lint", "--color", "never"}, c.args...)...)
			assert.True(t, strings.HasPrefix(out, c.want), out+trouble)
		})
	}
	x := &trial{folder: filepath.Join(root, "jobs"), terminal: true, run: &checks.Run{Problems: []checks.Problem{{File: "schema/rules/x.cue", Message: "m"}, {File: "rules/y.cue", Message: "m"}}}}
	_, out, _ := x.witnessmark(t, "lint", "--color", "never")
	assert.Contains(t, out, "\nschema/rules/x.cue: problem", "what ships with the tool lies in no folder of the user's")
	assert.Contains(t, out, "\n../rules/y.cue: problem")
}

// The binary itself: a reader that stops early is no crash, and a report in a
// file is written all the same.
func TestBrokenPipe(t *testing.T) {
	program, err := os.Executable()
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.yaml"), []byte("job: 1\nstage: surveyed\n"), 0o666))
	link := filepath.Join(dir, "witnessmark") // the test binary is the command under this name
	require.NoError(t, os.Symlink(program, link))
	reader, writer, err := os.Pipe()
	require.NoError(t, err)
	require.NoError(t, reader.Close())
	var trouble strings.Builder
	cmd := exec.Command(link, "lint", "--output", "text", "--output", "json:r.json")
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, writer, &trouble
	err = cmd.Run()
	require.NoError(t, writer.Close())
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit)
	assert.Equal(t, 2, exit.ExitCode(), "nothing was checked in this job; the pipe adds nothing")
	assert.NotContains(t, trouble.String(), "write")
	assert.NotContains(t, trouble.String(), "goroutine")
	assert.FileExists(t, filepath.Join(dir, "r.json"))
}

func TestThresholdWordsAreDocumented(t *testing.T) {
	for _, w := range thresholdWords() {
		assert.Contains(t, lintHelp(), "   "+w+" ")
	}
	all, err := parseThreshold(defaultThreshold)
	require.NoError(t, err)
	assert.Len(t, all, 4)
	assert.False(t, threshold(nil).reached(&checks.Counts{}))
}
