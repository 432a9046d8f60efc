package propose

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// Effect is what another value of one fact may change in the jobs of one plan.
// It is the same for all of them, so it is worked out once. Limits stand by scope
// as in limit.Plan.ByScope.
type Effect struct {
	Measures []*fact.Leaf       // that the fact goes into, in the order of calculation
	Limits   [][]*limit.Planned // that may come out otherwise
	// Own are the limits on the fact itself, where none of them reads a measure that
	// the fact goes into: most values of a series fail by them, and nothing has to be
	// calculated for that.
	Own [][]*limit.Planned
}

// NewEffect works out the effect of a fact under a plan.
func NewEffect(shape *fact.Compiled, plan *limit.Plan, l *fact.Leaf) *Effect {
	e := &Effect{Measures: shape.Dependents(l)}
	e.Limits = plan.Reading(append([]*fact.Leaf{l}, e.Measures...)...)
	own := make([][]*limit.Planned, len(plan.ByScope))
	for id, limits := range plan.ByScope {
		for _, one := range limits {
			switch {
			case one.Way.Leaf != l:
			case one.ReadsAny(e.Measures...):
				return e
			default:
				own[id] = append(own[id], one)
			}
		}
	}
	e.Own = own
	return e
}
