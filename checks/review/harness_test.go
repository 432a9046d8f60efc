package review_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/review"
)

// firm is a firm's repository in memory.
type firm map[string]string

func (f firm) fs() fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range f {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

const rootFile = `package witnessmark

import "witnessmark.example/schema/firm"

#firm: firm.#Firm & {name: "Test firm"}
`

func day(t *testing.T, text string) fact.Day {
	t.Helper()
	d, ok := fact.ParseDay(text)
	require.True(t, ok, text)
	return d
}

// reviewed looks for mistakes in a firm's definitions in memory.
func reviewed(t *testing.T, f firm) *checks.Review {
	t.Helper()
	r, err := checks.OpenReview(checks.Options{Shipped: shipped(t), FS: f.fs(), Paths: []string{"."}, AsOf: checks.AsOf{Date: day(t, "2026-11-25")}})
	require.NoError(t, err)
	return r
}

// ofTheFirm keeps what was found in a firm's own files. Which figures equipment
// data lacks depends on what ships and is looked at by tests of its own.
func ofTheFirm(r *checks.Review) []review.Remark {
	return slices.DeleteFunc(slices.Clone(r.Remarks), func(x review.Remark) bool {
		return strings.HasPrefix(x.At.File, "schema/") || x.Code == "figure-missing"
	})
}

// remarks lists remarks as "file:line code".
func remarks(all []review.Remark) []string {
	out := []string{}
	for _, x := range all {
		out = append(out, fmt.Sprintf("%s %s", x.At, x.Code))
	}
	return out
}

// wants reads what is expected: a comment `// want: code code` stands on the line
// of each remark.
func wants(f firm) []string {
	out := []string{}
	for _, name := range slices.Sorted(maps.Keys(f)) {
		for n, line := range strings.Split(f[name], "\n") {
			if _, list, ok := strings.Cut(line, "// want:"); ok {
				for _, code := range strings.Fields(list) {
					out = append(out, fmt.Sprintf("%s:%d %s", name, n+1, code))
				}
			}
		}
	}
	return out
}

// policyWith is a firm whose policy has these limits. What every limit has to
// state stands before them; a limit that states it again is no conflict as long
// as it says the same.
func policyWith(limits string) firm {
	facts := ""
	if strings.Contains(limits, "facts.") {
		facts = "\t\"witnessmark.example/schema/facts\"\n"
	}
	return firm{"witnessmark.cue": rootFile, "rules/policy.cue": "package rules\n\nimport (\n" + facts + `	"witnessmark.example/schema/limit"
)

#policy: limit.#RuleSet & {
	source: {name: "policy", title: "How we work", edition: "1", kind: "policy", decision: "guarded", selected_by: "designed", decided_by: "The firm."}
	limits: [=~"^[^z]"]: {clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
	` + limits + "\n}\n"}
}

// with adds or replaces a file.
func (f firm) with(name, text string) firm {
	out := maps.Clone(f)
	out[name] = text
	return out
}

// reviewCase is a mistake and its twin: the same definitions without it.
type reviewCase struct {
	name  string
	firm  firm
	old   string // what is wrong, in any of the files
	mends string // what stands there instead when it is right; "" is a text like any other
}

func runReviewCases(t *testing.T, cases []reviewCase) {
	for i, tt := range cases {
		if raced && i > 0 {
			break // the first of each, see raced
		}
		t.Run(tt.name, func(t *testing.T) {
			found := ofTheFirm(reviewed(t, tt.firm))
			expected := wants(tt.firm)
			require.NotEmpty(t, expected, "the case wants nothing")
			if !assert.Equal(t, expected, remarks(found)) {
				for _, x := range found {
					t.Logf("%s: %s: %s\n  %s", x.At, x.Code, x.Message, x.Mend)
				}
			}
			for _, x := range found {
				assert.NotEmpty(t, x.Message)
				assert.NotEmpty(t, x.Mend, x.Message)
			}
			twin, changed := firm{}, 0
			for name, text := range tt.firm {
				changed += strings.Count(text, tt.old)
				twin[name] = strings.ReplaceAll(text, tt.old, tt.mends)
			}
			require.NotZero(t, changed, "%q is not in the case", tt.old)
			for _, x := range ofTheFirm(reviewed(t, twin)) {
				t.Errorf("the twin is right, but: %s: %s: %s", x.At, x.Code, x.Message)
			}
		})
	}
}

const gapLimit = `measure: "stacks.wall_gap", unit: "mm"`

// ownRules is a rule set of a firm without a limit.
const ownRules = `package rules

import "witnessmark.example/schema/limit"

#own: limit.#RuleSet & {source: {name: "own", title: "Own", edition: "1", kind: "policy", decision: "guarded", decided_by: "The firm."}, limits: {}}
`

// product is equipment data of one revision with everything that is calculated
// today, and these limits.
func product(key, revision, limits string) string {
	return `package equipment

import (
	"witnessmark.example/schema/equipment"
	"witnessmark.example/schema/limit"
)

#products: ` + key + `: ` + revision + `: equipment.#Storage & {
	title: "Wall stack", edition: "1"
	architecture: "modules in series"
	module: {energy: "2 kWh", voltage: high: "57 V"}
	limits: [string]: limit.#Limit & {clause: "c", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
	limits: {
		` + limits + `
	}
}
`
}

// want adds an expectation to the first line of a file that has a text in it.
func (f firm) want(file, text, codes string) firm {
	lines := strings.Split(f[file], "\n")
	i := slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, text) })
	lines[i] += " // want: " + codes
	return f.with(file, strings.Join(lines, "\n"))
}
