package limit

import (
	"strings"

	"witnessmark.example/checks/fact"
)

// RuledOutBy tells whether a limit surely does not apply to what uses a product:
// the product states something else than a condition asks. Along is the way to
// the product as limits write it, "stacks.equipment".
func (l *Compiled) RuledOutBy(p *fact.Instance, along string) (condition string, never bool) {
	for i := range l.when {
		k := &l.when[i]
		if k.list != nil || k.way.Leaf.Scope != p.Scope || strings.TrimSuffix(k.way.Text, "."+k.way.Leaf.Inside()) != along || k.is.refers() {
			continue
		}
		v := p.Get(k.way.Leaf)
		if v.State == fact.Known && !k.way.Leaf.Many && k.is.evaluate(v, v.Quantity, nil).Holds == No {
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
