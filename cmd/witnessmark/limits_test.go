package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/define"
	"witnessmark.example/schema"
)

// limitsReal runs `witnessmark limits` with the real engine.
func limitsReal(t *testing.T, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, trouble bytes.Buffer
	status = run(context.Background(), append([]string{"witnessmark", "limits"}, args...), surroundings{
		stdout: &out, stderr: &trouble, version: "test", env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t),
	})
	return status, out.String(), trouble.String()
}

// listedLimit is one limit of the JSON list, as far as lint says it too.
type listedLimit struct {
	Name     string
	Measure  string
	Within   string
	Unit     string
	Clause   string
	Grade    string
	Blocking bool
	Reviewed string
	ReviewBy string `json:"review_by"`
	Why      string
	File     string
	Line     int
	Ships    bool
	Source   struct{ Name string }
}

func listOf(t *testing.T, args ...string) []listedLimit {
	t.Helper()
	status, out, trouble := limitsReal(t, append(args, "--output", "json")...)
	require.Equal(t, exitClean, status, trouble)
	var list []listedLimit
	require.NoError(t, json.Unmarshal([]byte(out), &list))
	return list
}

// The list holds every limit that ships, once, whatever the firm.
func TestListHoldsAllThatShips(t *testing.T) {
	own, _, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	want := map[string]int{}
	for _, s := range own.RuleSets {
		for _, l := range s.Limits {
			want[s.Source.Name+"#"+l.Name]++
		}
	}
	require.NotEmpty(t, want)
	for _, list := range [][]listedLimit{listOf(t, "--root", "../../examples"), noFirm(t)} {
		got, seen := map[string]int{}, map[string]bool{}
		for _, l := range list {
			assert.False(t, seen[l.Name], "%s stands twice", l.Name)
			seen[l.Name] = true
			if l.Ships {
				got[l.Name]++
				assert.True(t, strings.HasPrefix(l.File, "schema/"), l.File)
			}
		}
		assert.Equal(t, want, got)
	}
}

// noFirm is the list in a folder without a root file.
func noFirm(t *testing.T) []listedLimit {
	t.Chdir(t.TempDir())
	return listOf(t)
}

// What the list says of a limit is what lint says of those that took part.
func TestListEqualsLint(t *testing.T) {
	notRaced(t)
	byName := map[string]listedLimit{}
	for _, l := range listOf(t, "--root", "../../examples") {
		byName[l.Name] = l
	}
	var out bytes.Buffer
	run(context.Background(), []string{"witnessmark", "lint", "../../examples", "--output", "json", "--as-of", "2026-11-25"}, surroundings{
		stdout: &out, stderr: &out, version: "test", env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t)})
	var report struct {
		Limits map[string]struct {
			listedLimit
			Source string
		}
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &report))
	require.Greater(t, len(report.Limits), 20)
	for name, l := range report.Limits {
		got, ok := byName[name]
		require.True(t, ok, "%s takes part in lint and is not listed", name)
		want := l.listedLimit
		want.Name, want.Ships, want.Source.Name = name, got.Ships, l.Source
		assert.Equal(t, want, got, name)
	}
}

// The CSV reads back as a table with as many columns in each row, none of which a
// spreadsheet would compute, and the same limits as in JSON.
func TestListAsCSV(t *testing.T) {
	status, out, trouble := limitsReal(t, "--root", "../../examples", "--output", "csv")
	require.Equal(t, exitClean, status, trouble)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err, "every row has the columns of the first")
	list := listOf(t, "--root", "../../examples")
	require.Len(t, rows, len(list)+1)
	for i, l := range list {
		assert.Equal(t, l.Name, rows[i+1][0])
		for _, cell := range rows[i+1] {
			assert.NotContains(t, "=+-@\t", cell[:min(1, len(cell))]+"\x00", cell)
		}
	}
	assert.Equal(t, strings.Count(out, "\n"), strings.Count(out, "\r\n"))
}

// Each job of the examples can be asked for; each of its outcomes in lint is a
// candidate with the same outcome, and the strictest is the same.
func TestForEqualsLint(t *testing.T) {
	notRaced(t)
	files, err := filepath.Glob("../../examples/jobs/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	type outcome struct {
		Limit, Fact, Outcome, Measure string
		Strictest                     bool
		Blocking                      bool
	}
	for _, file := range files[:min(6, len(files))] {
		var out bytes.Buffer
		run(context.Background(), []string{"witnessmark", "lint", file, "--output", "json", "--as-of", "2026-11-25"}, surroundings{
			stdout: &out, stderr: &out, version: "test", env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t)})
		var lint struct {
			Jobs []struct{ Outcomes []outcome }
		}
		require.NoError(t, json.Unmarshal(out.Bytes(), &lint), file)
		want := map[[2]string]outcome{}
		for _, o := range lint.Jobs[0].Outcomes {
			if !strings.HasPrefix(o.Limit, "record#") {
				want[[2]string{o.Limit, o.Fact}] = outcome{Limit: o.Limit, Fact: o.Fact, Outcome: o.Outcome, Strictest: o.Strictest, Blocking: o.Blocking}
			}
		}
		_, text, trouble := limitsReal(t, "--for", file, "--output", "json", "--as-of", "2026-11-25")
		require.Empty(t, trouble, file)
		var got struct {
			Values []struct {
				Fact       string
				Strictest  string
				Candidates []struct {
					outcome
					NotMet []struct{ Text string } `json:"not_met"`
					Reason string
					By     string
				}
			}
		}
		require.NoError(t, json.Unmarshal([]byte(text), &got), file)
		n := 0
		for _, v := range got.Values {
			for i, c := range v.Candidates {
				n++
				one := c.outcome
				one.Fact = v.Fact
				assert.Equal(t, want[[2]string{c.Limit, v.Fact}], one, "%s %s", file, v.Fact)
				assert.Equal(t, i == 0 && v.Strictest == c.Limit, c.Strictest, "%s %s %s", file, v.Fact, c.Limit)
				if c.Outcome == "not_applicable" && c.By == "" && c.Reason == "its condition is not met" {
					assert.NotEmpty(t, c.NotMet, "%s %s %s: it says which condition", file, v.Fact, c.Limit)
				}
			}
		}
		assert.Equal(t, len(want), n, file)
	}
}

func TestLimitsHelp(t *testing.T) {
	status, out, trouble := limitsReal(t, "--help")
	assert.Equal(t, exitClean, status, trouble)
	for _, want := range []string{"--for", "--rule-set", "--measure", "--region", "--grade", "--stage", "--blocking", "--advisory", "--output", "Exit status: 0", "check"} {
		assert.Contains(t, out, want)
	}
}
