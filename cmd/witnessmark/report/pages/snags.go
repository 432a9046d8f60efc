package pages

import (
	"sort"

	"witnessmark.example/checks/fact"
)

// snags is the list of what is to be put right: what is open first, by the day it
// is due, then what was put right.
func snags(w *writer) page {
	var open, closed []*fact.Instance
	for _, s := range w.entries("snags") {
		if v, _, _ := w.find(s, "snags.closed_on"); v != nil && v.State == fact.Known {
			closed = append(closed, s)
		} else {
			open = append(open, s)
		}
	}
	if len(open)+len(closed) == 0 {
		return page{Sections: []section{{Heading: w.T("snags.open", "N", 0), Lead: []string{w.T("snags.none")}}}}
	}
	sort.SliceStable(open, func(i, j int) bool { return w.dueBefore(open[i], open[j]) })
	p := page{Lines: []pair{{w.T("snags.overdue"), cell{Text: w.T("snags.count", "N", w.overdueCount(open))}}}}
	first := section{Heading: w.T("snags.open", "N", len(open))}
	if len(open) == 0 {
		first.Lead = []string{w.T("snags.none-open")}
	} else {
		first.Tables = []table{w.openSnags(open)}
	}
	p.Sections = append(p.Sections, first)
	if len(closed) > 0 {
		p.Sections = append(p.Sections, section{Heading: w.T("snags.closed", "N", len(closed)), Tables: []table{w.closedSnags(closed)}})
	}
	return p
}

// dueBefore puts what is due first before what is due later or has no day.
func (w *writer) dueBefore(a, b *fact.Instance) bool {
	x, okX := w.due(a)
	y, okY := w.due(b)
	if okX != okY {
		return okX
	}
	return okX && x < y
}

func (w *writer) due(s *fact.Instance) (fact.Day, bool) {
	v, _, _ := w.find(s, "snags.due_by")
	if v == nil || v.State != fact.Known {
		return fact.NoDay, false
	}
	return v.Day, true
}

func (w *writer) overdueCount(open []*fact.Instance) int {
	n := 0
	for _, s := range open {
		if day, ok := w.due(s); ok && day < w.job.Result.AsOf {
			n++
		}
	}
	return n
}

func (w *writer) openSnags(open []*fact.Instance) table {
	t := table{Caption: w.T("snags.open.caption"), Head: []string{w.T("snags.key"), w.T("snags.what"), w.T("snags.where"), w.T("snags.weight"), w.T("snags.who"), w.T("snags.found"), w.T("snags.due")}}
	for _, s := range open {
		due := w.value(s, "snags.due_by")
		if day, ok := w.due(s); ok {
			switch late := int(w.job.Result.AsOf - day); {
			case late > 0:
				due.Strong, due.Note = true, w.T("snags.late", "N", late)
			case late == 0:
				due.Note = w.T("snags.today")
			default:
				due.Note = w.T("snags.left", "N", -late)
			}
		}
		t.Rows = append(t.Rows, []cell{{Text: w.show(s.Key)}, w.value(s, "snags.what"), w.value(s, "snags.fact"), w.value(s, "snags.weight"), w.person(s, "snags.owner"), w.value(s, "snags.found_on"), due})
	}
	return t
}

func (w *writer) closedSnags(closed []*fact.Instance) table {
	t := table{Caption: w.T("snags.closed.caption"), Head: []string{w.T("snags.key"), w.T("snags.what"), w.T("snags.where"), w.T("snags.who"), w.T("snags.due"), w.T("snags.closed-on"), w.T("snags.evidence")}}
	for _, s := range closed {
		closedOn := w.value(s, "snags.closed_on")
		if day, ok := w.due(s); ok {
			if v, _, _ := w.find(s, "snags.closed_on"); v != nil && v.Day > day {
				closedOn.Note = w.T("snags.closed-late", "N", int(v.Day-day))
			}
		}
		t.Rows = append(t.Rows, []cell{{Text: w.show(s.Key)}, w.value(s, "snags.what"), w.value(s, "snags.fact"), w.person(s, "snags.owner"), w.value(s, "snags.due_by"), closedOn, w.proof(s)})
	}
	return t
}

// proof shows the piece of evidence that the snag was put right.
func (w *writer) proof(s *fact.Instance) cell {
	v, _, _ := w.find(s, "snags.evidence")
	if v == nil || v.State != fact.Known || v.Target == nil {
		return w.value(s, "snags.evidence")
	}
	c := w.value(v.Target, "evidence.kind")
	if f, l, _ := w.find(v.Target, "evidence.file"); f != nil {
		c.Note = w.one(f, l).Text
	}
	return c
}
