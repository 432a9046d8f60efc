package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/report/inert"
)

func TestAnnotations(t *testing.T) {
	out := newTestRun(t).write(t, "annotations", Settings{Path: func(file string) string { return "a,b:c%/" + file }}, "jobs/a.yaml", eventful, "jobs/b.yaml", cleanJob)
	require.NoError(t, inert.Annotations([]byte(out)))
	for _, want := range []string{
		"::error file=a%2Cb%3Ac%25/jobs/a.yaml,line=11,col=39,title=outside%3A xx/code#gap::Gap to the wall (stacks[A].wall_gap) is 2 cm ± 1 mm (20 mm); the limit is >= 25 mm%0Amargin: 5 mm outside the limit%0Asource: Code of the Isles, edition 2024, 4.2%0Adecided by: The harbour office decides.\n",
		",title=missing%3A record#recorded::Free space above (stacks[A].clearance.above), due designed%0Adecided by: We do.%0Amend: ",
		"::error file=a%2Cb%3Ac%25/jobs/a.yaml,line=7,col=5,title=not checked%3A xx/code#note::",
		"::warning file=a%2Cb%3Ac%25/jobs/a.yaml,line=10,col=13,title=too close to call%3A policy#torque::",
		"\n::notice title=witnessmark::2 job files judged, 0 files that could not be read, 0 problems; ",
	} {
		assert.Contains(t, out, want)
	}
	assert.NotContains(t, out, "not due%3A")
	assert.True(t, strings.HasPrefix(out, "::error "), "what is worst stands first")
}

// A run without findings says what it judged, and nothing more.
func TestAnnotationsOfACleanRun(t *testing.T) {
	out := newTestRun(t).write(t, "annotations", Settings{}, "jobs/b.yaml", cleanJob)
	assert.Equal(t, "::notice title=witnessmark::1 job file judged, 0 files that could not be read, 0 problems; 8 comparisons of values with limits; 2 not due, 8 within; as of 2026-03-11, limits 0123456789ab. What is not listed was not checked.\n", out)
}

// The host shows ten of each level: the worst nine stand there, and one says how many
// more there are.
func TestAnnotationsAreCut(t *testing.T) {
	r := newTestRun(t)
	var files []string
	for _, name := range strings.Fields("a b c d e f g h i j k") {
		files = append(files, "jobs/"+name+".yaml", eventful)
	}
	r.run.Notes = []string{"one", "two", "three", "four", "five"}
	out := r.write(t, "annotations", Settings{}, files...)
	require.NoError(t, inert.Annotations([]byte(out)))
	assert.Equal(t, 10, strings.Count(out, "::error "))
	assert.Equal(t, 10, strings.Count(out, "::warning "))
	assert.Contains(t, out, "::error title=more findings::46 more (24 outside, 11 missing, 11 not checked), see the summary or the other reports\n")
	assert.Contains(t, out, "::warning title=more findings::2 more (2 too close to call), see the summary or the other reports\n")
	assert.Contains(t, out, "::notice title=not checked::3 other things were not checked in this run as a whole; ")
	assert.NotContains(t, strings.Join(strings.SplitAfter(out, "\n")[:9], ""), "missing%3A", "what is missing comes after what is outside")
}

func TestAnnotationLevels(t *testing.T) {
	for _, c := range []struct {
		o    Open
		want string
	}{
		{Open{}, "error"}, {Open{Kind: judge.Outside, Blocking: true}, "error"}, {Open{Kind: judge.Missing, Blocking: true}, "error"}, {Open{Kind: judge.NotChecked, Blocking: true}, "error"},
		{Open{Kind: judge.Outside}, "warning"}, {Open{Kind: judge.TooClose, Blocking: true}, "warning"}, {Open{Kind: judge.NotChecked}, "warning"}, {Open{Kind: judge.Accepted, Blocking: true}, "notice"},
	} {
		assert.Equal(t, c.want, c.o.level(), "%+v", c.o)
	}
}

func TestAnnotationText(t *testing.T) {
	assert.Equal(t, "::error title=a%3A%2C%25 \\u000a b::c%25 \\u000d %0Ad :\\u003ax ##\\u005by\n", string(command(nil, "error", "", 0, 0, "a:,% \n b", "c% \r \nd ::x ##[y")))
	long := string(command(nil, "error", "", 0, 0, "x", strings.Repeat("%", 3000)))
	assert.Less(t, len(long), 4096)
	assert.True(t, strings.HasSuffix(long, "%25 … (cut)\n"), long[len(long)-40:])
	assert.Less(t, len(command(nil, "error", strings.Repeat("é", 3000), 1, 1, strings.Repeat("é", 3000), "x")), 4096)
}
