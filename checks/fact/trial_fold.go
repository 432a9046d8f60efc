package fact

import (
	"slices"
	"strconv"
)

// fold makes the entries over which a measure is taken: as many as values are
// given for them. With none at all the measure is not known; that there is nothing
// to add is never assumed.
func (b *trial) fold(l *Leaf, in *Instance, n need) {
	n.symbol = ""
	some := b.asking
	var slots []*Slot
	for i := range l.run.terms {
		t := &l.run.terms[i]
		route := b.listRoute(t, in)
		entries, counted := b.entries(l, t, in, route, n)
		some = some || counted || len(entries) > 0
		for k, m := range entries {
			b.belong(l.run, t, m)
			if t.leaf != nil {
				under := n
				under.within, under.index, under.of = append(slices.Clone(n.within), route), k, len(entries)
				b.value(t.leaf, m, under)
			}
		}
		if t.leaf != nil {
			route += "." + t.leaf.inside
		}
		if s := b.byRoute[route]; s != nil {
			slots = append(slots, s)
		}
	}
	if !some {
		k := Lack{in, l}
		*in.Get(l), b.empty[k] = Value{State: Uncalculated, More: &More{Lacks: []Lack{k}}}, slots
		return
	}
	for i := range l.run.terms { // a list that is known to be empty
		if t := &l.run.terms[i]; t.link != nil && !t.toHere && t.link.Many && in.Get(t.link).State == Absent {
			*in.Get(t.link) = Value{State: Known, More: &More{}}
		}
	}
}

// listRoute is the route of the entries of a term: the name of their list, unless
// that is taken by others.
func (b *trial) listRoute(t *runTerm, in *Instance) string {
	route, by := t.scope.List.Name, b.routes[in]
	if t.link != nil {
		by += " " + t.link.Path
	}
	if first, taken := b.lists[route]; taken && first != by || t.scope == b.target.Scope {
		route = b.routes[in] + "." + route
	}
	if _, taken := b.lists[route]; !taken {
		b.lists[route] = by
	}
	return route
}

// entries returns the entries of a term, and whether their number was given. Two
// measures over the same entries share them.
func (b *trial) entries(l *Leaf, t *runTerm, in *Instance, route string, n need) (entries []*Instance, counted bool) {
	entries, _ = b.d.facts.members(l.run, t, in)
	wanted := 1
	if t.leaf == nil {
		s := b.slot(route, nil, t.scope, n)
		if texts := b.given[route]; len(texts) > 0 {
			s.used, counted = true, true
			wanted = b.number(s, texts)
		} else if !b.asking {
			wanted = b.wanted(route)
		}
	} else if !b.asking {
		wanted = b.wanted(route)
	}
	if n.of > 1 && wanted > 1 {
		b.mistake("to which of them the %d entries of %s belong cannot be told; give %s instead, once for each", wanted, route, l.Path)
	}
	for len(entries) < wanted {
		entries = append(entries, b.member(t, in, route, len(entries)))
	}
	if counted { // values of other measures may come to make more of them
		b.said = append(b.said, func() {
			if all, _ := b.d.facts.members(l.run, t, in); len(all) != wanted {
				b.mistake("%s says %d, but values are given for %d", route, wanted, len(all))
			}
		})
	}
	return entries, counted
}

// member makes one more entry of a term.
func (b *trial) member(t *runTerm, in *Instance, route string, index int) *Instance {
	up := in
	if t.link != nil || in.Scope != t.scope.Parent {
		up = nil
	}
	m := b.entry(t.scope, route, up)
	m.Key = strconv.Itoa(max(index+1, len(b.d.facts.Entries[t.scope.ID])))
	switch {
	case t.link == nil:
	case t.toHere:
		b.tie(t.owner(m), t.link, in)
	default:
		b.tie(in, t.link, m)
	}
	return m
}

// belong lets an entry meet the conditions of the fold: who gives a value for it
// says that it counts.
func (b *trial) belong(r *run, t *runTerm, m *Instance) {
	for i := range r.where {
		w := r.where[i].ways[t.scope]
		of := b.walk(&w, m)
		word := r.where[i].words[0]
		if v := of.Get(w.Leaf); v.State == Absent && word != NotRecorded {
			v.State, v.Text, v.Written, v.Truth = Known, word, word, word == "true"
		}
	}
}

// number reads how many entries there are.
func (b *trial) number(s *Slot, texts []string) int {
	if len(texts) > 1 {
		b.mistake("%s is a number of entries and is given once", s.Route)
		return 0
	}
	n, ok := countOf(texts[0])
	if !ok {
		b.mistake("%s takes a whole number of entries up to %d, not %q", s.Route, mostEntries, texts[0])
	}
	return n
}

// wanted is how many entries the given values need: the most that a value of the
// entry is repeated; one where values are given only of entries below it.
func (b *trial) wanted(route string) int {
	most := 0
	for _, s := range b.slots {
		n := len(b.given[s.Route])
		if n == 0 || !slices.Contains(s.within, route) {
			continue
		}
		if s.within[len(s.within)-1] != route {
			n = 1
		}
		most = max(most, n)
	}
	if most > mostEntries {
		b.mistake("there can be at most %d entries of %s", mostEntries, route)
	}
	return min(most, mostEntries)
}
