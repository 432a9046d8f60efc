package judge

import (
	"fmt"

	"witnessmark.example/checks/fact"
)

// The built-in checks of one job.
const (
	Recorded      = "record#recorded"       // what is due is recorded
	DatasheetRead = "record#datasheet-read" // the equipment data of what is used could be read
	StageByDates  = "record#stage-by-dates" // stage and dates tell the same story
)

// recorded reports every fact that is due and not recorded, once.
func (j *Judge) recorded(facts *fact.Facts) {
	r := &j.result
	if facts.OnHold { // judged by what is written, but nothing is demanded
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
	for _, l := range facts.Shape.BuiltLeaves() { // a plan that was written asks for its reading, though nothing else does
		for _, in := range facts.Entries[l.Scope.ID] {
			if plan := in.PlanOnly(l); plan != nil && in.Stage >= l.Built && !facts.IsDue(l, in, r.AsOf) {
				r.Outcomes = append(r.Outcomes, Outcome{Kind: Missing, Check: Recorded, Blocking: true, Of: in, Leaf: l, Value: plan,
					Reason: "only the plan is written; the built value is due " + l.Built.String()})
			}
		}
	}
}

// datasheets reports every product whose data could not be used: nothing of its
// datasheet was checked, which must not look like a pass.
func (j *Judge) datasheets(facts *fact.Facts) {
	for _, l := range facts.Shape.ProductLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			v := in.Get(l)
			unpinned := v.State == fact.Absent && v.Text != "" && !facts.Owes(l, in) // else it is missing
			if v.State == fact.Unreadable || unpinned {
				j.result.Outcomes = append(j.result.Outcomes, Outcome{Kind: NotChecked, Check: DatasheetRead, Blocking: true, Of: in, Leaf: l, Value: v,
					Reason: because(v, "no limit of its datasheet was checked")})
			}
		}
	}
}

// because puts what is known of the reason before what follows from it.
func because(v *fact.Value, what string) string {
	if v.State == fact.Absent && v.More != nil && v.More.Reason != "" {
		return v.More.Reason + "; " + what
	}
	return what
}

// stageByDates reports a stage that the dates contradict.
func (j *Judge) stageByDates(facts *fact.Facts) {
	leaf := facts.Shape.Leaf("stage")
	if leaf == nil || facts.Root.Get(leaf).State != fact.Known {
		return
	}
	for _, s := range []fact.Stage{fact.Delivered, fact.Installed, fact.Energised, fact.HandedOver, fact.InService} {
		date, ok := facts.Date(s.Moment())
		reason := ""
		switch {
		case !ok:
		case date <= j.result.AsOf && facts.Stage < s:
			reason = fmt.Sprintf("the job is %s since %s by its dates, but its stage is %s", s, date, facts.Stage)
		case date > j.result.AsOf && facts.Stage >= s:
			reason = fmt.Sprintf("its stage is %s, but by its dates it is %s only on %s", facts.Stage, s, date)
		}
		if reason == "" {
			reason = noStackAt(facts, s)
		}
		if reason != "" {
			j.result.Outcomes = append(j.result.Outcomes, Outcome{Kind: Outside, Check: StageByDates, Blocking: true, Of: facts.Root, Leaf: leaf, Value: facts.Root.Get(leaf), Reason: reason})
			return
		}
	}
}

// noStackAt says that the job is farther than every stack of it: its plans would
// then stand for readings, and nobody would be asked for them.
func noStackAt(facts *fact.Facts, s fact.Stage) string {
	list := facts.Shape.Scope("stacks")
	if list == nil || facts.Stage != s || s < fact.Installed || len(facts.Entries[list.ID]) == 0 {
		return ""
	}
	for _, in := range facts.Entries[list.ID] {
		if in.Stage >= s {
			return ""
		}
	}
	return fmt.Sprintf("its stage is %s, but none of its stacks is", s)
}

// gates lists what is open before each gate: facts due by then that are not
// recorded, and outcomes that somebody has to look at.
func (j *Judge) gates() {
	r := &j.result
	facts := r.Facts
	for _, g := range fact.Gates() {
		r.Gates = append(r.Gates, Gate{Gate: g, Passed: g.Passed(facts.Stage) || passed(facts, g, r.AsOf)})
	}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if o.Kind.IsFinding() && (o.Blocking || o.Kind != NotChecked) {
			if g := r.gateOf(ownGate(o.Of, dueFor(o))); g != nil {
				g.Open = append(g.Open, Point{o.Of, o.Leaf, o})
			}
		}
	}
	for _, p := range j.pending {
		for i := range r.Gates {
			if r.Gates[i].Gate == p.gate {
				r.Gates[i].Open = append(r.Gates[i].Open, p.point)
			}
		}
	}
	for _, l := range facts.Shape.DueLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			state := in.Get(l).State
			open := state == fact.Absent && facts.Owes(l, in) && (facts.OnHold || !facts.IsDue(l, in, r.AsOf)) || state == fact.Unreadable
			if g := r.gateOf(ownGate(in, l.Due)); open && l.Due.Days == 0 && g != nil {
				g.Open = append(g.Open, Point{in, l, nil})
			}
		}
	}
	for _, l := range facts.Shape.BuiltLeaves() { // readings that are still to be taken
		for _, in := range facts.Entries[l.Scope.ID] {
			if p := in.PlannedValue(l); in.Stage < l.Built && p.State == fact.Known && in.Get(l).At == p.At {
				if g := r.gateOf(fact.Due{At: l.Built.Moment()}); g != nil {
					g.Open = append(g.Open, Point{in, l, nil})
				}
			}
		}
	}
}

// passed tells whether somebody let the job through a gate by now, whatever its
// stage.
func passed(facts *fact.Facts, gate fact.Moment, asOf fact.Day) bool {
	on := facts.Shape.Leaf("gates.on")
	if on == nil {
		return false
	}
	for _, in := range facts.Entries[on.Scope.ID] {
		if v := in.Get(on); in.Key == gate.String() && v.State == fact.Known && v.Day <= asOf {
			return true
		}
	}
	return false
}

// ownGate is the gate itself for what is recorded of a gate that was passed.
func ownGate(in *fact.Instance, due fact.Due) fact.Due {
	if in.Scope.List.Name == "gates" && due.At != fact.Never {
		if gate, ok := fact.ParseMoment(in.Key); ok {
			return fact.Due{At: gate}
		}
	}
	return due
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
