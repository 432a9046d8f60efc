package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ci is a run of the action without its host: a firm's repository, a folder for what
// is made, and the files in which the host is told things.
type ci struct {
	t              *testing.T
	script, source string
	firm, work     string
	env            map[string]string
}

func newCI(t *testing.T) *ci {
	t.Helper()
	if raced {
		t.Skip("the command is built anew here, without the race detector")
	}
	for _, program := range []string{"bash", "git", "curl"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skip("no " + program + " here")
		}
	}
	source, err := filepath.Abs("../..")
	require.NoError(t, err)
	return &ci{t: t, script: filepath.Join(source, ".github/actions/lint/run.sh"), source: source, firm: t.TempDir(), work: t.TempDir(), env: map[string]string{}}
}

// step runs one step of the action as the host would: what it prints, and its status.
func (c *ci) step(name string) (status int, log string) {
	c.t.Helper()
	told := c.t.TempDir()
	cmd := exec.Command("bash", c.script, name)
	cmd.Dir = c.firm
	cmd.Env = append(os.Environ(), "RUNNER_OS=Linux", "RUNNER_ARCH=X64", "WITNESSMARK_WORK="+c.work, "WITNESSMARK_SOURCE="+c.source,
		"GITHUB_OUTPUT="+filepath.Join(told, "output"), "GITHUB_STEP_SUMMARY="+filepath.Join(told, "summary"))
	for k, v := range c.env {
		cmd.Env = append(cmd.Env, k+"="+v)
	}
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Run(); err != nil {
		require.ErrorAs(c.t, err, new(*exec.ExitError), out.String())
	}
	for _, file := range []string{"output", "summary"} {
		text, _ := os.ReadFile(filepath.Join(told, file)) // not written is as good as empty
		c.env["told "+file] = string(text)
	}
	return cmd.ProcessState.ExitCode(), out.String()
}

// told is what the last step told the host, by name.
func (c *ci) told() map[string]string {
	out := map[string]string{}
	for line := range strings.Lines(c.env["told output"]) {
		name, value, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "=")
		out[name] = value
	}
	return out
}

func (c *ci) git(args ...string) {
	c.t.Helper()
	cmd := exec.Command("git", append([]string{"-C", c.firm, "-c", "user.name=n", "-c", "user.email=n@firm.example", "-c", "init.defaultBranch=main"}, args...)...)
	said, err := cmd.CombinedOutput()
	require.NoError(c.t, err, string(said))
}

