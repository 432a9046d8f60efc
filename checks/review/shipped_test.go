package review_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// excepted are remarks on what ships and on the examples that are right as they
// are, each with the reason. One that is not found any more is an error.
var excepted = map[string]string{}

// What ships and the examples are as they should be, on the day they were last
// looked through.
func TestNothingToMendInWhatShips(t *testing.T) {
	t.Parallel()
	r, err := checks.OpenReview(checks.Options{Shipped: shipped(t), Paths: []string{"../../examples"}, AsOf: checks.AsOf{Date: day(t, "2026-11-25")}})
	require.NoError(t, err)
	found := map[string]bool{}
	for _, x := range r.Remarks {
		key := x.At.File + " " + x.Code + " " + x.Message
		found[key] = true
		if excepted[key] == "" {
			t.Errorf("%s: %s: %s\n  %s", x.At, x.Code, x.Message, x.Mend)
		}
	}
	for key, reason := range excepted {
		assert.True(t, found[key], "excepted (%s), but not found: %s", reason, key)
	}
	assert.NotZero(t, r.Limits)
	assert.NotZero(t, r.Shipped)
	assert.Greater(t, r.RuleSets, r.Shipped)
	assert.NotZero(t, r.Revisions)
	assert.NotEmpty(t, r.Notes)
}

// Two looks at the same definitions give the same.
func TestSameRemarksEveryTime(t *testing.T) {
	t.Parallel()
	f := policyWith(`limits: {
		a: {`+gapLimit+`, within: >=20}
		b: {`+gapLimit+`, within: >=25, replaces: ["policy#c", "policy#c"]}
		c: {`+gapLimit+`, within: <=10}
	}`).with("equipment/oar.cue", product("oar", "A", `"gap": {`+gapLimit+`, within: <=15}`))
	first := reviewed(t, f)
	assert.NotEmpty(t, first.Remarks)
	for range 3 {
		assert.Equal(t, first.Remarks, reviewed(t, f).Remarks)
	}
}

// A review that is overdue shows on the day after it was due, not before.
func TestOverdueFromTheNextDay(t *testing.T) {
	t.Parallel()
	f := policyWith(`limits: a: {` + gapLimit + `, within: >=20}`)
	overdue := func(on string) bool {
		r, err := checks.OpenReview(checks.Options{Shipped: shipped(t), FS: f.fs(), Paths: []string{"."}, AsOf: checks.AsOf{Date: day(t, on)}})
		require.NoError(t, err)
		return strings.Contains(fmt.Sprint(remarks(ofTheFirm(r))), "rules/policy.cue:10 review-overdue")
	}
	assert.False(t, overdue("2027-11-01"))
	assert.True(t, overdue("2027-11-02"))
}

var (
	limitBegins = regexp.MustCompile(`^(\t+)(limits: )?"[a-z0-9-]+": \{$`)
	needed      = regexp.MustCompile(`^\s*(measure|within|unit|clause|grade|reviewed|review_by|why):`)
)

// Whatever a limit of the examples has to state: without it, something is said
// within the lines of that limit. One field of each limit is left out, another
// one of the next.
func TestEveryFieldOfALimitIsNeeded(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	t.Parallel()
	files, err := filepath.Glob("../../examples/*/*.cue")
	require.NoError(t, err)
	tried, turn := map[string]int{}, 0
	for _, path := range files {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		name := strings.TrimPrefix(filepath.ToSlash(path), "../../examples/")
		lines := strings.Split(string(data), "\n")
		for first := range lines {
			m := limitBegins.FindStringSubmatch(lines[first])
			if m == nil {
				continue
			}
			last := first
			for lines[last] != m[1]+"}" {
				last++
			}
			var fields []int
			for i := first + 1; i < last; i++ {
				if needed.MatchString(lines[i]) {
					fields = append(fields, i)
				}
			}
			if len(fields) == 0 {
				continue // not a limit
			}
			at := fields[turn%len(fields)]
			turn++
			cut := append([]string(nil), lines...)
			cut[at] = ""
			field := needed.FindStringSubmatch(lines[at])[1]
			tried[field]++
			assertSaid(t, firm{"witnessmark.cue": rootFile, name: strings.Join(cut, "\n")}, name, first+1, last+1, "without "+field)
		}
	}
	for _, field := range []string{"measure", "within", "unit", "clause", "why"} {
		assert.NotZero(t, tried[field], field)
	}
	assert.Greater(t, turn, 20)
}

func assertSaid(t *testing.T, f firm, name string, first, last int, what string) {
	t.Helper()
	for _, x := range ofTheFirm(reviewed(t, f)) {
		if x.At.File == name && x.At.Line >= first && x.At.Line <= last {
			return
		}
	}
	t.Errorf("%s:%d: nothing is said of the limit %s", name, first, what)
}

// What is stated for all limits at once is missed in each of them.
func TestFieldForAllLimitsIsNeeded(t *testing.T) {
	t.Parallel()
	for _, field := range []string{`clause: "1"`, `grade: "document"`, `reviewed: "2026-11-01"`, `review_by: "2027-11-01"`, `why: "A test."`} {
		f := policyWith(`limits: {
		a: {` + gapLimit + `, within: >=20}
		b: {` + front + `, within: >=900}
	}`)
		f = f.with("rules/policy.cue", strings.NewReplacer(field+", ", "", ", "+field, "").Replace(f["rules/policy.cue"]))
		assertSaid(t, f, "rules/policy.cue", 11, 11, "without "+field)
		assertSaid(t, f, "rules/policy.cue", 12, 12, "without "+field)
	}
}
