package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// TestMain makes the command available to scripts, and collects garbage as rarely as it does.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	testscript.Main(m, map[string]func(){"witnessmark": main})
}

// TestScripts runs the end-to-end scripts. With UPDATE_SCRIPTS set, expected
// outputs that differ are written anew.
func TestScripts(t *testing.T) {
	const dir = "../../testdata/script"
	found, err := filepath.Glob(filepath.Join(dir, "*.txtar"))
	require.NoError(t, err)
	require.Greater(t, len(found), 50)
	var files []string
	for i, name := range found {
		if !raced || i%5 == 0 { // one in five, see raced
			files = append(files, name)
		}
	}
	testscript.Run(t, testscript.Params{Files: files, UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "", RequireExplicitExec: true, Setup: withoutRaceSleep})
}

// withoutRaceSleep keeps a command that is built with the race detector from
// sleeping for a second before it ends, as the detector would have it wait for
// goroutines that are still busy. Races are found and reported all the same.
func withoutRaceSleep(env *testscript.Env) error {
	env.Setenv("GORACE", strings.TrimSpace(os.Getenv("GORACE")+" atexit_sleep_ms=0"))
	return nil
}

// trial is one run of the program with a stand-in for the engine.
type trial struct {
	env      map[string]string
	terminal bool
	folder   string
	built    string
	run      *checks.Run
	err      error
	failing  map[int]error // sinks that fail, by place

	asked checks.Options // what the engine was asked for
	sinks int
}

// witnessmark runs the program and returns its exit status and outputs.
func (x *trial) witnessmark(t *testing.T, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	if x.run == nil {
		x.run = &checks.Run{}
		x.run.Counts.Judged = 1
	}
	var out, trouble bytes.Buffer
	status = run(context.Background(), append([]string{"witnessmark"}, args...), surroundings{
		stdout: &out, stderr: &trouble, terminal: x.terminal, version: "1.2.3", built: x.built,
		env:    func(name string) string { return x.env[name] },
		now:    func() time.Time { return time.Date(2026, 3, 11, 20, 0, 0, 0, time.FixedZone("", 3600)) },
		folder: func() (string, error) { return x.folder, nil },
		lint: func(_ context.Context, o checks.Options, sinks ...checks.Sink) (*checks.Run, error) {
			x.asked, x.sinks = o, len(sinks)
			if x.err != nil {
				return nil, x.err
			}
			x.run.AsOf = o.AsOf
			for i, s := range sinks {
				require.NoError(t, s.Begin(x.run))
				require.NoError(t, s.Job(s.Render(nil, &checks.Job{File: "jobs/a.yaml"})))
				err := s.End(x.run)
				if x.failing[i] != nil {
					err = x.failing[i]
				}
				if err != nil {
					x.run.Failed = append(x.run.Failed, checks.SinkError{Sink: i, Err: err})
				}
			}
			return x.run, nil
		},
	})
	return status, out.String(), trouble.String()
}

func TestVersionAndHelp(t *testing.T) {
	status, out, trouble := new(trial).witnessmark(t, "--version")
	assert.Equal(t, 0, status)
	assert.Equal(t, "witnessmark 1.2.3\n", out)
	assert.Empty(t, trouble)
	for _, args := range [][]string{{"--help"}, {"-h"}, {"lint", "--help"}, {"lint", "jobs", "-h"}} {
		status, out, trouble := new(trial).witnessmark(t, args...)
		assert.Equal(t, 0, status)
		assert.Contains(t, out, "Exit status: 0")
		assert.Empty(t, trouble)
	}
	_, out, _ = new(trial).witnessmark(t, "lint", "-h")
	for _, want := range []string{"--output", "--fail-on", "--outcomes", "--quiet", "--summary", "--width", "--as-of", "--since", "--root", "--paths", "--color", "--workers", "not_checked-advisory", "json", "NO_COLOR"} {
		assert.Contains(t, out, want)
	}
}

func TestUsageErrors(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "witnessmark: name a command; \"witnessmark --help\" lists them\n"},
		{[]string{"lnt"}, "witnessmark: there is no command \"lnt\"; did you mean \"lint\"?\n"},
		{[]string{"--vresion"}, "witnessmark: there is no option --vresion here; did you mean \"--version\"?\n"},
		{[]string{"lint", "--colour=never"}, "witnessmark: there is no option --colour here; did you mean \"--color\"?\n"},
		{[]string{"lint", "jobs", "--fail_on", "none"}, "did you mean \"--fail-on\"?"},
		{[]string{"lint", "--output"}, "option --output needs a value"},
		{[]string{"lint", "--output", "sarfi"}, `--output: there is no output format "sarfi"`},
		{[]string{"lint", "--output", "text", "--output", "json"}, "only one report can go to standard output"},
		{[]string{"lint", "--fail-on", "outsid"}, `--fail-on: "outsid" is not known; did you mean "outside"?`},
		{[]string{"lint", "--fail-on", "none,missing"}, `"none" stands alone`},
		{[]string{"lint", "--as-of", "11.3.2026"}, "is neither a date such as"},
		{[]string{"lint", "--as-of", "2026-02-30"}, "is neither a date such as"},
		{[]string{"lint", "--workers", "0"}, "is no whole number above 0"},
		{[]string{"lint", "--workers", "many"}, "is no whole number above 0"},
		{[]string{"lint", "--color", "yes"}, `--color: "yes" is not known; `},
		{[]string{"lint", "--paths", "rot"}, `--paths: "rot" is not known; did you mean "root"?`},
		{[]string{"lint", "--outcomes", "al"}, `did you mean "all"?`},
		{[]string{"lint", "--\x1b[31m"}, `there is no option --\u001b[31m here`},
	} {
		x := new(trial)
		status, out, trouble := x.witnessmark(t, c.args...)
		assert.Equal(t, 2, status, c.args)
		assert.Contains(t, trouble, c.want, c.args)
		assert.Equal(t, 1, strings.Count(trouble, "\n"), "one line: %q", trouble)
		assert.Empty(t, out, c.args)
		assert.Zero(t, x.sinks, "the engine was not asked")
	}
}

