package report

import (
	"strings"

	"witnessmark.example/cmd/witnessmark/since"
)

// compared takes over what is said of it beside the base.
func (o *Open) compared(v since.Verdict) {
	o.State, o.InBase = v.State, inBaseText(v)
}

// inBaseText says how it came out in the base, where that was something else.
func inBaseText(v since.Verdict) string {
	if v.Was == nil {
		return ""
	}
	text := spoken(v.Was.Kind)
	if v.Was.Value != "" {
		text += ", " + v.Was.Value
	}
	if !v.Was.Blocking {
		text += ", advisory"
	}
	return text
}

// inFull tells whether it is told in full where what was known is only counted. A
// problem is, known or not, since the run fails by it.
func (o *Open) inFull() bool { return o.State != since.Known || o.Kind == 0 }

// state is the state as a word before the outcome; empty where nothing is compared.
func (o *Open) state() string {
	if o.State == "" {
		return ""
	}
	return string(o.State) + ", "
}

// leftOf lists what stood open in the base and does no more, with the state fixed or
// gone; of these only fixed is good news. It is complete after the last job.
func leftOf(c *since.Comparison) []Open {
	if c == nil {
		return nil
	}
	var out []Open
	for i := range c.Left {
		l := &c.Left[i]
		t := &lines{path: func(file string) string { return file }}
		o := Open{Name: l.Name, Kind: l.Kind, Blocking: l.Blocking, Job: l.Job, File: l.File, Fact: l.Fact, State: l.State, Key: keyLeft(l)}
		o.Text = sentenceCase(t.sentence(func() { t.leftWords(l) }))
		out = append(out, o)
	}
	return out
}

// keyLeft is the identity that the finding had in the base.
func keyLeft(l *since.Left) string {
	switch {
	case l.Kind == 0:
		return keyProblem(l.Name, l.File, l.Fact)
	case l.Sum != "":
		return keyOf(l.Name, "premises", l.Of, l.Sum)
	case l.Of != "":
		return keyOf(l.Name, l.File, strings.TrimSuffix(l.Fact, " of "+l.Of))
	}
	return keyOf(l.Name, l.File, l.Fact)
}

// sinceSentence says in one line with what was compared and what came out.
func sinceSentence(c *since.Comparison) string {
	n := &c.Totals
	text := "compared with " + c.Ref + ", base " + c.Short() + ": " + counted(n.New, n.Known, n.Fixed, n.Gone) + ", one for each limit and value; the exit status counts those that are new"
	if n.NewAccepted > 0 {
		text += "; " + plural(n.NewAccepted, "deviation is", "deviations are") + " newly accepted"
	}
	if n.NewProblems+n.KnownProblems > 0 {
		text += "; " + plural(n.NewProblems, "problem is new", "problems are new") + ", " + plural(n.KnownProblems, "was known", "were known")
	}
	if c.Whole {
		text += "; definitions differ, which may re-judge any job"
	}
	if c.Uncommitted > 0 {
		text += "; " + plural(c.Uncommitted, "path is", "paths are") + " changed or new and not committed"
	}
	return text
}

// leftLines names what is gone and what is fixed, each with its file.
func leftLines(c *since.Comparison, path func(string) string) (gone, fixed []string) {
	for _, o := range leftOf(c) {
		line := string(o.State) + ": " + o.Text
		if o.File != "" {
			line = path(o.File) + ": " + line
		}
		if o.State == since.Fixed {
			fixed = append(fixed, line)
		} else {
			gone = append(gone, line)
		}
	}
	return gone, fixed
}
