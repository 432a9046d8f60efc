package report

import "witnessmark.example/cmd/witnessmark/since"

// appendVerdict writes whether something is new, and what it was in the base; nothing
// where nothing is compared, and of what only waits.
func appendVerdict(b []byte, v since.Verdict) []byte {
	if v.State == "" {
		return b
	}
	b = appendText(b, "state", string(v.State))
	if v.Was == nil {
		return b
	}
	b = AppendJSON(append(b, `,"in_base":{"outcome":`...), v.Was.Kind.String())
	if v.Was.Value != "" {
		b = appendText(b, "value", v.Was.Value)
	}
	b = appendTruth(b, "blocking", v.Was.Blocking)
	return append(b, '}')
}

// appendComparedJob writes what is said of a job beside the base.
func appendComparedJob(b []byte, j *since.Job) []byte {
	if j == nil {
		return b
	}
	b = AppendJSON(append(b, `,"since":{"was":`...), j.Was)
	b = appendTruth(b, "edited", j.Edited)
	b = appendTruth(b, "shown", j.Shown)
	b = appendNumber(b, "new", j.New)
	b = appendNumber(b, "known", j.Known)
	fixed, gone := j.Count()
	b = appendNumber(b, "fixed", fixed)
	return append(appendNumber(b, "gone", gone), '}')
}

// appendSince writes the comparison as a whole.
func appendSince(b []byte, c *since.Comparison) []byte {
	if c == nil {
		return b
	}
	n := &c.Totals
	b = AppendJSON(append(b, ",\n\"since\":{\"ref\":"...), c.Ref)
	b = appendText(b, "base", c.Commit)
	b = appendNumber(b, "uncommitted", c.Uncommitted)
	b = appendTruth(b, "every_job_shown", c.Whole)
	b = appendTexts(b, "definitions_changed", c.Changed)
	b = appendNumbers(b, "findings", named{"new", n.New}, named{"known", n.Known}, named{"fixed", n.Fixed}, named{"gone", n.Gone}, named{"newly_accepted", n.NewAccepted})
	b = appendNumbers(b, "problems", named{"new", n.NewProblems}, named{"known", n.KnownProblems})
	b = appendNumbers(b, "job_files", named{"edited", n.Edited}, named{"added", n.Added}, named{"moved", n.Moved}, named{"removed", n.Removed})
	b = append(b, `,"left":[`...)
	for i := range c.Left {
		b = appendLeft(append(comma(b, i), '\n'), &c.Left[i])
	}
	return append(appendTexts(append(b, ']'), "not_compared", c.Notes), '}')
}

func appendLeft(b []byte, l *since.Left) []byte {
	b = AppendJSON(append(b, `{"state":`...), string(l.State))
	b = appendText(b, "limit", l.Name)
	b = appendText(b, "fact", l.Fact)
	outcome := "problem"
	if l.Kind != 0 {
		outcome = l.Kind.String()
	}
	b = appendText(b, "outcome", outcome)
	b = appendTruth(b, "blocking", l.Blocking)
	if l.Value != "" {
		b = appendText(b, "value", l.Value)
	}
	b = appendText(b, "file", l.File)
	b = appendText(b, "job", l.Job)
	return append(appendText(b, "became", l.Why), '}')
}

// named is a number with its key.
type named struct {
	key string
	n   int
}

func appendNumbers(b []byte, key string, all ...named) []byte {
	b = append(appendKey(b, key), '{')
	for i, one := range all {
		b = append(AppendJSON(comma(b, i), one.key), ':')
		b = appendInt(b, one.n)
	}
	return append(b, '}')
}
