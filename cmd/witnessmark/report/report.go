// Package report writes what a run found: one file for each output format, and
// the escaping that keeps everything that came from a file from steering the
// terminal, the CI log or the page it is shown in. Colour, paths and the like
// are decided by the caller and passed in.
package report

import (
	"bufio"
	"io"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/report/pages"
	"witnessmark.example/cmd/witnessmark/since"
)

// Settings say how a report is written. The zero value writes every outcome,
// without colour, with paths from the root.
type Settings struct {
	Colour       bool
	FindingsOnly bool                     // leave outcomes out that nobody has to look at (JSON, CSV, HTML, JUnit)
	Calculations bool                     // write calculations in full (text); JSON always does
	Width        int                      // columns of text, from 20; 0 for lines as long as they are
	Headings     bool                     // in text: a line above the findings of a job, also of the only one
	Quiet        bool                     // in text: findings and problems alone
	Summary      bool                     // in text: a line for each job and the totals; not with Quiet
	Path         func(file string) string // how a path from the root is shown in text and in what CI shows; nil for as it is
	Since        *since.Comparison        // with the base; nil where nothing is compared
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
		{"csv", "for spreadsheets: a row for every outcome and for every value that no limit judged", NewCSV},
		{"html", "for the reviewer: one page with every value, to read, filter, print and sign", NewHTML},
		{pages.Emergency.Name, "page for the fire service: what stands where, what shuts it down (HTML)", newPages(pages.Emergency)},
		{pages.Owner.Name, "page for the owner: daily use, warnings, upkeep (HTML)", newPages(pages.Owner)},
		{pages.Snags.Name, "what is to be put right, by whom and until when (HTML)", newPages(pages.Snags)},
		{pages.Labels.Name, "labels and signs at their letter height (HTML)", newPages(pages.Labels)},
		{"markdown", "for a comment on a change: findings job by job, at most 65,536 characters", NewMarkdown},
		{"summary", "the same for the summary of a CI run, at most 900 KiB", NewSummary},
		{"annotations", "log commands of the CI host, the worst findings beside their lines", NewAnnotations},
		{"sarif", "findings as SARIF 2.1.0, for upload to the host", NewSARIF},
		{"sarif-audit", "every outcome as SARIF 2.1.0, with the clauses that limits go back to", NewSARIFAudit},
		{"junit", "a test case for each limit and value, as hosts read results of tests", NewJUnit},
		{"code-quality", "findings as JSON for hosts that show code quality", NewCodeQuality},
	}
}

// newPages is a sink of pages for people outside the firm, in every language of a
// site.
func newPages(k pages.Kind) func(io.Writer, Settings) checks.Sink {
	return func(w io.Writer, _ Settings) checks.Sink { return pages.New(k, w, Shown) }
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
