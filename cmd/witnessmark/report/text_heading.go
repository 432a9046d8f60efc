package report

import "witnessmark.example/checks/judge"

// The first byte of a rendered job says whether it stands under a heading; it is
// taken off again when the job is written.
const (
	withoutHeading = '-'
	withHeading    = '#'
)

// blank writes an empty line where a job under a heading ends or begins. Jobs of one
// line each follow each other without.
func (s *textSink) blank(heading bool) error {
	before, after := s.wrote, s.wrote && s.heading
	s.wrote, s.heading = true, heading
	if !before || !heading && !after {
		return nil
	}
	return s.write([]byte{'\n'})
}

// gap writes an empty line behind a job under a heading where something follows.
func (s *textSink) gap(follows bool) error {
	if !follows || !s.heading {
		return nil
	}
	return s.write([]byte{'\n'})
}

// headings tells whether findings stand under the name of their job: on a terminal,
// and where a run judges several job files, so that it is plain where one ends.
func (s *textSink) headings() bool { return s.settings.Headings || s.several }

// headline writes the line above the findings of a job: which job it is, and how many
// of them there are. It begins with a word and has no colon before its numbers, so
// that no editor takes it for a place.
func (w *jobWriter) headline(all []finding) {
	problems, accepted := 0, 0
	for i := range all {
		switch {
		case all[i].name == "":
			problems++
		case all[i].kind == judge.Accepted:
			accepted++
		}
	}
	w.b = append(w.b, w.paint.strong.on...)
	if w.job.Result == nil {
		w.own("A file that could not be read")
	} else {
		w.jobName("Job ")
	}
	before := ": "
	for _, part := range []struct {
		n         int
		one, many string
	}{
		{len(all) - problems - accepted, "finding", "findings"},
		{accepted, "accepted deviation", "accepted deviations"},
		{problems, "problem", "problems"},
	} {
		if part.n > 0 {
			w.own(before, plural(part.n, part.one, part.many))
			before = ", "
		}
	}
	w.b = append(w.b, w.paint.strong.off...)
	w.end()
}

// jobName names a job by its number, status and stage.
func (w *jobWriter) jobName(before string) {
	w.own(before).from(w.job.Number)
	if w.job.Status != "" && w.job.Status != "active" {
		w.own(" (").from(w.job.Status).own(", ").from(stageOr(w.job.Stage)).own(")")
		return
	}
	w.own(" (").from(stageOr(w.job.Stage)).own(")")
}
