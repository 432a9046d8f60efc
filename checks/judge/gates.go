package judge

import (
	"witnessmark.example/checks/fact"
)

// Recorded is the built-in check that what is due is recorded.
const Recorded = "record#recorded"

// recorded reports every fact that is due and not recorded, once.
func (j *Judge) recorded(facts *fact.Facts) {
	r := &j.result
	if onHold(facts) {
		return
	}
	for _, l := range facts.Shape.DueLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			if in.Get(l).State == fact.Absent && facts.IsDue(l, in, r.AsOf) {
				o := Outcome{Kind: Missing, Check: Recorded, Blocking: true, Of: in, Leaf: l, Value: in.Get(l), Reason: "due " + l.Due.String()}
				if v := in.Get(l); v.More != nil && v.More.Reason != "" {
					o.Reason = v.More.Reason
				} else if plan := in.PlanOnly(l); plan != nil {
					o.Value, o.Reason = plan, "only the plan is written; the built value is due "+l.Built.String()
				}
				r.Outcomes = append(r.Outcomes, o)
			}
		}
	}
}

// onHold jobs are judged by what is written, but nothing is demanded of them.
func onHold(facts *fact.Facts) bool {
	l := facts.Shape.Leaf("status")
	return l != nil && facts.Root.Get(l).Text == "on hold"
}

// gates lists what is open before each gate: facts due by then that are not
// recorded, and outcomes that somebody has to look at.
func (j *Judge) gates() {
	r := &j.result
	facts := r.Facts
	hold := onHold(facts)
	for _, g := range fact.Gates() {
		r.Gates = append(r.Gates, Gate{Gate: g, Passed: g.Passed(facts.Stage)})
	}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if o.Kind.IsFinding() && (o.Blocking || o.Kind != NotChecked) {
			if g := r.gateOf(dueFor(o)); g != nil {
				g.Open = append(g.Open, Point{o.Of, o.Leaf, o})
			}
		}
	}
	for _, l := range facts.Shape.DueLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			if in.Get(l).State == fact.Absent && l.Due.Days == 0 && (hold || !facts.IsDue(l, in, r.AsOf)) {
				if g := r.gateOf(l.Due); g != nil {
					g.Open = append(g.Open, Point{in, l, nil})
				}
			}
		}
	}
}

// dueFor says when the value of an outcome is due: the reading on site once
// there has to be one.
func dueFor(o *Outcome) fact.Due {
	if o.Of.Stage >= fact.Installed {
		return o.Leaf.DueOnSite
	}
	return o.Leaf.DueAt
}

// gateOf returns the gate before which something due then must be settled. What
// is never due by itself is settled before the next gate.
func (r *Result) gateOf(d fact.Due) *Gate {
	gate, ok := d.At.Gate()
	if d.At == fact.Never {
		for i := range r.Gates {
			if !r.Gates[i].Passed {
				return &r.Gates[i]
			}
		}
		return nil
	}
	if !ok {
		return nil
	}
	for i := range r.Gates {
		if r.Gates[i].Gate == gate {
			return &r.Gates[i]
		}
	}
	return nil
}
