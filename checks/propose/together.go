package propose

import (
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// together looks again where no value of one entry by itself is enough, because
// others must be like it: stacks in parallel that have to be equal. All that are
// tied to the same entry are supposed to have one value then, and stand in one
// proposal.
func (j *Job) together(f *fact.Facts, all []Proposal, before map[key]bool) []Proposal {
	taken := map[*fact.Instance]bool{}
	for i := range all {
		p := &all[i]
		l := leverOf(p.Leaf)
		if l.alike == "" || len(p.Values) > 0 || taken[p.Of] {
			continue
		}
		group := *p
		group.With, group.Tried = alike(f, p, l.alike), 0
		group.Mends, group.Open = slices.Clone(p.Mends), slices.Clone(p.Open)
		if len(group.With) == 0 || slices.ContainsFunc(all, func(other Proposal) bool {
			return other.Leaf == p.Leaf && len(other.Values) > 0 && slices.Contains(group.With, other.Of)
		}) {
			continue // none to be like, or one of them mends it by itself
		}
		for k := range all {
			if other := &all[k]; other.Leaf == p.Leaf && slices.Contains(group.With, other.Of) {
				group.Mends, group.Open = append(group.Mends, other.Mends...), append(group.Open, other.Open...)
			}
		}
		slices.Sort(group.Mends)
		slices.Sort(group.Open)
		group.Mends, group.Open = slices.Compact(group.Mends), slices.Compact(group.Open)
		if j.look(&group, before); len(group.Values) == 0 {
			continue
		}
		*p = group
		for _, in := range group.With {
			taken[in] = true
		}
	}
	return slices.DeleteFunc(all, func(p Proposal) bool { return taken[p.Of] && leverOf(p.Leaf).alike != "" })
}

// alike lists the other entries whose link names the same, as far as their value is
// known; none where one is not.
func alike(f *fact.Facts, p *Proposal, link string) (out []*fact.Instance) {
	tie := f.Shape.Leaf(link)
	if tie == nil || p.Of.Get(tie).Target == nil {
		return nil
	}
	for _, in := range f.Entries[p.Leaf.Scope.ID] {
		switch {
		case in == p.Of || in.Get(tie).Target != p.Of.Get(tie).Target:
		case in.Get(p.Leaf).State != fact.Known:
			return nil
		default:
			out = append(out, in)
		}
	}
	return out
}

// changes gives the value to all entries of the proposal.
func (p *Proposal) changes(value quantity.Quantity) []fact.Change {
	out := []fact.Change{{Of: p.Of, Leaf: p.Leaf, Value: value}}
	for _, in := range p.With {
		out = append(out, fact.Change{Of: in, Leaf: p.Leaf, Value: value})
	}
	return out
}
