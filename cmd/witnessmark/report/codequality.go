package report

import (
	"io"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// codeQualitySink writes the list of findings that one of the hosts shows beside the
// lines of a change.
type codeQualitySink struct {
	stream
	openSink
	path func(string) string
}

// NewCodeQuality returns the sink of the code-quality report.
func NewCodeQuality(w io.Writer, s Settings) checks.Sink {
	return &codeQualitySink{openSink: openSink{since: s.Since}, stream: newStream(w), path: s.pathOf()}
}

// End writes the list; an empty one where there is nothing to look at. The form knows
// only things to look at, so what was not checked in the run as a whole is one of them.
func (s *codeQualitySink) End(r *checks.Run) error {
	all := s.all(r)
	for _, n := range r.Notes {
		all = append(all, Open{Name: "not-checked", Kind: judge.NotChecked, Text: n, Key: keyOf("note", n)})
	}
	b := []byte("[")
	for i := range all {
		b = s.issue(append(comma(b, i), '\n'), &all[i])
	}
	return s.end(append(b, "]\n"...))
}

func (s *codeQualitySink) issue(b []byte, o *Open) []byte {
	text := o.message(func(name, text string) string { return "; " + name + ": " + text })
	b = AppendJSON(append(b, `{"description":`...), text)
	b = appendText(b, "check_name", o.Name)
	b = appendText(b, "fingerprint", o.Key)
	b = appendText(b, "severity", o.severityWord())
	b = AppendJSON(append(b, `,"location":{"path":`...), s.path(o.place()))
	b = append(b, `,"lines":{"begin":`...)
	return append(appendInt(b, max(o.Line, 1)), "}}}"...)
}

// severityWord is the word of the code-quality report for how much a finding matters.
func (o *Open) severityWord() string {
	switch {
	case o.Kind == 0:
		return "blocker"
	case o.Kind == judge.Accepted:
		return "info"
	case o.Blocking && o.Kind != judge.TooClose:
		return "critical"
	case o.Blocking:
		return "major"
	}
	return "minor"
}

// rootFile is where things are shown that belong to no file of their own.
const rootFile = "witnessmark.cue"

// place is the file where a finding is shown.
func (o *Open) place() string {
	if o.File == "" {
		return rootFile
	}
	return o.File
}
