package report

import (
	"encoding/binary"
	"io"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/cmd/witnessmark/since"
)

// The HTML report is one file. Up to plainSize it is written as it is; in a larger one
// what stands under the heading of a job is packed, and unpacked by the page when
// somebody opens the job; beyond wholeSize only what somebody has to look at is left,
// and the page says so.
const (
	plainSize = 20 << 20
	wholeSize = 30_000_000
)

// htmlSink writes the report for the reviewer. The page begins with figures that are
// known only after the last job, so what is written of the jobs is kept until then.
type htmlSink struct {
	stream
	kept  keptJobs
	since *since.Comparison // nil where nothing is compared with a base
}

// NewHTML returns the sink of the reviewer's report.
func NewHTML(w io.Writer, s Settings) checks.Sink {
	return newHTML(w, s, plainSize, wholeSize)
}

// newHTML is NewHTML with other bounds.
func newHTML(w io.Writer, s Settings, plain, whole int) checks.Sink {
	return &htmlSink{stream: newStream(w), since: s.Since, kept: keptJobs{plain: plain, whole: whole, asked: s.FindingsOnly, findingsOnly: s.FindingsOnly}}
}

// Begin writes nothing: the page begins with what is known at the end.
func (s *htmlSink) Begin(*checks.Run) error { return nil }

// Render writes the parts of one job: the name of its section, its row in the table, what it is and by what it
// was judged, what somebody has to look at, every value, and the place to sign. It is safe for concurrent use.
func (s *htmlSink) Render(dst []byte, job *checks.Job) []byte {
	h := newHTMLJob(job, s.since)
	var parts [6]markup
	// What there is of findings and values is known, and told to the filter, when they
	// are written.
	for _, part := range []struct {
		at    int
		write func(*markup)
	}{{0, h.name}, {1, h.row}, {3, h.lookAt}, {4, h.values}, {5, h.closing}, {2, h.opening}} {
		part.write(&parts[part.at])
	}
	for i := range parts {
		dst = binary.AppendUvarint(dst, uint64(len(parts[i].b)))
		dst = append(dst, parts[i].b...)
	}
	return dst
}

// Job keeps what Render made of one job.
func (s *htmlSink) Job(rendered []byte) error {
	var parts [6][]byte
	for i := range parts {
		size, n := binary.Uvarint(rendered)
		parts[i] = rendered[n : n+int(size)]
		rendered = rendered[n+int(size):]
	}
	return s.kept.add(parts)
}

// End writes the page.
func (s *htmlSink) End(r *checks.Run) error {
	p := &htmlPage{run: r, kept: &s.kept, since: s.since, asOf: r.AsOf.Day(utc), write: s.write}
	if err := p.all(); err != nil {
		return err
	}
	return s.end(nil)
}

// topicTitle is the name of a topic as a heading.
func topicTitle(name string) string { return string(name[0]-'a'+'A') + name[1:] }

// topics are the topics in the order of the report.
var topics = fact.Topics()
