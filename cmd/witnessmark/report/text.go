package report

import (
	"io"
	"slices"
	"sync/atomic"
	"time"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/since"
)

// caution closes every text report.
const caution = "Work on batteries can kill. Local code, the authority having jurisdiction and licensed practice decide. This tool approves nothing, and what is not listed was not checked."

// textSink writes the report for people.
type textSink struct {
	stream
	paint palette
	path  func(string) string

	settings Settings
	since    *since.Comparison // nil where nothing is compared with a base

	calculations bool        // in full
	shortened    atomic.Bool // some were written in short
	several      bool        // job files are judged in this run
	setAside     atomic.Int64
	wrote        bool // a job
	heading      bool // the last one stands under a heading

	shown shownFiles
}

// NewText returns the sink of the text report.
func NewText(w io.Writer, s Settings) checks.Sink {
	path := s.Path
	if path == nil {
		path = func(file string) string { return file }
	}
	return &textSink{stream: newStream(w), paint: newPalette(s.Colour), path: path, settings: s, calculations: s.Calculations, since: s.Since}
}

// lines begins text behind what is there.
func (s *textSink) lines(dst []byte) *lines {
	return &lines{b: dst, paint: s.paint, path: s.path, wrapping: wrapping{width: s.settings.Width, start: len(dst)}}
}

// Begin writes nothing: the first line of the report is the first finding, or the
// heading above it.
func (s *textSink) Begin(r *checks.Run) error {
	s.several = r.Files > 1
	return nil
}

// Render writes one job: its problems and findings in the order of the file,
// what is open before its gates, and what was judged. It is safe for concurrent use.
func (s *textSink) Render(dst []byte, job *checks.Job) []byte {
	s.shown.add(job)
	if compared := s.since.Of(job); compared != nil && !compared.Shown {
		return append(dst, withoutHeading)
	}
	mark := len(dst)
	t := s.lines(append(dst, withoutHeading))
	if job.Result != nil {
		t.asOf = job.Result.AsOf
	}
	w := jobWriter{lines: t, sink: s, job: job, file: s.path(job.File)}
	if w.write() {
		t.b[mark] = withHeading
	}
	return t.b
}

// Job writes what Render made of one job.
func (s *textSink) Job(rendered []byte) error {
	mark, text := rendered[0], rendered[1:]
	if len(text) == 0 {
		return nil
	}
	if err := s.blank(mark == withHeading); err != nil {
		return err
	}
	return s.write(text)
}

// End writes what came out across files, the problems of definitions and the
// totals.
func (s *textSink) End(r *checks.Run) error {
	t := s.lines(nil)
	t.asOf = r.AsOf.Day(time.UTC)
	if s.settings.Summary {
		repositorySummary(t, r)
	} else {
		s.acrossFiles(t, r)
	}
	if err := s.gap(len(t.b) > 0 || s.settings.Quiet); err != nil {
		return err
	}
	if s.since != nil {
		t.leftApart(s.since)
		t.sinceTotals(s.since)
	}
	if s.settings.Quiet {
		s.quietEnd(t, r)
	} else {
		totals(t, r, s.shortened.Load())
	}
	return s.end(t.b)
}

// acrossFiles writes what belongs to no job alone: sums, checks across files, and
// problems of definitions; under a heading where jobs have one and there is something
// to look at.
func (s *textSink) acrossFiles(t *lines, r *checks.Run) {
	if s.headings() && s.wrote && s.looksAcross(r) {
		s.heading = true
		t.in(t.paint.strong, "Across files and in definitions").end()
	}
	s.repository(t, r)
	for i, p := range s.shown.others(r) {
		t.state = s.since.Problem(i).State
		t.problem(s.path(p.File), p)
	}
}

// looksAcross tells whether there is something to look at that belongs to no job.
func (s *textSink) looksAcross(r *checks.Run) bool {
	for range s.shown.others(r) {
		return true
	}
	find := func(o checks.RepositoryOutcome) bool { return o.Kind.IsFinding() }
	return slices.ContainsFunc(r.Repository.Outcomes, find) ||
		slices.ContainsFunc(r.Repository.Premises, func(p checks.PremisesResult) bool { return slices.ContainsFunc(p.Outcomes, find) })
}

// problem writes something that kept a file or definition from being checked.
func (t *lines) problem(path string, p *checks.Problem) {
	t.place(path, p.At)
	t.stateBefore()
	t.in(t.paint.outside, "problem").own(": ").from(p.Message)
	t.end()
	if p.Mend != "" {
		t.item("mend").from(p.Mend)
		t.end()
	}
}
