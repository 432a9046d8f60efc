package report

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/report/inert"
)

func TestMarkdownPage(t *testing.T) {
	write := func(format string) string {
		r := newTestRun(t)
		r.run.Counts.Without = checks.WithoutEntry{Jobs: 3, Limits: 9, Blocking: 4}
		r.run.Notes = []string{"No root file was found."}
		return r.write(t, format, Settings{Path: func(file string) string { return "firm/" + file }}, "jobs/a.yaml", eventful, "jobs/b.yaml", cleanJob)
	}
	out := write("markdown")
	require.NoError(t, inert.Markdown([]byte(out)))
	for _, want := range []string{
		"As of 2026-03-11, limits `0123456789ab`. 2 job files judged, 0 files that could not be read; ",
		"| outside | 4 | ", "| not checked | ", "| within | ",
		"- Not judged: 9 limits, 4 of them blocking, found nothing to judge, counted job by job, in 3 jobs.\n- Not checked: No root file was found.\n",
		"### Job 2026-014\n\n`firm/jobs/a.yaml`, stage installed.\n\n- Job 2026-014 (installed): 6 values were compared with 7 limits; ",
		"- Before the next gate, energise, ",
		"\n  - paint mark (stacks\\[A\\].marked) is not recorded.\n",
		"| outside | `firm/jobs/a.yaml:11` | Gap to the wall (stacks\\[A\\].wall\\_gap) is 2 cm ± 1 mm (20 mm) | \\>= 25 mm `xx/code#gap`; and 1 other limit | 5 mm outside the limit | Code of the Isles, edition 2024, 4.2 | The harbour office decides. |\n",
		"| missing | `firm/jobs/a.yaml:7` | Free space above (stacks\\[A\\].clearance.above), due designed; mend: ",
		"### Jobs without findings\n\n- `firm/jobs/b.yaml`: Job 2026-014 (designed): 7 values within 8 limits; ",
		"\n" + caution + "\n",
	} {
		assert.Contains(t, out, want)
	}
	assert.NotContains(t, out, "Cut to fit")
	assert.Equal(t, out, write("summary"), "the two differ only in what they leave out")
}

var cutWords = regexp.MustCompile(`\*\*Cut to fit\.\*\* (\d+) findings are not shown here: (.+?); of .+?\. (?:(\d+) jobs? without findings (?:is|are) not listed\. )?The other`)

// A page that would be too large keeps the worst and says exactly what it leaves out.
func TestMarkdownIsCut(t *testing.T) {
	r := newTestRun(t)
	var files []string
	for i := range 60 {
		files = append(files, fmt.Sprintf("jobs/%03d.yaml", i), strings.Replace(eventful, "2026-014", strconv.Itoa(i), 1), fmt.Sprintf("jobs/%03d-clean.yaml", i), cleanJob)
	}
	whole := r.write(t, "summary", Settings{}, files...)
	require.Greater(t, len(whole), commentSize)
	require.Less(t, len(whole), summarySize)
	assert.NotContains(t, whole, "Cut to fit")
	out := newTestRun(t).write(t, "markdown", Settings{}, files...)
	assert.LessOrEqual(t, len(out), commentSize)
	assert.Greater(t, len(out), commentSize*8/10, "no more is left out than must be")
	require.NoError(t, inert.Markdown([]byte(out)))
	m := cutWords.FindStringSubmatch(out)
	require.NotNil(t, m, out)
	left := map[string]int{}
	for _, part := range regexp.MustCompile(`(\d+) ([a-z ]+?)(?: \(|,|$)`).FindAllStringSubmatch(m[2], -1) {
		left[part[2]], _ = strconv.Atoi(part[1])
	}
	total := 0
	for _, k := range judge.Kinds() {
		rows := func(page string) int {
			return strings.Count(page, "\n| "+spoken(k)+" | `") + strings.Count(page, "\n| "+spoken(k)+", advisory | `")
		}
		assert.Equal(t, rows(whole)-rows(out), left[spoken(k)], spoken(k))
		total += left[spoken(k)]
	}
	assert.Equal(t, m[1], strconv.Itoa(total))
	assert.Positive(t, left["outside"])
	assert.Zero(t, strings.Count(out, "\n| missing | `"), "what blocks least is left out before what is outside")
	assert.Equal(t, strconv.Itoa(60-strings.Count(out, "-clean.yaml`: ")), m[3])
	assert.True(t, strings.HasSuffix(out, caution+"\n"))
}

// One finding of any length neither fills the page nor hides the others.
func TestMarkdownLongText(t *testing.T) {
	out := newTestRun(t).write(t, "markdown", Settings{}, "jobs/a.yaml", edited("note: ok", "note: "+strings.Repeat("long ", 700), "40 mm", "4 mm"))
	assert.Less(t, len(out), 12_000)
	assert.Contains(t, out, " characters in all)")
	assert.Contains(t, out, "`xx/code#gap`")
}
