package report

import (
	"io"
	"sync/atomic"
	"time"

	"witnessmark.example/checks"
)

// caution closes every text report.
const caution = "Work on batteries can kill. Local code, the authority having jurisdiction and licensed practice decide. This tool approves nothing, and what is not listed was not checked."

// textSink writes the report for people.
type textSink struct {
	stream
	paint palette
	path  func(string) string

	calculations bool        // in full
	shortened    atomic.Bool // some were written in short

	shown shownFiles
}

// NewText returns the sink of the text report.
func NewText(w io.Writer, s Settings) checks.Sink {
	path := s.Path
	if path == nil {
		path = func(file string) string { return file }
	}
	return &textSink{stream: newStream(w), paint: newPalette(s.Colour), path: path, calculations: s.Calculations}
}

// Begin writes nothing: the first line of the report is the first finding.
func (s *textSink) Begin(*checks.Run) error { return nil }

// Render writes one job: its problems and findings in the order of the file,
// what is open before its gates, and what was judged. It is safe for concurrent use.
func (s *textSink) Render(dst []byte, job *checks.Job) []byte {
	if len(job.Problems) > 0 {
		s.shown.add(job.File)
	}
	t := &lines{b: dst, paint: s.paint, path: s.path}
	if job.Result != nil {
		t.asOf = job.Result.AsOf
	}
	w := jobWriter{lines: t, sink: s, job: job, file: s.path(job.File)}
	w.write()
	return t.b
}

// Job writes what Render made of one job.
func (s *textSink) Job(rendered []byte) error { return s.write(rendered) }

// End writes what came out across files, the problems of definitions and the
// totals.
func (s *textSink) End(r *checks.Run) error {
	t := &lines{paint: s.paint, path: s.path, asOf: r.AsOf.Day(time.UTC)}
	s.repository(t, r)
	for i := range r.Problems {
		if p := &r.Problems[i]; !s.shown.has(p.File) {
			t.problem(s.path(p.File), p)
		}
	}
	totals(t, r, s.shortened.Load())
	return s.end(t.b)
}

// problem writes something that kept a file or definition from being checked.
func (t *lines) problem(path string, p *checks.Problem) {
	t.place(path, p.At).in(t.paint.outside, "problem").own(": ").from(p.Message)
	t.end()
	if p.Mend != "" {
		t.item("mend").from(p.Mend)
		t.end()
	}
}