func TestOptionsAnywhere(t *testing.T) {
	for _, args := range [][]string{
		{"lint", "--workers", "3", "--root=r", "jobs/a,b.yaml", "jobs/c"},
		{"lint", "jobs/a,b.yaml", "--workers", "3", "jobs/c", "--root", "r"},
		{"lint", "jobs/a,b.yaml", "-workers=3", "--root", "r", "--", "jobs/c"},
	} {
		x := new(trial)
		status, _, trouble := x.witnessmark(t, args...)
		assert.Equal(t, 0, status, trouble)
		assert.Equal(t, []string{"jobs/a,b.yaml", "jobs/c"}, x.asked.Paths)
		assert.Equal(t, 3, x.asked.Workers)
		assert.Equal(t, "r", x.asked.Root)
		assert.Equal(t, "1.2.3", x.asked.Version)
	}
	x := new(trial)
	_, _, _ = x.witnessmark(t, "lint", "--", "--root", "help", "lint")
	assert.Equal(t, []string{"--root", "help", "lint"}, x.asked.Paths)
	assert.Empty(t, x.asked.Root)
	x = new(trial)
	_, _, _ = x.witnessmark(t, "lint", "help")
	assert.Equal(t, []string{"help"}, x.asked.Paths, "a path may have the name of a command")
}

func TestAsOf(t *testing.T) {
	day, _ := fact.ParseDay("2026-03-12")
	for _, c := range []struct {
		args []string
		want string
		day  fact.Day
	}{
		{nil, "2026-03-11T19:00:00Z", fact.NoDay},
		{[]string{"--as-of", "2026-03-12"}, "2026-03-12", day},
		{[]string{"--as-of", "2026-03-12T01:00:00+05:00"}, "2026-03-11T20:00:00Z", fact.NoDay},
	} {
		x := new(trial)
		_, _, _ = x.witnessmark(t, append([]string{"lint"}, c.args...)...)
		assert.Equal(t, c.want, x.asked.AsOf.String())
		assert.Equal(t, c.day, x.asked.AsOf.Date)
	}
}

// counted is a run with some outcomes; blocking ones are counted twice.
func counted(kinds, blocking map[judge.Kind]int) *checks.Run {
	r := &checks.Run{}
	r.Counts = checks.Counts{ByKind: kinds, Blocking: blocking, Judged: 10}
	return r
}

func TestExitStatus(t *testing.T) {
	advisory := func(k judge.Kind) *checks.Run { return counted(map[judge.Kind]int{k: 1}, nil) }
	blocking := func(k judge.Kind) *checks.Run { return counted(map[judge.Kind]int{k: 1}, map[judge.Kind]int{k: 1}) }
	for _, c := range []struct {
		name   string
		run    *checks.Run
		failOn string
		want   int
	}{
		{"within", advisory(judge.Within), "", 0},
		{"outside, advisory", advisory(judge.Outside), "", 1},
		{"outside, advisory, relaxed", advisory(judge.Outside), "outside-blocking", 0},
		{"outside, blocking, relaxed", blocking(judge.Outside), "missing, outside-blocking", 1},
		{"too close", blocking(judge.TooClose), "", 1},
		{"missing", blocking(judge.Missing), "", 1},
		{"not checked, advisory", advisory(judge.NotChecked), "", 0},
		{"not checked, blocking", blocking(judge.NotChecked), "", 1},
		{"not checked, advisory, strict", advisory(judge.NotChecked), "not_checked-advisory", 1},
		{"not due", advisory(judge.NotDue), "", 0},
		{"not due, strict", advisory(judge.NotDue), "not_due", 1},
		{"accepted", blocking(judge.Accepted), "", 0},
		{"none", blocking(judge.Outside), "none", 0},
		{"problem beats findings", func() *checks.Run {
			r := blocking(judge.Outside)
			r.Problems = []checks.Problem{{File: "jobs/a.yaml", Message: "x"}}
			return r
		}(), "none", 2},
		{"unread file", func() *checks.Run { r := advisory(judge.Within); r.Counts.Unread = 1; return r }(), "none", 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			args := []string{"lint"}
			if c.failOn != "" {
				args = append(args, "--fail-on", c.failOn)
			}
			status, _, trouble := (&trial{run: c.run}).witnessmark(t, args...)
			assert.Equal(t, c.want, status)
			assert.Empty(t, trouble)
		})
	}
}

func TestNothingChecked(t *testing.T) {
	status, out, trouble := (&trial{run: &checks.Run{}}).witnessmark(t, "lint", "--fail-on", "none")
	assert.Equal(t, 2, status)
	assert.Equal(t, "witnessmark: nothing was checked: no value was compared with a limit\n", trouble)
	assert.Contains(t, out, "Totals")
}

func TestRunThatCannotStart(t *testing.T) {
	dir := t.TempDir()
	status, out, trouble := (&trial{err: errors.New("no\x1b[2J such folder")}).witnessmark(t, "lint", "--output", "json:"+filepath.Join(dir, "r.json"))
	assert.Equal(t, 2, status)
	assert.Empty(t, out)
	assert.Equal(t, "witnessmark: no\\u001b[2J such folder\n", trouble)
	entries, _ := os.ReadDir(dir)
	assert.Empty(t, entries, "no half a report stays behind")
}
