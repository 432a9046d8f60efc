package report

import (
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
)

// absence is one fact that is not known although it should be, with everything
// that waits on it.
type absence struct {
	slot
	missing *judge.Outcome   // of the built-in check; nil where the fact is never due by itself
	waiting []*judge.Outcome // limits that could not be checked without it
	product *judge.Outcome   // of the built-in check of a product whose data could not be read; else nil
}

// absent makes one finding of each absent fact, and of each reason why something of
// an entry could not be calculated: what depends on it fails for the same reason.
func (w *jobWriter) absent() []finding {
	r := w.job.Result
	var order []*absence
	bySlot := map[slot]*absence{}
	get := func(key slot) *absence {
		if bySlot[key] == nil {
			bySlot[key] = &absence{slot: key}
			order = append(order, bySlot[key])
		}
		return bySlot[key]
	}
	because := map[cause]slot{}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		switch {
		case o.Check == judge.DatasheetRead:
			get(slot{o.Of, o.Leaf}).product = o
		case o.Kind == judge.Missing:
			get(slot{o.Of, o.Leaf}).missing = o
		case o.Kind == judge.NotChecked && gaveNothing(o.Value):
			a := get(causeOf(because, slot{o.Of, o.Leaf}, o.Value))
			a.waiting = append(a.waiting, o)
		case o.Kind == judge.NotChecked:
			for _, k := range o.WaitsOn {
				if w.later(k) {
					continue
				}
				key := slot{k.Of, k.Leaf}
				if v := k.Of.Get(k.Leaf); gaveNothing(v) {
					key = causeOf(because, key, v)
				}
				if a := get(key); !slices.Contains(a.waiting, o) {
					a.waiting = append(a.waiting, o)
				}
			}
		}
	}
	out := make([]finding, len(order))
	for i, a := range order {
		name, kind := judge.Recorded, judge.NotChecked
		if a.missing != nil {
			kind = judge.Missing
		}
		switch {
		case a.product != nil:
			name = judge.DatasheetRead
		case a.missing == nil:
			name = a.waiting[0].Name()
		}
		out[i] = finding{at: w.placeOfAbsence(a), name: name, about: a.slot, kind: kind, block: a.blocks(), write: func() { w.absence(a) }, outcomes: a.outcomes()}
	}
	return out
}

// outcomes lists all that the finding tells of.
func (a *absence) outcomes() []*judge.Outcome {
	out := slices.Clone(a.waiting)
	for _, o := range []*judge.Outcome{a.missing, a.product} {
		if o != nil {
			out = append(out, o)
		}
	}
	return out
}

// blocks tells whether the absence keeps something from being judged that blocks.
func (a *absence) blocks() bool {
	return a.missing != nil || a.product != nil || slices.ContainsFunc(a.waiting, func(o *judge.Outcome) bool { return o.Blocking })
}

// cause is one reason for which something of an entry could not be calculated.
type cause struct {
	of     *fact.Instance
	reason string
}

// gaveNothing tells whether a value could not be calculated though nothing is absent.
func gaveNothing(v *fact.Value) bool {
	return v != nil && v.State == fact.Uncalculated && v.More.Tried != nil && len(v.More.Lacks) == 0
}

// causeOf finds the calculation that a value without a result has none for, the
// first of those of an entry that share one reason.
func causeOf(because map[cause]slot, of slot, v *fact.Value) slot {
	tried := innermost(v.More.Tried)
	first := slot{tried.Of, tried.Leaf}
	if tried.Of == nil || tried.Leaf == nil {
		first = of
	}
	key := cause{first.of, v.More.Reason}
	if _, known := because[key]; !known {
		because[key] = first
	}
	return because[key]
}

// placeOfAbsence is where to look: the value that could not be read, or the block
// where the absent one belongs. A value that a product lacks is shown where the
// job needs it.
func (w *jobWriter) placeOfAbsence(a *absence) jobfile.Position {
	r := w.job.Result
	if v := a.of.Get(a.leaf); v.State == fact.Unreadable && v.At.Line > 0 && !a.of.Scope.List.IsElsewhere() {
		return v.At
	}
	if a.of.Scope.List.IsElsewhere() && len(a.waiting) > 0 {
		return positionOf(r, a.waiting[0])
	}
	return placeOf(r, a.of, a.leaf)
}

// absence writes one absent fact with its one-line mend and the limits that wait.
func (w *jobWriter) absence(a *absence) {
	kind := judge.NotChecked
	if a.missing != nil {
		kind = judge.Missing
	}
	w.place(w.file, w.placeOfAbsence(a)).outcome(kind, a.blocks())
	plan := a.of.PlanOnly(a.leaf)
	if plan != nil {
		w.own("built value of ")
	}
	w.subject(a.of, a.leaf)
	w.absenceReason(a, plan)
	w.end()
	w.notCalculated(a.of.Get(a.leaf))
	w.mend(a, plan)
	var waiting []waitingLimit
	for _, o := range a.waiting {
		if o.Limit == nil { // a built-in check
			w.item("waiting")
			w.own(o.Check, ": ").from(o.Reason).end()
			continue
		}
		waiting = append(waiting, waitingLimit{o.Limit, o.Second, o.Fact()})
	}
	w.waiting(waiting, a.of.AddressOf(a.leaf))
}

func (w *jobWriter) absenceReason(a *absence, plan *fact.Value) {
	v := a.of.Get(a.leaf)
	switch {
	case plan != nil:
		w.own(", due ", a.leaf.Built.String(), "; only the plan is written, ").from(withNoun(plan.Written, a.leaf))
	case a.missing != nil:
		w.own(", ", dueWords(a.leaf.Due))
		if v.More != nil && v.More.Reason != "" {
			w.own("; ").from(v.More.Reason)
		}
	case a.product != nil: // why is said by the problem before it
		w.own(" could not be used; ").from(a.product.Reason)
	case v.State == fact.Unreadable:
		w.own(" could not be read")
		if v.More != nil && v.More.Reason != "" {
			w.own(": ").from(v.More.Reason)
		}
	case v.State == fact.Uncalculated:
		w.own(" could not be calculated")
		if v.More != nil && v.More.Reason != "" {
			w.own(": ").from(v.More.Reason)
		}
	case a.of.Scope.List.IsElsewhere():
		where := " is not stated in the equipment data"
		if a.of.Scope.List.IsRegister() {
			where = " is not stated in the register"
		}
		w.own(where)
		if a.of.File != "" {
			w.own(", ").from(w.path(a.of.File))
		}
	case namesEntry(a.leaf) && leadsNowhere(v):
		w.own(" ").from(v.Text).own(" is not in a register, since the firm keeps none of ").from(registerOf(a.leaf.Target))
	default:
		w.own(" is not recorded")
	}
}
