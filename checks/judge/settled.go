package judge

import (
	"fmt"

	"witnessmark.example/checks/fact"
)

// Settled is the built-in check that what names its own gate or day is settled by
// then: conditions of the permit, snags, safety notices.
const Settled = "record#settled"

// settled looks at every condition, snag and notice that is still open.
func (j *Judge) settled(facts *fact.Facts) {
	j.byGate(facts, "conditions.met", "conditions.before", func(word string) fact.Moment { m, _ := fact.ParseMoment(word); return m },
		func(v *fact.Value) bool { return v.State == fact.Known && v.Truth }, "the condition of the permit is not met")
	j.byGate(facts, "snags.closed_on", "snags.weight", gateOfSnag,
		func(v *fact.Value) bool { return v.State == fact.Known }, "the snag is not put right")
	due, state := facts.Shape.Leaf("notices.due_by"), facts.Shape.Leaf("notices.state")
	if due == nil || state == nil {
		return
	}
	for _, in := range facts.Entries[due.Scope.ID] {
		by, is := in.Get(due), in.Get(state)
		if by.State == fact.Known && by.Day < j.result.AsOf && is.Text != "done" && is.Text != "does not apply" {
			j.open(in, state, is, fmt.Sprintf("the notice was to be done by %s", by.Day))
		}
	}
}

// gateOfSnag is the gate before which a snag has to be put right; Never for what
// may wait until after the last.
func gateOfSnag(weight string) fact.Moment {
	switch weight {
	case "before energising":
		return fact.GateEnergise
	case "before hand-over":
		return fact.GateHandOver
	}
	return fact.Never
}

// byGate looks at what has to be settled before the gate that it names itself: a
// finding once the job is through, an open point until then.
func (j *Judge) byGate(facts *fact.Facts, what, gate string, momentOf func(string) fact.Moment, done func(*fact.Value) bool, open string) {
	leaf, of := facts.Shape.Leaf(what), facts.Shape.Leaf(gate)
	if leaf == nil || of == nil {
		return
	}
	for _, in := range facts.Entries[leaf.Scope.ID] {
		v := in.Get(leaf)
		before := momentOf(in.Get(of).Text)
		if before == fact.Never || done(v) {
			continue
		}
		if before.Passed(facts.Stage) || passed(facts, before, j.result.AsOf) {
			j.open(in, leaf, v, open+", though the gate "+before.String()+" is passed")
			continue
		}
		j.pending = append(j.pending, pendingPoint{before, Point{Of: in, Leaf: leaf}})
	}
}

// pendingPoint is an open point before a gate that it names itself.
type pendingPoint struct {
	gate  fact.Moment
	point Point
}

func (j *Judge) open(in *fact.Instance, l *fact.Leaf, v *fact.Value, reason string) {
	j.result.Outcomes = append(j.result.Outcomes, Outcome{Kind: Outside, Check: Settled, Blocking: true, Of: in, Leaf: l, Value: v, Reason: reason})
}
