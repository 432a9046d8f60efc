package report

import (
	"maps"
	"slices"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// tally counts what came out for one job.
type tally struct {
	values, limits int // compared: values with limits
	kinds          [judge.Accepted + 1]int
}

func (w *jobWriter) tally() tally {
	var n tally
	values, limits := map[slot]bool{}, map[string]bool{}
	for i := range w.job.Result.Outcomes {
		o := &w.job.Result.Outcomes[i]
		if o.Limit == nil {
			continue // a built-in check compares nothing with a limit
		}
		n.kinds[o.Kind]++
		if compared(o.Kind) {
			values[slot{o.Of, o.Leaf}] = true
			limits[o.Name()] = true
		}
	}
	n.values, n.limits = len(values), len(limits)
	return n
}

// closing writes the line that every job gets, so that silence never looks like
// a pass: what was judged and what was not.
func (w *jobWriter) closing(clean bool) {
	n := w.tally()
	if clean {
		w.place(w.file, jobfile.Position{})
	} else {
		w.own("  ")
	}
	w.jobName("job ")
	w.own(": ")
	w.compared(&n, clean)
	w.rest(&n)
	w.judgedBy()
	below := clean && w.hidesPoints()
	if clean && !below {
		w.openCount()
	}
	w.own(".").end()
	if below {
		w.gates(true)
	}
	w.notJudged()
}

// compared says how many values were compared with limits, or that none was.
func (w *jobWriter) compared(n *tally, clean bool) {
	switch {
	case w.job.Result.SetAside():
		w.own("not judged")
		if len(w.job.Result.Outcomes) > 0 {
			w.own(", since ").from(w.job.Result.Outcomes[0].Reason)
		}
	case n.values == 0:
		w.own("nothing was judged: no value was compared with a limit")
	case clean:
		w.in(w.paint.within, plural(n.values, "value", "values"), " within ", plural(n.limits, "limit", "limits"))
	default:
		w.own(plural(n.values, "value was", "values were"), " compared with ", plural(n.limits, "limit", "limits"))
	}
}

// hidesPoints tells whether a job without findings has open points that a count
// before the next gate would leave out: nothing is demanded of a job on hold, and
// what is due by the stage alone is not due at a gate that was passed early.
func (w *jobWriter) hidesPoints() bool {
	for i := range w.job.Result.Gates {
		if g := &w.job.Result.Gates[i]; g.Passed && len(g.Open) > 0 {
			return true
		}
	}
	return w.job.Result.Facts.OnHold && len(w.job.Result.Gates) > 0
}

func stageOr(stage string) string {
	if stage == "" {
		return "stage not recorded"
	}
	return stage
}

// judgedBy names the sources that took part and says where no code or standard
// did: a clean job is then clean by the firm's own rules only. A source none of
// whose limits applied is named as such.
func (w *jobWriter) judgedBy() {
	applied, official := map[string]bool{}, false
	for i := range w.job.Result.Outcomes {
		o := &w.job.Result.Outcomes[i]
		if o.Limit == nil {
			continue
		}
		source := o.Limit.Source
		applied[source.Name] = applied[source.Name] || o.Kind != judge.NotApplicable
		official = official || isOfficial(source)
	}
	if len(applied) == 0 || w.job.Result.SetAside() {
		return
	}
	before := "; by "
	for _, name := range slices.Sorted(maps.Keys(applied)) {
		w.own(before).from(name)
		before = ", "
		if !applied[name] {
			w.own(" (nothing of it applied)")
		}
	}
	if !official {
		w.judgedBySums()
	}
}

// judgedBySums names the codes that bound only sums over the property, else says
// that there is none at all.
func (w *jobWriter) judgedBySums() {
	var names []string
	r := w.job.Result
	for _, l := range r.Sums() {
		if t, _ := l.Applies(r.Facts, r.Facts.Root); t != limit.No && isOfficial(l.Source) {
			names = appendNew(names, l.Source.Name)
		}
	}
	if len(names) == 0 {
		w.own("; no code or standard took part")
		return
	}
	for _, name := range names {
		w.own("; ").from(name).own(" only by sums over the property")
	}
}

// isOfficial tells whether a source is more than a rule of the firm or of a maker.
func isOfficial(s *limit.Source) bool {
	return s.Kind == limit.Code || s.Kind == limit.Standard || s.Kind == limit.Permit
}

// rest says what was not judged.
func (w *jobWriter) rest(n *tally) {
	for _, part := range []struct {
		kind      judge.Kind
		one, many string
	}{
		{judge.NotChecked, "comparison not checked", "comparisons not checked"},
		{judge.NotDue, "comparison waits on facts that are not due yet", "comparisons wait on facts that are not due yet"},
		{judge.NotApplicable, "comparison does not apply", "comparisons do not apply"},
	} {
		if n.kinds[part.kind] > 0 {
			w.own("; ", plural(n.kinds[part.kind], part.one, part.many))
		}
	}
}

// openCount says for a job without findings what is to come before its next gate.
func (w *jobWriter) openCount() {
	for i := range w.job.Result.Gates {
		g := &w.job.Result.Gates[i]
		if g.Passed {
			continue
		}
		points := distinct(g.Open)
		w.own("; next gate ", g.Gate.String(), ": ", plural(len(points), "open point", "open points"))
		if len(points) > 0 {
			w.own(" (")
			w.names(points, 5)
			w.own(")")
		}
		w.own(w.notCounted(), ", which stand below")
		return
	}
}
