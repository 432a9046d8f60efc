package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// progressWords stand in the line that shows how far a run is.
const progressWords = "reading job files"

// manyJobs is a repository of n jobs with a finding each.
func manyJobs(t *testing.T, n int) (dir string) {
	t.Helper()
	dir = t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	write("witnessmark.cue", "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {name: \"Test\"}\n")
	write("rules/policy.cue", `package rules

import "witnessmark.example/schema/limit"

#policy: limit.#RuleSet & {
	source: {name: "policy", title: "How we work", edition: "1", kind: "policy", decision: "guarded", always: true, decided_by: "The firm."}
	limits: "wall-gap": {measure: "stacks.wall_gap", within: <=40, unit: "mm", clause: "1", grade: "document", reviewed: "2026-01-01", review_by: "2027-01-01", why: "Because."}
}
`)
	for i := range n {
		write(fmt.Sprintf("jobs/%03d.yaml", i), fmt.Sprintf("job: %d\nstage: surveyed\nstacks: [{id: A, wall_gap: 44 mm}]\n", i))
	}
	return dir
}

// terminalRun is a run of the command itself in a folder, with its streams on a
// terminal, or in a file or pipe where they are given one.
type terminalRun struct {
	dir            string
	stdout, stderr io.Writer // nil for the terminal
	columns        uint16
	env            []string
}

// lint returns what came out on the terminal, byte by byte.
func (x *terminalRun) lint(t *testing.T, args ...string) string {
	t.Helper()
	program, err := os.Executable()
	require.NoError(t, err)
	link := filepath.Join(t.TempDir(), "witnessmark") // the test binary is the command under this name
	require.NoError(t, os.Symlink(program, link))
	outside, inside, err := pty.Open()
	if err != nil {
		t.Skip("there are no pseudo-terminals here: " + err.Error())
	}
	require.NoError(t, pty.Setsize(outside, &pty.Winsize{Rows: 24, Cols: x.columns}))
	shown := make(chan []byte)
	go func() {
		b, _ := io.ReadAll(outside) // ends with an error of its own once nobody has the other side open
		shown <- b
	}()
	cmd := exec.Command(link, append([]string{"lint", "--as-of", "2026-11-25"}, args...)...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = x.dir, inside, inside
	if x.stdout != nil {
		cmd.Stdout = x.stdout
	}
	if x.stderr != nil {
		cmd.Stderr = x.stderr
	}
	cmd.Env = append(append(os.Environ(), "TERM=xterm", "COLUMNS=", "NO_COLOR=1", "GORACE=atexit_sleep_ms=0"), x.env...)
	err = cmd.Run()
	require.NoError(t, inside.Close())
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit, "the jobs have findings")
	b := <-shown
	require.NoError(t, outside.Close())
	return string(b)
}

// screen is what stays on a terminal that is wide enough.
func screen(t *testing.T, out string) string {
	t.Helper()
	lines, at := []string{""}, 0
	for len(out) > 0 {
		last := &lines[len(lines)-1]
		switch {
		case out[0] == '\r':
			at, out = 0, out[1:]
		case out[0] == '\n':
			lines, out = append(lines, ""), out[1:]
		case strings.HasPrefix(out, "\x1b[2K"):
			*last, out = strings.Repeat(" ", at), out[4:]
		case strings.HasPrefix(out, "\x1b[0K"):
			*last, out = (*last)[:min(at, len(*last))], out[4:]
		default:
			require.NotEqual(t, byte('\x1b'), out[0], "a sequence that is not known: %.10q", out)
			*last, out = (*last)[:min(at, len(*last))]+out[:1]+(*last)[min(at+1, len(*last)):], out[1:]
			at++
		}
	}
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}

// Progress of a run over many files appears on a terminal and nothing of it stays
// there; what is written elsewhere is the same to the byte with and without it.
func TestProgressOnTerminal(t *testing.T) {
	dir := manyJobs(t, manyFiles+20)
	var plain, trouble bytes.Buffer
	nothing := (&terminalRun{dir: dir, stdout: &plain, stderr: &trouble}).lint(t)
	require.Empty(t, nothing)
	require.Empty(t, trouble.String())
	require.Contains(t, plain.String(), "\nTotals ")

	kept := filepath.Join(t.TempDir(), "report.txt")
	for _, c := range []struct {
		name   string
		stdout func() io.Writer
	}{
		{"into a file", func() io.Writer { f, _ := os.Create(kept); return f }},
		{"into a pipe", func() io.Writer { return &bytes.Buffer{} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			stdout := c.stdout()
			out := (&terminalRun{dir: dir, stdout: stdout, columns: 80}).lint(t)
			assert.Contains(t, out, progressWords)
			assert.Regexp(t, regexp.MustCompile(`\(\d+/220\)`), out)
			assert.Empty(t, screen(t, out))
			var got []byte
			if b, ok := stdout.(*bytes.Buffer); ok {
				got = b.Bytes()
			} else {
				got, _ = os.ReadFile(kept)
			}
			assert.True(t, plain.String() == string(got), "the report is the same")
		})
	}
	t.Run("beside the report", func(t *testing.T) {
		out := (&terminalRun{dir: dir, columns: 1000}).lint(t)
		before, after, found := strings.Cut(out, "Job 0 ")
		require.True(t, found)
		assert.Contains(t, before, progressWords)
		assert.NotContains(t, after, progressWords, "no progress once text comes out")
		assert.Equal(t, strings.TrimSuffix(plain.String(), "\n"), strings.TrimSuffix(screen(t, out), "\n"))
	})
	t.Run("beside a complaint", func(t *testing.T) {
		out := (&terminalRun{dir: dir, stdout: &bytes.Buffer{}, columns: 80}).lint(t, "--output", "json", "--output", "text:"+filepath.Join(dir, "no", "r"))
		assert.Contains(t, out, progressWords)
		assert.Equal(t, "witnessmark: write "+filepath.Join(dir, "no", "r")+": no such file or directory\n", screen(t, out))
	})
	for name, x := range map[string]*terminalRun{
		"few files":        {dir: manyJobs(t, 3), columns: 80},
		"dumb terminal":    {dir: dir, columns: 80, env: []string{"TERM=dumb"}},
		"narrow terminal":  {dir: dir, columns: 40},
		"errors elsewhere": {dir: dir, columns: 80, stderr: &trouble},
	} {
		t.Run(name, func(t *testing.T) { assert.NotContains(t, x.lint(t, "--summary"), progressWords) })
	}
	assert.Empty(t, trouble.String())
}

