package checks

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// What the tests of readings share: each check of a custom of the trade stands in
// a file of its own, with a firm of its own.

// reading is one value as written on site, and how it must come out.
type reading struct {
	written string
	kind    judge.Kind
	margin  string // empty where it is not looked at
}

const (
	within   = judge.Within
	outside  = judge.Outside
	tooClose = judge.TooClose
)

// sheet is a firm with one invented product that has one limit.
func sheet(product, limitName, body string) firm {
	return firm{"witnessmark.cue": rootFile, "equipment/" + product + ".cue": `package equipment

import "witnessmark.example/schema/equipment"

#products: "` + product + `": A: equipment.#Storage & {
	title: "Installation sheet", edition: "A", architecture: "modules in series"
	limits: "` + limitName + `": {` + body + `, clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
}
`}
}

// ownRules is a firm with one rule set of its own that has one limit.
func ownRules(name, kind, decision, more, limitName, body string) firm {
	return firm{"witnessmark.cue": rootFile, "rules/" + name + ".cue": `package rules

import "witnessmark.example/schema/limit"

#own: limit.#RuleSet & {
	source: {name: "` + name + `", title: "Own", edition: "1", kind: "` + kind + `", decision: "` + decision + `", decided_by: "The firm.", always: true}
	` + more + `
	limits: "` + limitName + `": {` + body + `, clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
}
`}
}

// judgeReadings puts every reading into a job of its own (job is its text after
// the head, with one %s for the reading) and holds the outcomes to what is said.
func judgeReadings(t *testing.T, f firm, stage, job, limitName, factAt string, readings []reading) {
	t.Helper()
	file := func(i int) string { return fmt.Sprintf("jobs/%02d.yaml", i) }
	for i, r := range readings {
		f[file(i)] = fmt.Sprintf("job: J-%d\npremises: {id: p-%d}\nstage: %s\n", i, i, stage) + fmt.Sprintf(job, r.written)
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for i, r := range readings {
		s, ok := out.full[file(i)+" "+limitName+" "+factAt]
		require.True(t, ok, "%s was not judged for %s\n%s", limitName, factAt, f[file(i)])
		assert.Equal(t, r.kind.String(), s.kind.String(), "%s against %s (%s)", r.written, s.bound, s.reason)
		if r.margin != "" {
			assert.Equal(t, r.margin, s.margin, "%s against %s", r.written, s.bound)
		}
	}
}
