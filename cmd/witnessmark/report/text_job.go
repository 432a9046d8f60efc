package report

import (
	"sort"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
)

// jobWriter writes the text of one job.
type jobWriter struct {
	*lines
	sink *textSink
	job  *checks.Job
	file string // as shown

	told map[*fact.Working]bool // calculations written in the finding at hand
}

// slot is one value of a job.
type slot struct {
	of   *fact.Instance
	leaf *fact.Leaf
}

// finding is one thing to look at, with its place among the others.
type finding struct {
	at    jobfile.Position
	name  string // of the limit or check; empty for a problem, which explains what follows
	about slot   // none of a problem
	kind  judge.Kind
	block bool // it blocks
	write func()

	outcomes []*judge.Outcome // that it tells of
}

// unreadWords say of a file that it is not even half a job.
const unreadWords = "the file could not be read; nothing of it was checked"

// write writes the job and tells whether it stands under a heading.
func (w *jobWriter) write() (heading bool) {
	if w.sink.settings.Summary {
		w.summary()
		return false
	}
	var all []finding
	for i := range w.job.Problems {
		p := &w.job.Problems[i]
		all = append(all, finding{at: p.At, write: func() { w.sinceProblem(i); w.problem(w.file, p) }})
	}
	if w.job.Result == nil {
		heading = w.listed(all)
		w.left()
		w.place(w.file, jobfile.Position{}).own(unreadWords)
		w.end()
		w.sinceLine()
		return heading
	}
	all = append(all, w.inFile()...)
	if w.sink.settings.Quiet {
		return w.quiet(all)
	}
	heading = w.listed(all)
	w.left()
	if len(all) > 0 {
		w.gates(w.job.Result.Facts.OnHold)
	}
	w.closing(len(all) == 0)
	w.sinceLine()
	return heading
}

// inFile makes the findings of the job, in the order of the file.
func (w *jobWriter) inFile() []finding {
	all := append(append(w.besideLimits(), w.absent()...), w.single()...)
	w.sinceMarks(all)
	sort.SliceStable(all, func(i, k int) bool { return all[i].before(&all[k]) })
	return all
}

// listed writes findings, under a heading where there is any, and tells whether.
func (w *jobWriter) listed(all []finding) (heading bool) {
	if len(all) > 0 && w.sink.headings() {
		heading = true
		w.headline(all)
	}
	w.inOrder(all)
	return heading
}

// before puts findings in the order of the file.
func (a *finding) before(b *finding) bool {
	switch {
	case a.at.Line != b.at.Line:
		return a.at.Line < b.at.Line
	case a.at.Column != b.at.Column:
		return a.at.Column < b.at.Column
	}
	return a.name < b.name
}

// inOrder writes findings by line, column and name.
func (w *jobWriter) inOrder(all []finding) {
	sort.SliceStable(all, func(i, j int) bool { return all[i].before(&all[j]) })
	for i := range all {
		clear(w.told)
		all[i].write()
	}
}

// besideLimits makes one finding of each value that is outside a limit or too
// close to one; all such limits on the value stand under it, the strictest first.
func (w *jobWriter) besideLimits() []finding {
	r := w.job.Result
	groups, order := map[slot][]*judge.Outcome{}, []slot(nil)
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if o.Limit == nil || o.Kind != judge.Outside && o.Kind != judge.TooClose {
			continue
		}
		key := slot{o.Of, o.Leaf}
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], o)
	}
	var out []finding
	for _, key := range order {
		group := groups[key]
		sort.SliceStable(group, func(i, j int) bool { return decidesBefore(group[i], group[j]) })
		first := group[0]
		out = append(out, finding{at: positionOf(r, first), name: first.Name(), about: key, kind: first.Kind, block: first.Blocking, write: func() { w.besideLimit(group) }, outcomes: group})
	}
	return out
}

// decidesBefore puts the strictest limit on a value first: outside before too
// close, blocking before advisory, then the one with the least room.
func decidesBefore(a, b *judge.Outcome) bool {
	switch {
	case (a.Kind == judge.Outside) != (b.Kind == judge.Outside):
		return a.Kind == judge.Outside
	case a.Blocking != b.Blocking:
		return a.Blocking
	case a.Signed != b.Signed:
		return a.Signed < b.Signed
	}
	return a.Name() < b.Name()
}

// single makes a finding of each outcome that stands for itself: not checked for
// another reason than an absent fact, accepted deviations, and built-in checks.
func (w *jobWriter) single() []finding {
	r := w.job.Result
	var out []finding
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		switch {
		case o.Check == judge.DatasheetRead: // stands with the product that could not be read
		case o.Limit == nil && o.Kind == judge.Outside:
			out = append(out, w.findingOf(o, func() { w.builtIn(o) }))
		case o.Kind == judge.NotChecked && gaveNothing(o.Value): // stands with the calculation that gave nothing
		case o.Kind == judge.NotChecked && !w.waitsOnDue(o):
			out = append(out, w.findingOf(o, func() { w.notChecked(o) }))
		case o.Kind == judge.Accepted:
			out = append(out, w.findingOf(o, func() { w.besideLimit([]*judge.Outcome{o}) }))
		}
	}
	return out
}

// findingOf makes a finding of one outcome that stands for itself.
func (w *jobWriter) findingOf(o *judge.Outcome, write func()) finding {
	return finding{at: positionOf(w.job.Result, o), name: o.Name(), about: slot{o.Of, o.Leaf}, kind: o.Kind, block: o.Blocking, write: write, outcomes: []*judge.Outcome{o}}
}

// waitsOnDue tells whether an outcome waits on a fact that stands as a finding
// of its own.
func (w *jobWriter) waitsOnDue(o *judge.Outcome) bool {
	for _, k := range o.WaitsOn {
		if !w.later(k) {
			return true
		}
	}
	return false
}

// later tells whether an absent fact is only due later: that is no finding.
func (w *jobWriter) later(k fact.Lack) bool {
	return w.job.Result.Facts.DueLater(k, w.job.Result.AsOf)
}