// A short run shows nothing; one that lasts does, until its first text, and steps
// aside for a complaint.
func TestProgressOfALongRun(t *testing.T) {
	var terminal, stdout bytes.Buffer
	clock := time.Unix(0, 0)
	around := surroundings{stdout: &stdout, stderr: &terminal, errTerminal: true, env: func(string) string { return "" }, now: func() time.Time { return clock }}
	p, around := showProgress(around)
	p.at(0, 5)
	clock = clock.Add(longRun - time.Nanosecond)
	p.at(1, 5)
	assert.Empty(t, terminal.String())
	clock = clock.Add(time.Nanosecond)
	p.at(2, 5)
	assert.Contains(t, terminal.String(), progressWords)
	assert.Contains(t, terminal.String(), "(2/5)")
	_, _ = fmt.Fprintln(around.stderr, "a complaint")
	assert.Equal(t, "a complaint\n", screen(t, terminal.String()))
	time.Sleep(progressInterval)
	p.at(3, 5)
	assert.Contains(t, screen(t, terminal.String()), "(3/5)", "it comes back")
	_, _ = fmt.Fprintln(around.stdout, "text")
	assert.Equal(t, "a complaint\n", screen(t, terminal.String()))
	size := terminal.Len()
	time.Sleep(progressInterval)
	p.at(4, 5)
	p.end()
	assert.Equal(t, size, terminal.Len(), "and does not come back once there is text")
	assert.Equal(t, "text\n", stdout.String())
}

// On a terminal text is as wide as it is, or as COLUMNS or --width has it.
func TestWidthOfTerminal(t *testing.T) {
	dir := manyJobs(t, 1)
	widest := func(out string) int {
		n := 0
		for line := range strings.Lines(strings.ReplaceAll(out, "\r", "")) {
			n = max(n, uniseg.StringWidth(strings.TrimSuffix(line, "\n")))
		}
		return n
	}
	for _, c := range []struct {
		name    string
		columns uint16
		env     []string
		args    []string
		least   int
		most    int
	}{
		{"of the terminal", 70, nil, nil, 60, 70},
		{"by COLUMNS", 70, []string{"COLUMNS=50"}, nil, 40, 50},
		{"by the option", 70, []string{"COLUMNS=50"}, []string{"--width", "90"}, 75, 90},
		{"never", 70, []string{"COLUMNS=50"}, []string{"--width=0"}, 150, 1000},
		{"COLUMNS that says nothing", 70, []string{"COLUMNS=wide"}, nil, 60, 70},
		{"terminal that does not say", 0, nil, nil, 150, 1000},
		{"hardly any, and places stay whole", 5, nil, nil, narrowest - 5, len("  defined     rules/policy.cue:7")},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := widest((&terminalRun{dir: dir, columns: c.columns, env: c.env}).lint(t, c.args...))
			assert.GreaterOrEqual(t, n, c.least)
			assert.LessOrEqual(t, n, c.most)
		})
	}
	var piped, again bytes.Buffer
	(&terminalRun{dir: dir, stdout: &piped}).lint(t)
	assert.NotContains(t, piped.String(), "Job 0 (surveyed)")
	assert.Regexp(t, "^Job 0 .surveyed.: [0-9]+ findings\r\n", (&terminalRun{dir: dir}).lint(t), "a heading of the only job as well")
	assert.Greater(t, widest(piped.String()), 150, "what is kept is not wrapped")
	(&terminalRun{dir: dir, stdout: &again, columns: 30, env: []string{"COLUMNS=30"}}).lint(t)
	assert.Equal(t, piped.String(), again.String())
	again.Reset()
	(&terminalRun{dir: dir, stdout: &again}).lint(t, "--width", "60")
	assert.LessOrEqual(t, widest(again.String()), 60, "unless it is asked for")
}
