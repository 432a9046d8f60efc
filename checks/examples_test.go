package checks

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// lintExamples judges the example firm.
func lintExamples(t *testing.T) (*Run, *lines) {
	t.Helper()
	out := newLines()
	run, err := Lint(context.Background(), Options{Paths: []string{"../examples"}, AsOf: asOf, Shipped: once(t), Workers: 2}, out)
	require.NoError(t, err)
	require.Empty(t, run.Problems)
	return run, out
}

// wanted reads the expectations in the example job files: a comment
// `# want: OUTCOME NAME; …` stands on the line of each finding.
func wanted(t *testing.T) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	files, err := filepath.Glob("../examples/jobs/*.yaml")
	require.NoError(t, err)
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		for n, line := range strings.Split(string(data), "\n") {
			_, list, ok := strings.Cut(line, "# want:")
			if !ok {
				continue
			}
			for _, one := range strings.Split(list, ";") {
				out[fmt.Sprintf("jobs/%s:%d %s", filepath.Base(f), n+1, strings.TrimSpace(one))] = true
			}
		}
	}
	return out
}

// Every finding of the examples is wanted on its line, and every wanted finding
// is found. A sum over premises is wanted on the premises line of each job in it.
func TestExamplesFindings(t *testing.T) {
	run, out := lintExamples(t)
	got := map[string]bool{}
	for key, s := range out.full {
		if s.kind.IsFinding() {
			part := strings.Fields(key)
			got[fmt.Sprintf("%s:%d %s %s", part[0], s.line, s.kind, part[1])] = true
		}
	}
	for _, o := range run.Repository.Outcomes {
		got[fmt.Sprintf("%s:%d %s %s", o.File, o.At.Line, o.Kind, o.Name)] = true
	}
	for _, p := range run.Repository.Premises {
		for _, o := range p.Outcomes {
			for _, job := range p.Jobs {
				if o.Kind.IsFinding() {
					got[fmt.Sprintf("jobs/%s.yaml:%d %s %s", job, premisesLine(t, job), o.Kind, o.Name)] = true
				}
			}
		}
	}
	assert.Equal(t, sorted(wanted(t)), sorted(got))
}

func premisesLine(t *testing.T, job string) int {
	t.Helper()
	data, err := os.ReadFile("../examples/jobs/" + job + ".yaml")
	require.NoError(t, err)
	for n, line := range strings.Split(string(data), "\n") {
		if strings.Contains(line, "# want:") && strings.Contains(line, "id:") {
			return n + 1
		}
	}
	return 0
}

func sorted(m map[string]bool) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// The counts of every example job by outcome and grade, exactly.
func TestExamplesCounts(t *testing.T) {
	run, out := lintExamples(t)
	per := map[string]map[string]map[judge.Kind]int{}
	for key, s := range out.full {
		file, _, _ := strings.Cut(strings.TrimPrefix(key, "jobs/"), ".yaml")
		grade := s.grade
		if grade == "" {
			grade = "built-in"
		}
		if per[file] == nil {
			per[file] = map[string]map[judge.Kind]int{}
		}
		for _, g := range []string{"all", grade} {
			if per[file][g] == nil {
				per[file][g] = map[judge.Kind]int{}
			}
			per[file][g][s.kind]++
		}
	}
	got := ""
	for _, file := range sortedKeys(per) {
		for _, grade := range sortedKeys(per[file]) {
			got += file + " " + grade + countsText(per[file][grade]) + "\n"
		}
	}
	for _, g := range limit.Grades() {
		got += "run " + string(g) + countsText(run.Counts.ByGrade[g]) + "\n"
	}
	const golden = "testdata/examples_counts.txt"
	if os.Getenv("UPDATE_SCRIPTS") != "" {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), got, "run with UPDATE_SCRIPTS=1 and look at every difference")
}

func sortedKeys[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

func countsText(m map[judge.Kind]int) string {
	s := ""
	for _, k := range judge.Kinds() {
		if m[k] > 0 {
			s += fmt.Sprintf("  %s %d", k, m[k])
		}
	}
	return s
}
