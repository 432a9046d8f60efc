package report

import (
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// gates writes what is still open: before the next gate one line each, for gates
// that were passed all the same and for later ones how many points.
func (w *jobWriter) gates() {
	next := true
	for i := range w.job.Result.Gates {
		g := &w.job.Result.Gates[i]
		points := distinct(g.Open)
		switch {
		case g.Passed && len(points) > 0:
			w.own("  The gate ", g.Gate.String(), " was passed with ", plural(len(points), "open point", "open points"), ": ")
			w.names(points, 5)
			w.own(".").end()
		case g.Passed:
		case next:
			next = false
			w.nextGate(g, points)
		case len(points) > 0:
			w.own("  Before the later gate ", g.Gate.String(), " ", plural(len(points), "point is open.", "points are open.")).end()
		}
	}
}

func (w *jobWriter) nextGate(g *judge.Gate, points []point) {
	if len(points) == 0 {
		w.own("  Before the next gate, ", g.Gate.String(), ", no point is open among those that were checked.").end()
		return
	}
	w.own("  Before the next gate, ", g.Gate.String(), ", ", plural(len(points), "point is open:", "points are open:")).end()
	for i := range points {
		w.own("    - ")
		w.point(&points[i])
		w.own(".").end()
	}
}

// point is everything that is open about one value before a gate.
type point struct {
	slot
	missing bool
	reading bool             // planned, and still to be read on site
	beside  []*judge.Outcome // outside or too close
	unsure  []*judge.Outcome // not checked
}

// distinct puts together what is open about one value, in the order found.
func distinct(open []judge.Point) []point {
	var out []point
	at := map[slot]int{}
	for i := range open {
		p := &open[i]
		key := slot{p.Of, p.Leaf}
		n, ok := at[key]
		if !ok {
			n = len(out)
			at[key] = n
			out = append(out, point{slot: key})
		}
		switch {
		case p.Outcome == nil && p.Leaf.Scope == p.Of.Scope && p.Of.Get(p.Leaf).State == fact.Known:
			out[n].reading = true
		case p.Outcome == nil || p.Outcome.Kind == judge.Missing:
			out[n].missing = true
		case p.Outcome.Kind == judge.NotChecked:
			out[n].unsure = append(out[n].unsure, p.Outcome)
		default:
			out[n].beside = append(out[n].beside, p.Outcome)
		}
	}
	return out
}

// point writes one open point as a sentence without its full stop.
func (w *jobWriter) point(p *point) {
	w.subject(p.of, p.leaf)
	separator := " "
	switch {
	case p.missing && p.leaf.Scope == p.of.Scope && p.of.Get(p.leaf).State == fact.Unreadable:
		w.own(separator, "could not be read")
		separator = " and "
	case p.missing:
		w.own(separator, "is not recorded")
		separator = " and "
	case p.reading:
		w.own(separator, "is still to be read on site")
		separator = " and "
	}
	for _, o := range p.beside {
		w.own(separator, "is ", spoken(o.Kind))
		if o.Kind == judge.TooClose {
			w.own(" by ")
		} else {
			w.own(" ")
		}
		w.from(o.Name())
		separator = " and "
	}
	if n := len(p.unsure); n > 0 {
		w.own(separator, "is not checked against ", plural(n, "limit", "limits"))
	}
}

// names lists the addresses of points, at most so many.
func (w *jobWriter) names(points []point, most int) {
	for i := range points {
		if i == most {
			w.own(" and ", plural(len(points)-most, "other", "others"))
			return
		}
		if i > 0 {
			w.own(", ")
		}
		w.from(points[i].of.AddressOf(points[i].leaf))
	}
}

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
	w.own("job ").from(w.job.Number)
	switch {
	case w.job.Status != "" && w.job.Status != "active":
		w.own(" (").from(w.job.Status).own(", ").from(stageOr(w.job.Stage)).own("): ")
	default:
		w.own(" (").from(stageOr(w.job.Stage)).own("): ")
	}
	switch {
	case len(w.job.Result.Gates) == 0: // set aside as a whole
		w.own("not judged")
		if len(w.job.Result.Outcomes) > 0 {
			w.own(", since ").from(w.job.Result.Outcomes[0].Reason)
		}
	case n.values == 0:
		w.own("nothing was judged: no value was compared with a limit")
	case clean:
		w.in(w.paint.settle, plural(n.values, "value", "values"), " within ", plural(n.limits, "limit", "limits"))
	default:
		w.own(plural(n.values, "value was", "values were"), " compared with ", plural(n.limits, "limit", "limits"))
	}
	w.rest(&n)
	w.judgedBy()
	if clean {
		w.openCount()
	}
	w.own(".").end()
}

func stageOr(stage string) string {
	if stage == "" {
		return "stage not recorded"
	}
	return stage
}

// judgedBy names the sources that took part, and says where no code or standard
// did: a clean job is then clean by the firm's own rules only.
func (w *jobWriter) judgedBy() {
	var names []string
	outside := false
	for i := range w.job.Result.Outcomes {
		if l := w.job.Result.Outcomes[i].Limit; l != nil && !slices.Contains(names, l.Source.Name) {
			names = append(names, l.Source.Name)
			outside = outside || l.Source.Kind == limit.Code || l.Source.Kind == limit.Standard || l.Source.Kind == limit.Permit
		}
	}
	if len(names) == 0 || len(w.job.Result.Gates) == 0 {
		return
	}
	slices.Sort(names)
	w.own("; by ")
	for i, n := range names {
		if i > 0 {
			w.own(", ")
		}
		w.from(n)
	}
	if !outside {
		w.own("; no code or standard took part")
	}
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
		return
	}
}
