package report

import (
	"io"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/since"
)

// byteOrderMark begins the table. Without it the most widespread spreadsheet reads
// UTF-8 as the code page of its machine, and no ° or Ω or ≥ survives; every other one
// knows the mark. A program that reads the table drops it, or takes the JSON report.
const byteOrderMark = "\ufeff"

// Words for rows that are no outcome of a limit or check. None of them is one of
// judge.Kind, so that nothing that was not compared can be counted as if it had been.
const (
	rowNotJudged = "not_judged"       // a value to which no limit applied
	rowNothing   = "nothing_to_judge" // a list without an entry, for which there are limits
	rowBroken    = "broken_limit"     // a limit that is not understood
	rowUnread    = "unread"           // a file that could not be read
	rowProblem   = "problem"          // what kept something from being checked
	rowNote      = "note"             // on the run as a whole
)

// csvSink writes the table of all measures, for a spreadsheet.
type csvSink struct {
	stream
	findingsOnly bool
	since        *since.Comparison // nil where nothing is compared with a base
	shown        shownFiles
}

// NewCSV returns the sink of the table of all measures.
func NewCSV(w io.Writer, s Settings) checks.Sink {
	return &csvSink{stream: newStream(w), findingsOnly: s.FindingsOnly, since: s.Since}
}

// Begin writes the names of the columns.
func (s *csvSink) Begin(*checks.Run) error {
	var names []string
	for _, c := range measureColumns() {
		names = append(names, c.name)
	}
	return s.write([]byte(byteOrderMark + strings.Join(names, ",") + "\r\n"))
}

// Render writes the rows of one job: problems, outcomes, values that no limit judged,
// and what else was not judged. It is safe for concurrent use.
func (s *csvSink) Render(dst []byte, job *checks.Job) []byte {
	s.shown.add(job)
	t := newTable(dst)
	j := jobRows{table: t, job: job, since: s.since.Of(job), base: measure{job: job.Number, premises: job.Premises, status: job.Status, stage: job.Stage, file: job.File}}
	for i := range job.Problems {
		j.problem(&job.Problems[i])
	}
	if job.Result == nil {
		m := j.base
		m.outcome, m.reason = rowUnread, unreadWords
		t.row(&m)
		return t.done()
	}
	for i := range job.Result.Outcomes {
		if o := &job.Result.Outcomes[i]; !s.findingsOnly || o.Kind.IsFinding() {
			j.outcome(o)
		}
	}
	if !s.findingsOnly {
		j.values()
	}
	j.notJudged()
	return t.done()
}

// Job writes what Render made of one job.
func (s *csvSink) Job(rendered []byte) error { return s.write(rendered) }

// End writes what came out across files, the problems of definitions, and what holds
// for the run as a whole.
func (s *csvSink) End(r *checks.Run) error {
	t := newTable(nil)
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			s.across(t, p.Premises, strings.Join(p.Jobs, " "), &p.Outcomes[k])
		}
	}
	for i := range r.Repository.Outcomes {
		s.across(t, "", "", &r.Repository.Outcomes[i])
	}
	for i, p := range s.shown.others(r) {
		m := problemRow(measure{file: p.File}, p)
		m.beside(s.since.Problem(i))
		t.row(m)
	}
	note := func(text string) { t.row(&measure{outcome: rowNote, reason: text}) }
	if r.Counts.Judged == 0 {
		note(nothingJudged)
	}
	for _, n := range r.Notes {
		note(n)
	}
	if r.Redacted {
		note(redactedNote)
	}
	if c := s.since; c != nil {
		note("compared with " + c.Commit + ", the base of " + c.Ref + ": " + strconv.Itoa(c.Totals.New) + " new, " + strconv.Itoa(c.Totals.Known) + " known; " +
			strconv.Itoa(c.Totals.Fixed) + " fixed and " + strconv.Itoa(c.Totals.Gone) + " gone, which have no row")
	}
	note("as of " + r.AsOf.String() + ", limits " + r.LimitsDigest + ", witnessmark " + r.Tool)
	note(caution)
	return s.end(t.done())
}

// across writes an outcome that belongs to several jobs at once.
func (s *csvSink) across(t *table, premises, jobs string, o *checks.RepositoryOutcome) {
	if s.findingsOnly && !o.Kind.IsFinding() {
		return
	}
	m := measure{job: jobs, premises: premises, file: o.File, at: o.At, fact: o.Fact, written: o.Written, limit: o.Name,
		outcome: o.Kind.String(), blocking: truth(o.Blocking), reason: o.Reason, ruleSet: builtInSet}
	m.beside(s.since.Outcome(o))
	unit := repositoryUnit(o)
	m.number, _ = numberIn(o.Value, unit)
	m.unit = unit.Symbol()
	if o.Limit != nil {
		leaf := o.Limit.Way.Leaf
		m.label, m.unit = label(leaf), leaf.UnitName(unit)
		m.bound, _ = numberIn(o.Bound, unit)
		if c := leaf.Calculation; c != nil {
			m.formula = c.Formula
		}
		m.of(o.Limit, false)
	}
	if o.Margin != "" {
		m.margin = signed(o.Room, o.Kind == judge.Outside)
	}
	if o.Limit != nil && compared(o.Kind) {
		m.strictest = truth(o.Strict)
	}
	t.row(&m)
}
