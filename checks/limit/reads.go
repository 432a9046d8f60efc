package limit

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
)

// RuledOutBy tells whether a limit surely does not apply to what uses a product:
// the product states something else than a condition asks. Along is the way to
// the product as limits write it, "stacks.equipment".
func (l *Compiled) RuledOutBy(p *fact.Instance, along string) (condition string, never bool) {
	for i := range l.when {
		k := &l.when[i]
		if k.list == p.Scope { // what is asked of the product that is named
			if condition, never := ruledOut(k.of, p); never {
				return condition, true
			}
			continue
		}
		if k.list != nil || k.way.Leaf.Scope != p.Scope || strings.TrimSuffix(k.way.Text, "."+k.way.Leaf.Inside()) != along || k.is.refers() {
			continue
		}
		v := p.Get(k.way.Leaf)
		if v.State == fact.Known && k.is.evaluate(v, v.Quantity, nil).Holds == No {
			return k.way.Text + " " + k.is.describe(), true
		}
	}
	return "", false
}

// ruledOut tells whether a product states something else than one of the conditions
// on itself asks.
func ruledOut(conditions []condition, p *fact.Instance) (condition string, never bool) {
	for i := range conditions {
		k := &conditions[i]
		if k.list != nil || k.way.Leaf.Scope != p.Scope || k.is.refers() {
			continue
		}
		if v := p.Get(k.way.Leaf); v.State == fact.Known && k.is.evaluate(v, v.Quantity, nil).Holds == No {
			return k.way.Text + " " + k.is.describe(), true
		}
	}
	return "", false
}

// Along is the way from the entries that a limit of a datasheet is judged for to
// the product, as limits write it: "stacks.equipment". Empty for other limits.
func (l *Compiled) Along() string {
	if l.reach == nil {
		return ""
	}
	way := l.reach.hops[0].Path
	for _, h := range l.reach.hops[1:] {
		way += "." + h.Inside()
	}
	return way
}

// Reads lists the ways to every fact that has to be known for the limit to be
// judged: its measure, bounds taken from facts, and conditions outside some and
// every.
func (l *Compiled) Reads() []fact.Way {
	ways := []*fact.Way{&l.Way}
	ways = l.within.ways(ways)
	if l.printed != nil {
		ways = l.printed.ways(ways)
	}
	for i := range l.when {
		if k := &l.when[i]; k.list == nil {
			ways = k.is.ways(append(ways, &k.way))
		}
	}
	out := make([]fact.Way, len(ways))
	for i, w := range ways {
		out[i] = *w
	}
	return out
}

// AsksOnly tells whether the condition of the limit is that one fact is one word,
// and nothing else.
func (l *Compiled) AsksOnly(factName, word string) bool {
	if len(l.when) != 1 {
		return false
	}
	k := &l.when[0]
	return k.list == nil && k.way.Text == factName && k.is.op == Equals && k.is.text == word
}

// ReadsAny tells whether the limit reads one of the facts, be it for its measure,
// its bounds or anywhere in its condition.
func (l *Compiled) ReadsAny(facts ...*fact.Leaf) bool {
	for _, w := range l.Reads() {
		if slices.Contains(facts, w.Leaf) {
			return true
		}
	}
	return anyReads(l.when, facts)
}

func anyReads(cs []condition, facts []*fact.Leaf) bool {
	for i := range cs {
		k := &cs[i]
		if k.list != nil && anyReads(k.of, facts) || k.list == nil && slices.Contains(facts, k.way.Leaf) {
			return true
		}
		for _, w := range k.is.ways(nil) {
			if slices.Contains(facts, w.Leaf) {
				return true
			}
		}
	}
	return false
}

// Reading picks the limits, by scope as in ByScope, whose outcome may change with
// some facts: those that read one of them, and those on the same measure as one
// that does, since they may take its place, contradict it, or be handed over to it.
func (p *Plan) Reading(facts ...*fact.Leaf) [][]*Planned {
	measures := map[*fact.Leaf]bool{}
	for _, l := range p.All {
		if l.ReadsAny(facts...) {
			measures[l.Way.Leaf] = true
		}
	}
	out := make([][]*Planned, len(p.ByScope))
	for id, limits := range p.ByScope {
		for _, l := range limits {
			if measures[l.Way.Leaf] {
				out[id] = append(out[id], l)
			}
		}
	}
	return out
}
