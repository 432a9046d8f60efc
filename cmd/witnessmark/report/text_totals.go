package report

import (
	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// totals writes the figures of the run and what it did not look at. Shortened says
// that there is more to say of calculations.
func totals(t *lines, r *checks.Run, shortened bool) {
	c := &r.Counts
	t.end()
	t.in(t.paint.strong, "Totals").own(" as of ", r.AsOf.String(), ", limits ").from(short(r.LimitsDigest)).end()
	if c.Jobs+c.Unread == 0 {
		t.item("files").own("no job file was found, so nothing was judged").end()
	} else {
		outcomes(t, c)
	}
	for _, g := range limit.Grades() {
		if len(c.ByGrade[g]) > 0 {
			t.item("grade").own(string(g))
			t.kinds(": ", c.ByGrade[g])
			t.end()
		}
	}
	for _, name := range sortedNames(c.ByRuleSet) {
		t.item("rule set").from(name)
		t.kinds(": ", c.ByRuleSet[name])
		t.end()
	}
	t.item("problems").own(plural(len(r.Problems), "problem", "problems"), " that kept something from being checked").end()
	if r.Redacted {
		t.item("left out").own("private values, as --redact asks; each was judged, and (left out) stands in its place").end()
	}
	for _, n := range r.Notes {
		t.item("not checked").from(n).end()
	}
	if shortened {
		t.item("calculated").own("lint --calculations shows each calculation with its inputs, steps and source").end()
	}
	t.own(caution).end()
}

// outcomes writes how many files were judged, and how they came out.
func outcomes(t *lines, c *checks.Counts) {
	t.item("files").own(plural(c.Jobs, "job file", "job files"), " judged, ", plural(c.Unread, "file", "files"), " that could not be read").end()
	t.item("judged").own(plural(c.Judged, "comparison", "comparisons"), " of values with limits; the outcomes below also count built-in checks and sums to which no job adds anything").end()
	if n := &c.Without; n.Limits > 0 {
		t.item("not judged")
		t.idle(n.Limits, n.Blocking)
		t.own(", counted job by job, in ", plural(n.Jobs, "job", "jobs")).end()
	}
	for _, k := range judge.Kinds() {
		t.item("outcomes").in(t.paint.of(k), spoken(k)).own(": ", plural(c.ByKind[k], "outcome", "outcomes"))
		if c.Blocking[k] > 0 && k.IsFinding() {
			t.own(ofThem(c.Blocking[k], c.ByKind[k]))
		}
		t.end()
	}
}

// kinds writes how often each outcome came out, leaving out what did not.
func (t *lines) kinds(before string, counts map[judge.Kind]int) {
	for _, k := range judge.Kinds() {
		if counts[k] > 0 {
			t.own(before, plural(counts[k], "outcome ", "outcomes "), spoken(k))
			before = ", "
		}
	}
}

// short is enough of a digest to tell two apart by eye.
func short(digest string) string { return digest[:min(12, len(digest))] }
