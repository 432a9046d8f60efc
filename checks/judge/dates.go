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
	on := facts.Shape.Leaf("gates.on")
	if on == nil {
		return
	}
	for _, in := range facts.Entries[on.Scope.ID] {
		gate, _ := fact.ParseMoment(in.Key)
		guarded, ok := facts.Date(guards(gate))
		if passed := in.Get(on); ok && passed.State == fact.Known && passed.Day > guarded {
			j.outOfOrder(in, on, passed, fmt.Sprintf("the gate %s was passed on %s, but the job went through it on %s", gate, passed.Day, guarded))
		}
	}
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
