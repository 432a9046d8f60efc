package report

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rowCells are the cells of a job's row behind its stage and problems.
func rowCells(t *testing.T, page string) []string {
	t.Helper()
	row := regexp.MustCompile(`<tr data-job=.*</tr>`).FindString(page)
	require.NotEmpty(t, row)
	var out []string
	for _, c := range regexp.MustCompile(`<td[^>]*>(.*?)</td>`).FindAllStringSubmatch(row, -1) {
		out = append(out, c[1])
	}
	return out[2:]
}

// Limits that found nothing to judge stand in the table of jobs and topics: a topic of
// which nothing is recorded must not read as if no limit were about it, nor one of which
// little is recorded as if all of its limits had been met.
func TestTableSaysWhatFoundNothing(t *testing.T) {
	for name, c := range map[string]struct{ job, has, hasNot string }{
		"nothing recorded": {bareJob, "<em>10 not judged</em>", "nothing applies"},
		"half of it":       {"job: 1\nstage: surveyed\nstacks: [{id: A, equipment: morvane@B, wall_gap: 40 mm}]\n", " within, 2 not due, <em>1 not judged</em>", "nothing applies"},
		"all recorded":     {cleanJob, " within", "not judged"},
	} {
		cells := rowCells(t, htmlOf(t, Settings{}, plainSize, wholeSize, "jobs/a.yaml", c.job))
		all := strings.Join(cells, "|")
		assert.Contains(t, all, c.has, name)
		assert.NotContains(t, all, c.hasNot, name)
	}
}

// A job whose stage is not known says so once.
func TestStageIsSaidOnce(t *testing.T) {
	page := htmlOf(t, Settings{}, plainSize, wholeSize, "jobs/a.yaml", "job: [", "jobs/b.yaml", bareJob)
	assert.Contains(t, page, "<code>jobs/a.yaml</code>, stage not recorded</p>")
	assert.Contains(t, page, "<code>jobs/b.yaml</code>, stage surveyed")
}

// A report of a run in which nothing was compared says so first: noughts alone would
// look like a pass.
func TestNothingJudgedIsSaid(t *testing.T) {
	for _, files := range [][]string{nil, {"jobs/a.yaml", "job: ["}} {
		for _, format := range []string{"html", "csv"} {
			assert.Contains(t, newTestRun(t).write(t, format, Settings{}, files...), nothingJudged, format)
		}
	}
	for _, format := range []string{"html", "csv"} {
		assert.NotContains(t, newTestRun(t).write(t, format, Settings{}, "jobs/a.yaml", cleanJob), nothingJudged, format)
	}
}
