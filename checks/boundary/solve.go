package boundary

import (
	"fmt"
	"slices"

	"witnessmark.example/checks/fact"
)

// give makes a fact of an entry have the value, written as text where it is a
// field. Calculated facts get it through what they are calculated from. Verbatim
// tells that the text itself stands in the job, so that its unit matters.
func (w *world) give(e *entry, l *fact.Leaf, v written) (verbatim bool, err error) {
	calc := l.Calculation
	switch {
	case calc == nil:
		return true, w.set(e, l, v.text)
	case calc.Count != nil:
		return true, w.giveCount(e, l, v)
	case calc.Distinct != nil:
		return true, w.giveDistinct(e, l, v)
	case calc.Span != nil:
		return true, w.giveSpan(e, l, v)
	case len(calc.Least)+len(calc.Greatest) > 0:
		return w.giveExtreme(e, l, v)
	case len(calc.Sum) > 0:
		return w.giveSum(e, l, v)
	case calc.Function != "":
		return w.giveResult(e, l, v)
	}
	return false, fmt.Errorf("%s is calculated in a way that no case can be made for", l.Path)
}

// giveSum lets one member of the sum have all of it.
func (w *world) giveSum(e *entry, l *fact.Leaf, v written) (bool, error) {
	term, leaf, err := w.bestTerm(e, l)
	if err != nil {
		return false, err
	}
	members, err := w.members(e, l, leaf.Scope, term.Over, 1)
	if err != nil {
		return false, fmt.Errorf("%s: %w", l.Path, err)
	}
	for _, test := range l.Calculation.Where {
		if err := w.meetTest(members[0], test); err != nil {
			return false, fmt.Errorf("%s: %w", l.Path, err)
		}
	}
	return w.give(members[0], leaf, v)
}

// bestTerm picks the kind of entry that carries the whole sum: one that the job
// has already (a second would add to it), else one whose value is written and
// not calculated.
func (w *world) bestTerm(e *entry, l *fact.Leaf) (best fact.Term, leaf *fact.Leaf, err error) {
	rank := -1
	for _, t := range l.Calculation.Terms() {
		one := w.shape.Leaf(t.Fact)
		if one == nil {
			return best, nil, fmt.Errorf("%s adds up %s, which is no fact", l.Path, t.Fact)
		}
		r := 0
		if one.Calculation == nil {
			r = 1
		}
		if have, _ := w.having(e, one.Scope, t.Over); len(have) > 0 {
			r = 2
		}
		if r > rank {
			rank, best, leaf = r, t, one
		}
	}
	return best, leaf, nil
}

// having lists the entries that a term runs over, and the link that ties them.
func (w *world) having(e *entry, sc *fact.Scope, over string) ([]*entry, *fact.Leaf) {
	if over == "" {
		var out []*entry
		for _, m := range w.entries {
			if m.scope == sc && (sc.Parent != e.scope || m.parent == e) {
				out = append(out, m)
			}
		}
		return out, nil
	}
	link := w.shape.Leaf(over)
	if link != nil && link.Scope == e.scope {
		return e.target[link], link
	}
	var out []*entry
	for _, m := range w.entries {
		if m.scope == sc && slices.Contains(ownerOf(m, link).target[link], e) {
			out = append(out, m)
		}
	}
	return out, link
}

// ownerOf is the entry that has the link: m itself, or the one it stands in.
func ownerOf(m *entry, link *fact.Leaf) *entry {
	if link != nil && m.scope != link.Scope && m.parent != nil {
		return m.parent
	}
	return m
}

// members sees to it that a term of a measure runs over exactly n entries.
func (w *world) members(e *entry, l *fact.Leaf, sc *fact.Scope, over string, n int) ([]*entry, error) {
	have, link := w.having(e, sc, over)
	for len(have) < n {
		m := w.unlinked(e, l, sc, link)
		if m == nil {
			m = w.add(sc, e)
		}
		switch {
		case link == nil:
		case link.Scope == e.scope:
			w.link(e, link, m)
		default:
			w.link(ownerOf(m, link), link, e)
		}
		have = append(have, m)
	}
	if len(have) > n {
		return nil, fmt.Errorf("the job has %d entries of %s already, and %d are needed", len(have), sc.List.Name, n)
	}
	if link != nil && link.Scope == e.scope && link.Many && n == 0 {
		e.many[link] = []string{}
	}
	return have, nil
}

// unlinked returns an entry that is there already and names nothing by the link yet,
// so that a condition on all entries and one on those of e are met by the same; nil
// where there is none. One that is known to take no part in the measure stays out.
func (w *world) unlinked(e *entry, l *fact.Leaf, sc *fact.Scope, link *fact.Leaf) *entry {
	if link == nil || link.Scope == e.scope {
		return nil
	}
	for _, m := range w.entries {
		if m.scope != sc || len(ownerOf(m, link).target[link]) > 0 {
			continue
		}
		if belongs, err := w.belongs(m, l); belongs || err != nil {
			return m
		}
	}
	return nil
}

// meetTest gives an entry of a sum one of the words that let it take part.
func (w *world) meetTest(e *entry, t fact.Test) error {
	at, l, err := w.resolve(e, e.scope.List.Name+"."+t.Fact)
	if err != nil {
		return err
	}
	if t.Words[0] == fact.Recorded {
		return w.find(at, l)
	}
	old, ok := at.text[l]
	if t.Words[0] == fact.NotRecorded && !ok {
		return nil
	}
	if ok {
		for _, word := range t.Words {
			if word == old {
				return nil
			}
		}
	}
	return w.set(at, l, t.Words[0])
}
