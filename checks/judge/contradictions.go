package judge

import (
	"math"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// conflicting refuses to judge by limits that contradict each other.
func conflicting(o *Outcome, facts *fact.Facts, in *fact.Instance) bool {
	for _, with := range o.Limit.Conflicts {
		if o.Blocking && !with.Blocking {
			continue // what only advises never keeps a blocking limit from judging
		}
		if with.MayApply(facts, in) != limit.No {
			o.Kind, o.By, o.Reason = NotChecked, with, "the limits contradict each other: "+with.FullName+" demands "+with.Describe(false)
			return true
		}
	}
	return false
}

// contradictions looks for limits on one value that no value satisfies, where a
// bound is taken from a fact and it could not be seen before: the job is not to
// blame, and neither limit can judge it. A calculated bound is another matter: a
// cable that is too thin leaves no device that suits both the cable and its current,
// and what is outside stays outside, since other choices satisfy both limits. So is a
// figure of the product that the entry itself names, in place of which another may be
// chosen.
func (j *Judge) contradictions() {
	out := j.result.Outcomes
	for i := range out {
		a := &out[i]
		if a.Limit == nil || a.Kind != Outside || !a.Limit.Refers() {
			continue
		}
		low, high, ok := a.Limit.Interval(a.seenFrom)
		ok = ok && !a.byChoice()
		for k := range out {
			b := &out[k]
			if !ok || k == i || b.Limit == nil || b.byChoice() || b.Value != a.Value || a.Value == nil || b.Kind != Within && b.Kind != Outside && b.Kind != TooClose {
				continue
			}
			if l, h, ok := b.Limit.Interval(b.seenFrom); ok && (beyond(l, high) || beyond(low, h)) {
				if a.Blocking == b.Blocking || b.Blocking {
					a.contradicts(b)
				}
				if a.Blocking == b.Blocking || a.Blocking {
					b.contradicts(a)
				}
				ok = a.Kind == Outside
			}
		}
	}
}

// byChoice tells whether the bound comes out otherwise with another choice: it is
// calculated, or one of the product that the entry names, in place of which another may
// be chosen.
func (o *Outcome) byChoice() bool {
	return o.BoundFrom != nil && o.BoundFrom.Written == "" || o.HoldsRecord() || o.names(func(product *fact.Value) bool {
		return o.Limit.Source.Kind == limit.Datasheet && o.Limit.Source.Name == "equipment/"+product.Text
	})
}

// names tells whether the entry of the value names such a product without having to.
func (o *Outcome) names(such func(product *fact.Value) bool) bool {
	return slices.ContainsFunc(o.Of.Scope.Leaves, func(l *fact.Leaf) bool {
		return l.Type == fact.Link && !l.Many && l.Due.At == fact.Never && l.Target.List.IsEquipment() && such(o.Of.Get(l))
	})
}

// HoldsRecord tells whether the limit asks no more than that the record is true: its
// bound is a figure of a product that the entry of the value names without having to,
// such as that of a fuse, or a count of what the entry itself lists. With another value
// goes another product, or another list.
func (o *Outcome) HoldsRecord() bool {
	if o.BoundFrom != nil && o.BoundAt.Leaf != nil && o.BoundAt.Of == o.Of {
		if c := o.BoundAt.Leaf.Calculation; c != nil && c.Count != nil {
			return true
		}
	}
	return o.BoundFrom != nil && o.BoundAt.Of != nil && o.names(func(product *fact.Value) bool { return product.Target == o.BoundAt.Of })
}

// beyond tells whether low lies above high by more than the noise of a calculation.
func beyond(low, high float64) bool {
	return low > high && low-high > 1e-9*max(math.Abs(low), math.Abs(high))
}

func (o *Outcome) contradicts(other *Outcome) {
	o.Kind, o.By = NotChecked, other.Limit
	o.Reason = "the limits contradict each other for this job: " + other.Limit.FullName + " demands " + other.Limit.Describe(false)
}
