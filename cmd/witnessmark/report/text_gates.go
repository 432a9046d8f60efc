package report

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// gates writes what is still open: before the next gate one line each, for gates
// that were passed all the same and for later ones how many points. In full, those
// of passed gates get a line each as well: no finding says what they are.
func (w *jobWriter) gates(full bool) {
	next := true
	for i := range w.job.Result.Gates {
		g := &w.job.Result.Gates[i]
		points := distinct(g.Open)
		switch {
		case g.Passed && len(points) > 0 && full:
			w.own("  The gate ", g.Gate.String(), " was passed with ", plural(len(points), "open point", "open points"), ":").end()
			w.points(points)
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
		w.own("  Before the next gate, ", g.Gate.String(), ", no point is open among those that were checked", w.notCounted(), ", which stand below.").end()
		return
	}
	w.own("  Before the next gate, ", g.Gate.String(), ", ", plural(len(points), "point is open", "points are open"), w.notCounted(), ":").end()
	w.points(points)
}

func (w *jobWriter) points(points []point) {
	for i := range points {
		w.own("    - ")
		w.point(&points[i])
		w.own(".").end()
	}
}

// notCounted says what no count of a job's open points has in it, since it is known
// only after the last job.
func (w *jobWriter) notCounted() string {
	if len(w.job.Result.Sums()) > 0 {
		return ", not counting sums over the property and checks across files"
	}
	return ", not counting checks across files"
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
		case p.Outcome != nil && p.Outcome.Kind == judge.Missing && p.Of.PlanOnly(p.Leaf) != nil:
			out[n].reading = true
		case p.Outcome == nil || p.Outcome.Kind == judge.Missing || p.Outcome.Check == judge.DatasheetRead:
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
		if o.Limit == nil {
			w.own(separator, "does not pass ").from(o.Name())
			separator = " and "
			continue
		}
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
