package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/report"
)

// lintReal runs the program with the real engine.
func lintReal(t *testing.T, args ...string) (status int, stdout string) {
	t.Helper()
	var out, trouble bytes.Buffer
	status = run(context.Background(), append([]string{"witnessmark", "lint", "--as-of", "2026-11-25"}, args...), surroundings{
		stdout: &out, stderr: &trouble, version: "test", env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t),
	})
	require.Empty(t, trouble.String())
	return status, out.String()
}

// Reports of the examples: in full, one of each kind of page, and in each format for CI. With UPDATE_SCRIPTS set they are written
// anew; look at every difference.
func TestGoldenReports(t *testing.T) {
	golden := map[string][]string{
		"2026-019.json": {"../../examples/jobs/2026-019.yaml", "--output", "json"},
		"2026-019.csv":  {"../../examples/jobs/2026-019.yaml", "--output", "csv"},
		"examples.txt":  {"../../examples"},

		"2026-016-emergency.html": {"../../examples/jobs/2026-016.yaml", "--output", "emergency"},
		"2026-016-owner.html":     {"../../examples/jobs/2026-016.yaml", "--output", "owner"},
		"2026-016-labels.html":    {"../../examples/jobs/2026-016.yaml", "--output", "labels"},
		"2026-020-snags.html":     {"../../examples/jobs/2026-020.yaml", "--output", "snags"},
	}
	// Jobs with an outcome of every kind, for the formats that CI shows. Of an audit of
	// them all but what is within or not applicable would be lost in the crowd.
	for file, format := range map[string]string{"examples.md": "markdown", "examples.annotations.txt": "annotations", "examples.sarif.json": "sarif",
		"examples.sarif-audit.json": "sarif-audit", "examples.junit.xml": "junit", "examples.code-quality.json": "code-quality"} {
		golden[file] = []string{"--output", format, "--outcomes", "findings", "../../examples/jobs/2026-012.yaml", "../../examples/jobs/2026-016.yaml", "../../examples/jobs/2026-019.yaml", "../../examples/jobs/2026-026.yaml"}
	}
	for name, args := range golden {
		t.Run(name, func(t *testing.T) {
			status, got := lintReal(t, args...)
			assert.Equal(t, 1, status)
			if name == "examples.sarif-audit.json" {
				got = withoutQuiet(t, got)
			}
			file := filepath.Join("../../testdata/golden", name)
			if os.Getenv("UPDATE_SCRIPTS") != "" {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.True(t, string(want) == got, "%s differs; run UPDATE_SCRIPTS=1 go test ./cmd/witnessmark and look at the difference", file)
		})
	}
}

// withoutQuiet leaves out of a SARIF log the results that are within or not applicable,
// and the rules and files that only they are about, so that what is left can be read.
func withoutQuiet(t *testing.T, log string) string {
	t.Helper()
	var out strings.Builder
	kept := map[string]bool{}
	inRules := false
	for line := range strings.Lines(log) {
		switch {
		case strings.HasPrefix(line, `{"ruleId":`):
			var result struct{ RuleID, Kind string }
			require.NoError(t, json.Unmarshal([]byte(strings.TrimSuffix(strings.TrimSpace(line), ",")), &result))
			if result.Kind == "pass" || result.Kind == "notApplicable" {
				continue
			}
			kept[result.RuleID] = true
		case strings.Contains(line, `"rules":[`):
			inRules = true
		case inRules && strings.HasPrefix(line, `{"id":`):
			var rule struct{ ID string }
			text, _, last := strings.Cut(line, `],"supportedTaxonomies"`)
			require.NoError(t, json.Unmarshal([]byte(strings.TrimSuffix(strings.TrimSpace(text), ",")), &rule))
			if !last && !kept[rule.ID] {
				continue
			}
		}
		out.WriteString(line)
	}
	return strings.Replace(out.String(), "},\n]", "}\n]", 1)
}

// The same bytes come out whatever the number of workers, the time zone of the
// machine and the working folder.
func TestSameBytes(t *testing.T) {
	absolute, err := filepath.Abs("../../examples")
	require.NoError(t, err)
	zone := time.Local
	t.Cleanup(func() { time.Local = zone })
	first := lintInto(t, "../../examples", "--workers", "1")
	time.Local = time.FixedZone("elsewhere", 13*3600)
	for workers, path := range map[string]string{"1": absolute, "8": "../../examples", "7": absolute, "16": "../../examples"} {
		for format, again := range lintInto(t, path, "--workers", workers) {
			assert.True(t, first[format] == again, "%s with %s workers from %s", format, workers, path)
		}
	}
	time.Local = zone
	_, text := lintReal(t, "../../examples", "--output", "json")
	t.Chdir(absolute)
	for _, path := range []string{".", "jobs", "../examples"} {
		_, again := lintReal(t, path, "--output", "json")
		assert.True(t, text == again, "from the folder itself, as %s", path)
	}
}

// lintInto writes a report in every format and returns them by format.
func lintInto(t *testing.T, args ...string) map[string]string {
	t.Helper()
	folder := t.TempDir()
	for _, format := range report.FormatNames() {
		args = append(args, "--output", format+":"+filepath.Join(folder, format))
	}
	lintReal(t, args...)
	out := map[string]string{}
	for _, format := range report.FormatNames() {
		written, err := os.ReadFile(filepath.Join(folder, format))
		require.NoError(t, err)
		require.NotEmpty(t, written, format)
		out[format] = string(written)
	}
	return out
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

// readmeRepository writes what the README tells a new firm to write into a folder.
func readmeRepository(t *testing.T) (dir string) {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	dir = t.TempDir()
	for _, f := range []struct{ fence, mark, name string }{
		{"cue", "#firm:", "witnessmark.cue"}, {"cue", "#products: morvane:", "equipment/morvane.cue"}, {"cue", "#products: selwick:", "equipment/selwick.cue"},
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
	return dir
}

// What the README tells a new firm to write is accepted, judged, and told what is
// still missing.
func TestReadmeRepository(t *testing.T) {
	status, out := lintReal(t, readmeRepository(t))
	assert.Equal(t, 1, status, out)
	assert.NotContains(t, out, ": problem:")
	assert.Contains(t, out, "jobs/2026-014.yaml:11:")
	assert.Contains(t, out, ": missing: ")
	assert.Contains(t, out, "by equipment/morvane@B, policy, practice, us/irc-2021, us/nec-2023")
}

// The definitions in the README have nothing to mend.
func TestReadmeDefinitions(t *testing.T) {
	status, out, trouble := limitsReal(t, "check", "--as-of", "2026-11-25", readmeRepository(t))
	assert.Equal(t, exitClean, status, out+trouble)
	assert.Contains(t, out, "2 revisions of 2 products")
	assert.Contains(t, out, "of Example co-operative")
}

// The person in the README's register may pass every gate, so that a firm that
// begins with it is not stopped at the first.
func TestReadmePersonPassesTheGates(t *testing.T) {
	dir := readmeRepository(t)
	job := filepath.Join(dir, "jobs/2026-014.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	gates := "gates:\n  - {gate: start-work, on: 2026-03-02, by: %s}\n  - {gate: energise, on: 2026-03-05, by: %[1]s}\n  - {gate: hand-over, on: 2026-03-06, by: %[1]s}\n"
	lint := func(person string) string {
		require.NoError(t, os.WriteFile(job, append(slices.Clip(text), fmt.Sprintf(gates, person)...), 0o644))
		_, out := lintReal(t, dir)
		assert.Contains(t, out, "job 2026-014 (designed): ")
		return out
	}
	assert.NotContains(t, lint("ro"), "may not rule on")
	register := filepath.Join(dir, "registers/all.cue")
	entries, err := os.ReadFile(register)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(register, append(entries, "#people: helper: {}\n"...), 0o644))
	assert.Equal(t, 3, strings.Count(lint("helper"), "helper may not rule on"), "the check looks at all three")
}
