// Package report writes what a run found: one file for each output format, and
// the escaping that keeps everything that came from a file from steering the
// terminal, the CI log or the page it is shown in. Colour, paths and the like
// are decided by the caller and passed in.
package report

import (
	"bufio"
	"io"

	"witnessmark.example/checks"
)

// Settings say how a report is written. The zero value writes every outcome,
// without colour, with paths from the root.
type Settings struct {
	Colour       bool
	FindingsOnly bool                     // leave outcomes out that nobody has to look at (JSON, HTML, JUnit)
	Calculations bool                     // write calculations in full (text); JSON always does
	Path         func(file string) string // how a path from the root is shown in text and in what CI shows; nil for as it is
}

// Format is one format a report can have.
type Format struct {
	Name    string // as in --output NAME:PATH
	Summary string // for the help text
	New     func(w io.Writer, s Settings) checks.Sink
}

// Formats lists the formats, the default first.
func Formats() []Format {
	return []Format{
		{"text", "for people: findings, what is open before each gate, totals", NewText},
		{"json", "for programs: every outcome with its working; see lint.schema.json", NewJSON},
		{"html", "for the reviewer: one page with every value, to read, filter, print and sign", NewHTML},
		{"markdown", "for a comment on a change: findings job by job, at most 65,536 characters", NewMarkdown},
		{"summary", "the same for the summary of a CI run, at most 900 KiB", NewSummary},
		{"annotations", "log commands of the CI host, the worst findings beside their lines", NewAnnotations},
		{"sarif", "findings as SARIF 2.1.0, for upload to the host", NewSARIF},
		{"sarif-audit", "every outcome as SARIF 2.1.0, with the clauses that limits go back to", NewSARIFAudit},
		{"junit", "a test case for each limit and value, as hosts read results of tests", NewJUnit},
		{"code-quality", "findings as JSON for hosts that show code quality", NewCodeQuality},
	}
}

// FormatNames lists the names of the formats.
func FormatNames() []string {
	var names []string
	for _, f := range Formats() {
		names = append(names, f.Name)
	}
	return names
}

// stream is the writing half of a sink. It gathers small writes; end hands on
// what is left.
type stream struct{ out *bufio.Writer }

func newStream(w io.Writer) stream { return stream{bufio.NewWriterSize(w, 1<<16)} }

func (s stream) write(b []byte) error {
	_, err := s.out.Write(b)
	return err
}

func (s stream) end(b []byte) error {
	if err := s.write(b); err != nil {
		return err
	}
	return s.out.Flush()
}
