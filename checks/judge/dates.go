package judge

import (
	"fmt"

	"witnessmark.example/checks/fact"
)

// DatesInOrder is the built-in check that what happened later is not dated earlier.
const DatesInOrder = "record#dates-in-order"

// datesInOrder compares dates that follow each other by their meaning, and the
// gates that were passed with what they guard.
func (j *Judge) datesInOrder(facts *fact.Facts) {
	for _, l := range facts.Shape.OrderedLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			later, earlier := in.Get(l), in.Get(l.After)
			if later.State == fact.Known && earlier.State == fact.Known && later.Day < earlier.Day {
				j.outOfOrder(in, l, later, fmt.Sprintf("%s is %s, before %s (%s)", l.Label.In("en"), later.Day, l.After.Label.In("en"), earlier.Day))
			}
		}
	}
	for _, l := range facts.Shape.PastLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			if v := in.Get(l); v.State == fact.Known && v.Day > j.result.AsOf {
				j.outOfOrder(in, l, v, fmt.Sprintf("%s is %s, which is still to come on %s", l.Label.In("en"), v.Day, j.result.AsOf))
			}
		}
	}
	j.gatesInOrder(facts)
}

// gatesInOrder compares the days on which gates were passed with each other, with
// what each guards, and with what has to come before it.
func (j *Judge) gatesInOrder(facts *fact.Facts) {
	on := facts.Shape.Leaf("gates.on")
	if on == nil {
		return
	}
	for _, in := range facts.Entries[on.Scope.ID] {
		gate, _ := fact.ParseMoment(in.Key)
		passed := in.Get(on)
		if passed.State != fact.Known {
			continue
		}
		if guarded, ok := facts.Date(guards(gate)); ok && passed.Day > guarded {
			j.outOfOrder(in, on, passed, fmt.Sprintf("the gate %s was passed on %s, but the job went through it on %s", gate, passed.Day, guarded))
		}
		if before, ok := facts.Date(follows(gate)); ok && passed.Day < before {
			j.outOfOrder(in, on, passed, fmt.Sprintf("the gate %s was passed on %s, before the job was %s on %s", gate, passed.Day, follows(gate), before))
		}
		for _, other := range facts.Entries[on.Scope.ID] {
			earlier, _ := fact.ParseMoment(other.Key)
			if v := other.Get(on); earlier < gate && v.State == fact.Known && passed.Day < v.Day {
				j.outOfOrder(in, on, passed, fmt.Sprintf("the gate %s was passed on %s, before the gate %s on %s", gate, passed.Day, earlier, v.Day))
			}
		}
	}
}

// follows is what has to have happened before a gate is passed.
func follows(gate fact.Moment) fact.Moment {
	switch gate {
	case fact.GateEnergise:
		return fact.AtInstallation
	case fact.GateHandOver:
		return fact.AtEnergising
	}
	return fact.Never
}

// guards is what may happen only once a gate is passed.
func guards(gate fact.Moment) fact.Moment {
	switch gate {
	case fact.GateEnergise:
		return fact.AtEnergising
	case fact.GateHandOver:
		return fact.AtHandOver
	}
	return gate
}

func (j *Judge) outOfOrder(in *fact.Instance, l *fact.Leaf, v *fact.Value, reason string) {
	j.result.Outcomes = append(j.result.Outcomes, Outcome{Kind: Outside, Check: DatesInOrder, Blocking: true, Of: in, Leaf: l, Value: v, Reason: reason})
}
