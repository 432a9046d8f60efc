package report

import (
	"strings"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/cmd/witnessmark/since"
)

// compared returns what is said of the job beside the base; nil where nothing is
// compared.
func (w *jobWriter) sinceOf() *since.Job { return w.sink.since.Of(w.job) }

// sinceMarks has each finding say whether it is new, and what it was in the base.
func (w *jobWriter) sinceMarks(all []finding) {
	of := w.sinceOf()
	if of == nil {
		return
	}
	for i := range all {
		write, v := all[i].write, of.Together(all[i].outcomes)
		all[i].write = func() {
			w.state = v.State
			write()
			w.inBase(v)
		}
	}
}

// sinceProblem marks the problem that is written next.
func (w *jobWriter) sinceProblem(i int) {
	w.state = w.sinceOf().Problem(i).State
}

// stateBefore writes whether the finding that begins is new or known.
func (t *lines) stateBefore() {
	switch t.state {
	case since.New:
		t.in(t.paint.strong, "new").own(", ")
	case since.Known:
		t.in(t.paint.faint, "known").own(", ")
	}
	t.state = ""
}

// inBase says how it came out in the base, where that was something else.
func (t *lines) inBase(v since.Verdict) {
	if v.Was == nil {
		return
	}
	t.item("in the base").own(spoken(v.Was.Kind))
	if v.Was.Value != "" {
		t.own(", ").from(v.Was.Value)
	}
	if !v.Was.Blocking {
		t.own(", advisory")
	}
	t.end()
}

// left writes the findings of the base that the job has no more.
func (w *jobWriter) left() {
	of := w.sinceOf()
	if of == nil {
		return
	}
	for i := range of.Left {
		w.leftOne(w.file, &of.Left[i])
	}
}

// leftApart writes those of jobs that are gone, and those across jobs.
func (t *lines) leftApart(c *since.Comparison) {
	for i := range c.Apart {
		t.leftOne(t.path(c.Apart[i].File), &c.Apart[i])
	}
}

// leftOne writes one finding that stands no more. What is not judged any more is no
// mend, and says so.
func (t *lines) leftOne(path string, l *since.Left) {
	t.place(path, jobfile.Position{})
	if l.State == since.Fixed {
		t.in(t.paint.within, "fixed").own(": ")
	} else {
		t.in(t.paint.strong, "gone").own(": ")
	}
	t.leftWords(l)
	t.end()
}

// leftWords says what stood there in the base, and what became of it.
func (t *lines) leftWords(l *since.Left) {
	if l.Kind == 0 {
		t.own("problem: ").from(l.Fact)
	} else {
		t.from(l.About)
		if l.Job != "" {
			t.own(" (").from(l.Fact).own(")")
		} else if _, premises, ok := strings.Cut(l.Fact, " of premises "); ok {
			t.own(" of premises ").from(premises)
		}
		t.own(" was ", spoken(l.Kind))
		if l.Value != "" {
			t.own(" at ").from(l.Value)
		}
		t.own(", ").from(l.Name)
	}
	t.own("; ", l.Why)
	if l.State == since.Gone {
		t.own(", so nothing says that it is in order")
	}
}

// sinceLine counts what is new in the job.
func (w *jobWriter) sinceLine() {
	of := w.sinceOf()
	if of == nil {
		return
	}
	fixed, gone := of.Count()
	w.own("  since the base: ", counted(of.New, of.Known, fixed, gone))
	switch {
	case of.Was == "":
		w.own("; the job file was not there")
	case of.Was != of.File:
		w.own("; the job file was ").from(w.path(of.Was))
	case !of.Edited:
		w.own("; the job file is as it was")
	}
	w.own(".").end()
}

// counted is how many findings are new, known, fixed and gone.
func counted(new, known, fixed, gone int) string {
	words := plural(new, "new", "new") + ", " + plural(known, "known", "known") + ", " + plural(fixed, "fixed", "fixed")
	if gone > 0 {
		words += ", " + plural(gone, "gone without being judged again", "gone without being judged again")
	}
	return words
}

// sinceTotals says with what was compared, what is shown, and how much is new.
func (t *lines) sinceTotals(c *since.Comparison) {
	n := &c.Totals
	t.end()
	t.in(t.paint.strong, "Compared").own(" with ").from(c.Ref).own(", base ", c.Short(), ", both judged as of the same time by this version").end()
	t.item("findings").own(counted(n.New, n.Known, n.Fixed, n.Gone), ", one for each limit and value; the exit status counts those that are new").end()
	if n.NewAccepted > 0 {
		t.item("accepted").own(plural(n.NewAccepted, "deviation is", "deviations are"), " newly accepted").end()
	}
	if n.NewProblems+n.KnownProblems > 0 {
		t.item("problems").own(plural(n.NewProblems, "problem is new", "problems are new"), ", ", plural(n.KnownProblems, "was known", "were known")).end()
	}
	t.item("job files").own(plural(n.Edited, "differs", "differ"), ", ", plural(n.Added, "is new", "are new"), ", ", plural(n.Moved, "was moved", "were moved"), ", ", plural(n.Removed, "is gone", "are gone")).end()
	if c.Whole {
		t.item("all shown").own("every job is shown, since not only job files differ, and what differs may re-judge any of them")
		t.changed(c.Changed)
	}
	t.flipped(c)
	if n.JobsNotShown > 0 {
		t.item("not shown").own(plural(n.JobsNotShown, "job", "jobs"), " whose file is as it was and in which nothing is new or fixed; known findings in them: ", plural(n.KnownNotShown, "finding", "findings")).end()
	}
	if c.Uncommitted > 0 {
		t.item("work tree").own(plural(c.Uncommitted, "path is", "paths are"), " changed or new and not committed; the files were judged as they lie").end()
	}
	for _, note := range c.Notes {
		t.item("not compared").from(note).end()
	}
}

// changed names the definitions that differ.
func (t *lines) changed(files []string) {
	if len(files) == 0 {
		t.own(": definitions that are read through a link").end()
		return
	}
	t.own(": ")
	t.list(files, 8)
}

// flipped names the jobs that come out otherwise though their files are as they were.
func (t *lines) flipped(c *since.Comparison) {
	const most = 20
	n := 0
	for _, j := range c.Jobs {
		if j.Was != j.File || j.Edited || j.New+len(j.Left) == 0 {
			continue
		}
		if n++; n <= most {
			fixed, gone := j.Count()
			t.item("re-judged").from(t.path(j.File)).own(": ", counted(j.New, j.Known, fixed, gone), "; its file is as it was").end()
		}
	}
	if n > most {
		t.item("re-judged").own("and ", plural(n-most, "other job", "other jobs")).end()
	}
}
