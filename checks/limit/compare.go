package limit

import (
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// Verdicts tells which verdicts a limit can give at all, over the values its
// measure can have and at which it applies: some value is within, some is
// outside. certain is false where that depends on numbers from facts or on free
// text. Of words that a list of a job has to have both can come out.
func (l *Compiled) Verdicts() (within, outside, certain bool) {
	certain = true
	for _, u := range l.systems() {
		p := l.forSystem(u)
		own := l.own()
		all, ok := samples(l.Way.Leaf, own)
		if ok && p.isNumber() {
			all, ok = samples(l.Way.Leaf, append(own[:len(own):len(own)], p))
		} else if ok {
			all, ok = samplesOf(l.Way.Leaf, append(own[:len(own):len(own)], p))
		}
		if !ok {
			certain = false
			continue
		}
		for _, s := range all {
			if acceptAll(own, s) {
				in, out := p.maySample(s)
				within, outside = within || in, outside || out
			}
		}
	}
	return within, outside, certain
}

// forSystem returns what a value written in a unit of this system is held to.
func (l *Compiled) forSystem(s quantity.System) *predicate {
	if l.printed != nil && l.Way.Leaf.Calculation == nil && l.printedUnit.System() == s {
		return l.printed
	}
	return &l.within
}

// systems lists the systems of units that a limit tells apart.
func (l *Compiled) systems() []quantity.System {
	if l.printed == nil || l.Way.Leaf.Calculation != nil {
		return []quantity.System{l.Of.System()}
	}
	return []quantity.System{l.Of.System(), l.printedUnit.System()}
}

// own lists the conditions on the measure itself.
func (l *Compiled) own() []*predicate {
	var out []*predicate
	for i := range l.when {
		if k := &l.when[i]; k.list == nil && k.way.Text == l.Way.Text {
			out = append(out, &k.is)
		}
	}
	return out
}

// NeverApplies tells whether the conditions of a limit surely never hold
// together, and names the fact that would have to be two things at once. Of
// conditions on different facts nothing is claimed.
func (l *Compiled) NeverApplies() (fact string, never bool) { return contradiction(l.when) }

func contradiction(when []condition) (string, bool) {
	on := map[string][]*predicate{}
	for i := range when {
		k := &when[i]
		if k.list == nil {
			on[k.way.Text] = append(on[k.way.Text], &k.is)
		}
	}
	for i := range when {
		k := &when[i]
		switch {
		case k.list != nil && !k.every:
			if f, never := contradiction(append(k.of[:len(k.of):len(k.of)], everyOther(when, k)...)); never {
				return f, true
			}
		case k.list != nil:
		case impossible(k.way.Leaf, on[k.way.Text]):
			return k.way.Text, true
		}
	}
	return "", false
}

// everyOther lists what is asked of every entry of the list that `some` looks at.
func everyOther(when []condition, some *condition) []condition {
	var out []condition
	for i := range when {
		if k := &when[i]; k.every && k.list == some.list && k.tie == some.tie {
			out = append(out, k.of...)
		}
	}
	return out
}

// impliedBy tells whether a condition surely holds wherever all of these do.
func (k *condition) impliedBy(when []condition) bool {
	var on []*predicate
	for i := range when {
		o := &when[i]
		switch {
		case k.list == nil && o.list == nil && o.way.Text == k.way.Text:
			on = append(on, &o.is)
		case k.list != nil && o.list == k.list && o.every == k.every && o.tie == k.tie && impliedAll(o.of, k.of):
			return true
		}
	}
	return k.list == nil && len(on) > 0 && implies(k.way.Leaf, on, &k.is)
}

// impliedAll tells whether all of outer surely hold wherever all of inner do.
func impliedAll(inner, outer []condition) bool {
	for i := range outer {
		if !outer[i].impliedBy(inner) {
			return false
		}
	}
	return true
}

// Implies tells whether a limit surely applies only where another one on the same
// measure applies too: its conditions, its days in force and its product.
func (l *Compiled) Implies(o *Compiled) bool {
	if l.Way.Text != o.Way.Text || !covers(o.Scope, l.Scope) || !impliedAll(l.when, o.when) {
		return false
	}
	if o.reach != nil && (l.reach == nil || l.Source.Name != o.Source.Name) {
		return false
	}
	if o.From == fact.NoDay && o.Until == fact.NoDay {
		return true
	}
	return l.Selects == o.Selects && (o.From == fact.NoDay || l.From != fact.NoDay && l.From >= o.From) &&
		(o.Until == fact.NoDay || l.Until != fact.NoDay && l.Until <= o.Until)
}

// Contains tells whether a limit surely accepts every value that another one on
// the same measure accepts, in every system of units that they tell apart.
func (l *Compiled) Contains(o *Compiled) bool {
	if l.Way.Leaf != o.Way.Leaf {
		return false
	}
	for _, s := range append(l.systems(), o.systems()...) {
		if !implies(l.Way.Leaf, []*predicate{o.forSystem(s)}, l.forSystem(s)) {
			return false
		}
	}
	return true
}

// WeakerThan tells whether a limit surely decides nothing beside another one:
// wherever it applies the other applies, and whatever it refuses the other
// refuses. Limits that replace each other are never weaker, nor is one that asks
// for safety beyond the uncertainty beside one that does not.
func (l *Compiled) WeakerThan(o *Compiled) bool {
	if l == o || replaces(l, o) || replaces(o, l) || l.Source.Decision == Guarded && o.Source.Decision != Guarded {
		return false
	}
	return l.Implies(o) && l.Contains(o)
}

// Contradicts tells whether two limits can apply to one value and surely no value
// that the measure can have satisfies both. Beyond FindConflicts it knows that
// nothing is counted between whole numbers, and which words there are.
func (l *Compiled) Contradicts(o *Compiled) bool {
	if l == o || l.Way.Leaf != o.Way.Leaf || !l.meets(o) {
		return false
	}
	if _, never := contradiction(append(l.when[:len(l.when):len(l.when)], o.when...)); never {
		return false
	}
	for _, s := range append(l.systems(), o.systems()...) {
		if !impossible(l.Way.Leaf, []*predicate{l.forSystem(s), o.forSystem(s)}) {
			return false
		}
	}
	return true
}

// SameCase tells whether two limits of one source bound the same measure from
// the same side, under conditions that mean the same: they are then editions of
// one rule, told apart by their days in force alone.
func (l *Compiled) SameCase(o *Compiled) bool {
	return l.Source.Name == o.Source.Name && l.Way.Text == o.Way.Text && l.Scope == o.Scope &&
		slices.Equal(l.within.sides(), o.within.sides()) && impliedAll(l.when, o.when) && impliedAll(o.when, l.when)
}

// Sides says from which sides the limit bounds its measure: "<", ">", or "words",
// each once, sorted.
func (l *Compiled) Sides() []string { return l.within.sides() }

// SameRule tells whether two limits bound the same measure under conditions that
// mean the same, whatever their sources and bounds: of two editions of one
// document they are then the same rule, as far as they bound the same side.
func (l *Compiled) SameRule(o *Compiled) bool {
	return l.Way.Text == o.Way.Text && l.Scope == o.Scope && impliedAll(l.when, o.when) && impliedAll(o.when, l.when)
}

// sides says from which sides a predicate bounds: "<", ">", or "words".
func (p *predicate) sides() []string {
	var out []string
	for _, b := range parts([]*predicate{p}) {
		side := "words"
		if b.op == Less || b.op == AtMost || b.op == Greater || b.op == AtLeast {
			side = string(b.op)[:1]
		}
		if !slices.Contains(out, side) {
			out = append(out, side)
		}
	}
	slices.Sort(out)
	return out
}
