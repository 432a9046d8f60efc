package report

import (
	"slices"
	"strconv"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// quiet writes a job in a report of findings and problems alone. A job of which no
// value was compared with a limit says so all the same: nothing of it was found, and
// that must not look like a pass. Those set aside by the firm itself are counted in
// the last sentence.
func (w *jobWriter) quiet(all []finding) (heading bool) {
	all = slices.DeleteFunc(all, func(f finding) bool { return f.kind == judge.Accepted })
	heading = w.listed(all)
	switch {
	case w.job.Result.SetAside():
		w.sink.setAside.Add(1)
	case w.tally().values == 0:
		w.closing(len(all) == 0)
	}
	return heading
}

// quietEnd is the one sentence that a quiet report ends with: how much was compared,
// what is left out, who decides.
func (s *textSink) quietEnd(t *lines, r *checks.Run) {
	c := &r.Counts
	if c.Jobs+c.Unread == 0 {
		t.own("No job file was found, so nothing was judged")
	} else {
		t.own(plural(c.Judged, "comparison", "comparisons"), " of values with limits in ", plural(c.Jobs, "job file", "job files"))
		if c.Unread > 0 {
			t.own(", ", plural(c.Unread, "file", "files"), " that could not be read")
		}
	}
	left := []string{}
	for _, k := range []judge.Kind{judge.Within, judge.Accepted, judge.NotDue, judge.NotApplicable} {
		if n := c.ByKind[k]; n > 0 {
			left = append(left, plural(n, "outcome ", "outcomes ")+spoken(k))
		}
	}
	if n := &c.Without; n.Limits > 0 {
		text := plural(n.Limits, "limit", "limits") + " that found nothing to judge"
		if n.Blocking > 0 {
			text += " (" + strconv.Itoa(n.Blocking) + " blocking)"
		}
		left = append(left, text)
	}
	if n := int(s.setAside.Load()); n > 0 {
		left = append(left, plural(n, "job that is set aside", "jobs that are set aside"))
	}
	if n := len(r.Notes); n > 0 {
		left = append(left, plural(n, "note", "notes")+" on what this run did not check at all")
	}
	for i, text := range left {
		switch {
		case i == 0:
			t.own("; left out: ")
		case i == len(left)-1:
			t.own(" and ")
		default:
			t.own(", ")
		}
		t.own(text)
	}
	t.own("; nothing else was checked, this tool approves nothing, and local code, the authority having jurisdiction and licensed practice decide.").end()
}