// firmOf writes a firm with jobs of these names; the gaps are too wide but that of good.
func (c *ci) firmOf(jobs ...string) {
	files := map[string]string{
		"witnessmark.cue": "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {name: \"Test co-operative\"}\n",
		"rules/policy.cue": `package rules

import "witnessmark.example/schema/limit"

#policy: limit.#RuleSet & {
	source: {name: "policy", title: "How we work", edition: "1", kind: "policy", decision: "guarded", always: true, decided_by: "The firm."}
	limits: "wall-gap": {measure: "stacks.wall_gap", within: >=20 & <=40, unit: "mm"
		clause: "1", grade: "document", reviewed: "2026-01-01", review_by: "2027-01-01", why: "Because."}
}
`,
	}
	for _, name := range jobs {
		gap := 50
		if name == "good" {
			gap = 30
		}
		files["jobs/"+name+".yaml"] = fmt.Sprintf("job: %s\npremises: {id: barn-%[1]s, occupancy: farm, region: vale}\nstage: surveyed\ndates: {surveyed: 2026-01-20}\nstacks:\n  - {id: A, wall_gap: %d mm, wall: {material: concrete}}\n", name, gap)
	}
	for name, text := range files {
		file := filepath.Join(c.firm, name)
		require.NoError(c.t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(c.t, os.WriteFile(file, []byte(text), 0o644))
	}
}

// commit makes a repository of the firm.
func (c *ci) commit() {
	c.git("init", "-q")
	c.git("add", "-A")
	c.git("commit", "-q", "-m", "first")
}

// commands are the lines of a log that the host obeys: none while it is told to stop.
func commands(log string) (out []string) {
	until := ""
	for line := range strings.Lines(log) {
		line = strings.TrimSpace(line)
		if until != "" {
			if line == "::"+until+"::" {
				until = ""
			}
			continue
		}
		if word, ok := strings.CutPrefix(line, "::stop-commands::"); ok {
			until = word
			continue
		}
		if strings.HasPrefix(line, "::") || strings.Contains(line, "##[") {
			out = append(out, line)
		}
	}
	return out
}

// The steps of the action on a real repository, from the build to the verdict.
func TestActionRuns(t *testing.T) {
	c := newCI(t)
	c.firmOf("good", "gap", "other")
	hostile := filepath.Join(c.firm, "jobs", "::error file=x::pwned ##[error].yaml")
	require.NoError(t, os.WriteFile(hostile, []byte("job: \"::error::said\"\nstages: \"##[error]x\"\n"), 0o644))
	c.commit()

	status, log := c.step("get")
	require.Zero(t, status, log)
	assert.Contains(t, log, "witnessmark development\n")

	c.env["WITNESSMARK_AS_OF"], c.env["WITNESSMARK_OUTCOMES"] = "2026-11-25", "findings"
	status, log = c.step("lint")
	require.Zero(t, status, "lint writes everything and leaves failing to the verdict: %s", log)
	told := c.told()
	assert.Equal(t, "2", told["status"], "a file could not be read")
	assert.Contains(t, log, "pwned")
	reports := reportsOfAction(t, c.script)
	lists := suggested(t, "lint", "--output", "")
	for format, file := range reports {
		data, err := os.ReadFile(filepath.Join(told["reports"], file))
		if !strings.Contains(lists, "\n"+format+"\t") {
			assert.Contains(t, log, "witnessmark: this version does not write "+format+"\n")
			assert.Error(t, err)
			continue
		}
		require.NoError(t, err, format)
		assert.NotEmpty(t, data, format)
		switch format {
		case "text":
			assert.Contains(t, log, string(data))
		case "summary":
			assert.Equal(t, string(data), c.env["told summary"])
		case "sarif", "junit", "code-quality":
			assert.Equal(t, filepath.Join(told["reports"], file), told[format])
		}
	}
	for _, obeyed := range commands(log) {
		assert.Regexp(t, `^::(error|warning|notice) (file|title)=`, obeyed)
		assert.NotContains(t, obeyed, "::error file=x::", "what a file is called is no command")
		assert.Contains(t, lists, "\nannotations\t")
	}
	assert.NotEqual(t, stopWord(t, log), func() string { _, again := c.step("lint"); return stopWord(t, again) }(), "nobody can guess it")

	require.NoError(t, os.Remove(hostile))
	c.env["WITNESSMARK_PATHS"] = "jobs/good.yaml"
	_, log = c.step("lint")
	assert.Equal(t, "0", c.told()["status"], log)
	c.env["WITNESSMARK_PATHS"] = "jobs/good.yaml\n\njobs/gap.yaml\n"
	_, log = c.step("lint")
	assert.Equal(t, "1", c.told()["status"], log)
	assert.Contains(t, log, "job good ")
	assert.Contains(t, log, "job gap ")
	assert.NotContains(t, log, "job other ")
	c.env["WITNESSMARK_FAIL_ON"] = "none"
	_, log = c.step("lint")
	assert.Equal(t, "0", c.told()["status"], log)
	c.env["WITNESSMARK_FAIL_ON"] = "nothing; touch touched"
	_, log = c.step("lint")
	assert.Equal(t, "2", c.told()["status"])
	assert.Contains(t, log, "--fail-on: ")
	assert.NoFileExists(t, filepath.Join(c.firm, "touched"))
	assert.Empty(t, c.told()["sarif"], "no report of the run before is left")
	assert.Contains(t, c.env["told summary"], "Nothing was judged, which is no pass")
	assert.NoFileExists(t, filepath.Join(c.told()["reports"], "report.json"), "no report of the run before is left")
}

func TestActionVerdict(t *testing.T) {
	c := newCI(t)
	for given, want := range map[string]int{"0": 0, "1": 1, "2": 2, "": 2, "139": 2} {
		c.env["WITNESSMARK_STATUS"] = given
		status, log := c.step("verdict")
		assert.Equal(t, want, status, log)
	}
}

// Only what is new counts where the command can tell.
func TestActionSince(t *testing.T) {
	if !strings.Contains(suggested(t, "lint", "--si"), "--since\t") {
		t.Skip("the command does not compare with what was")
	}
	c := newCI(t)
	c.firmOf("gap")
	c.commit()
	c.git("commit", "-q", "--allow-empty", "-m", "second")
	status, log := c.step("get")
	require.Zero(t, status, log)
	c.env["WITNESSMARK_AS_OF"], c.env["WITNESSMARK_SINCE"] = "2026-11-25", "HEAD~1"
	_, log = c.step("lint")
	assert.Equal(t, "0", c.told()["status"], log)
	c.env["WITNESSMARK_SINCE"] = ""
	_, log = c.step("lint")
	assert.Equal(t, "1", c.told()["status"], log)
}

// A release is taken only if it is what its checksum says.
func TestActionTakesRelease(t *testing.T) {
	c := newCI(t)
	releases := t.TempDir()
	stage := filepath.Join(releases, "witnessmark_1.2.3_linux_amd64")
	require.NoError(t, os.Mkdir(stage, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(stage, "witnessmark"), []byte("#!/bin/sh\necho \"stand-in $1\"\n"), 0o755))
	said, err := exec.Command("go", "run", filepath.Join(c.source, ".ci/pack.go"), "-time", "1700000000", "-out", releases, stage).CombinedOutput()
	require.NoError(t, err, string(said))
	archive, err := os.ReadFile(stage + ".tar.gz")
	require.NoError(t, err)
	sum := fmt.Sprintf("%x", sha256.Sum256(archive))
	checksums := filepath.Join(releases, "checksums.txt")

	take := func(version, from, sum string) (int, string) {
		c.work = t.TempDir()
		c.env["WITNESSMARK_VERSION"], c.env["WITNESSMARK_RELEASES"], c.env["WITNESSMARK_SHA256"] = version, from, sum
		return c.step("get")
	}
	status, log := take("1.2.3", "file://"+releases, "")
	assert.Zero(t, status, log)
	assert.Contains(t, log, "stand-in --version\n")
	status, log = take("1.2.3", "file://"+releases+"/", sum)
	assert.Zero(t, status, log)
	assert.FileExists(t, filepath.Join(c.work, "bin/witnessmark"))

	refused := func(want, version, from, sum string) {
		t.Helper()
		status, log := take(version, from, sum)
		assert.Equal(t, 2, status)
		assert.Contains(t, log, want)
		assert.NotContains(t, log, "stand-in")
		assert.NoFileExists(t, filepath.Join(c.work, "bin/witnessmark"))
	}
	refused("is not what it should be", "1.2.3", "file://"+releases, strings.Repeat("0", 64))
	refused("could not get", "1.2.4", "file://"+releases, "")
	refused("is none, such as", "../1.2.3", "file://"+releases, "")
	refused("is no https address", "1.2.3", "http://releases.example", "")
	refused("say where", "1.2.3", "", "")
	require.NoError(t, os.WriteFile(checksums, []byte(sum+"  another.tar.gz\n"), 0o644))
	refused("not in checksums.txt", "1.2.3", "file://"+releases, "")
	require.NoError(t, os.WriteFile(checksums, []byte(strings.Repeat("0", 64)+"  witnessmark_1.2.3_linux_amd64.tar.gz\n"), 0o644))
	refused("is not what it should be", "1.2.3", "file://"+releases, "")
}

// reportsOfAction reads the table at the head of the script: file by format.
func reportsOfAction(t *testing.T, script string) map[string]string {
	t.Helper()
	text, err := os.ReadFile(script)
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(text), "\nreports=(\n")
	require.True(t, found)
	table, _, found := strings.Cut(rest, "\n)\n")
	require.True(t, found)
	out := map[string]string{}
	for line := range strings.SplitSeq(table, "\n") {
		format, file, ok := strings.Cut(strings.Trim(line, "\t\""), " ")
		require.True(t, ok, line)
		out[format] = file
	}
	return out
}

func stopWord(t *testing.T, log string) string {
	t.Helper()
	_, rest, found := strings.Cut(log, "::stop-commands::")
	require.True(t, found, log)
	word, _, _ := strings.Cut(rest, "\n")
	require.Len(t, word, 32)
	return word
}
