package boundary

import (
	"errors"
	"fmt"
	"math/big"
	"slices"

	"witnessmark.example/checks/fact"
)

// errImpossible says that no job at all can have a value: entries that are there
// have at least one word and not more words than there are entries.
var errImpossible = errors.New("no job can have this value")

// giveExtreme gives every entry of a smallest or largest value the value itself.
func (w *world) giveExtreme(e *entry, l *fact.Leaf, v written) (verbatim bool, err error) {
	term, leaf, err := w.bestTerm(e, l)
	if err != nil {
		return false, err
	}
	have, _ := w.having(e, leaf.Scope, term.Over)
	members, err := w.members(e, l, leaf.Scope, term.Over, max(1, len(have)))
	if err != nil {
		return false, fmt.Errorf("%s: %w", l.Path, err)
	}
	for _, m := range members {
		if err := w.meetTests(m, l); err != nil {
			return false, err
		}
		if verbatim, err = w.give(m, leaf, v); err != nil {
			return false, err
		}
	}
	return verbatim, nil
}

// giveCount makes as many entries as are to be counted. Of entries that are there
// already the first are counted, the others are made to differ.
func (w *world) giveCount(e *entry, l *fact.Leaf, v written) error {
	if !v.base.IsInt() || v.base.Cmp(big.NewRat(500, 1)) > 0 {
		return fmt.Errorf("%s: %s entries cannot be made", l.Path, v.text)
	}
	sc := w.shape.Scope(l.Calculation.Count.Fact)
	if sc == nil {
		return fmt.Errorf("%s counts %s, which is no list", l.Path, l.Calculation.Count.Fact)
	}
	n, all := int(v.base.Num().Int64()), int(v.base.Num().Int64())
	if have, _ := w.having(e, sc, l.Calculation.Count.Over); len(l.Calculation.Where) > 0 {
		all = max(n, len(have))
	}
	members, err := w.members(e, l, sc, l.Calculation.Count.Over, all)
	if err != nil {
		return fmt.Errorf("%s: %w", l.Path, err)
	}
	for i, m := range members {
		if i >= n {
			err = w.failTest(m, l.Calculation.Where[0])
		} else {
			err = w.meetTests(m, l)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", l.Path, err)
		}
	}
	return nil
}

// meetTests lets an entry take part.
func (w *world) meetTests(m *entry, l *fact.Leaf) error {
	for _, test := range l.Calculation.Where {
		if err := w.meetTest(m, test); err != nil {
			return fmt.Errorf("%s: %w", l.Path, err)
		}
	}
	return nil
}

// failTest gives an entry a word with which it takes no part.
func (w *world) failTest(e *entry, t fact.Test) error {
	at, l, err := w.resolve(e, e.scope.List.Name+"."+t.Fact)
	if err != nil {
		return err
	}
	if t.Words[0] == fact.Recorded {
		if _, written := at.text[l]; !written {
			return nil
		}
		return fmt.Errorf("%s is recorded already", l.Path)
	}
	words := l.Words
	if l.Type == fact.Truth {
		words = []string{"true", "false"}
	}
	for _, word := range words {
		if !slices.Contains(t.Words, word) {
			return w.set(at, l, word)
		}
	}
	return fmt.Errorf("every word of %s lets an entry take part", l.Path)
}

// giveDistinct lets the entries have as many different texts, or name as many
// different products.
func (w *world) giveDistinct(e *entry, l *fact.Leaf, v written) error {
	term := l.Calculation.Distinct
	leaf := w.shape.Leaf(term.Fact)
	if leaf == nil || !v.base.IsInt() {
		return fmt.Errorf("%s cannot be %s", l.Path, v.text)
	}
	n := int(v.base.Num().Int64())
	have, _ := w.having(e, leaf.Scope, term.Over)
	if len(have) > 0 && (n < 1 || n > len(have)) {
		return fmt.Errorf("%s: %s of %d entries: %w", l.Path, v.text, len(have), errImpossible)
	}
	members, err := w.members(e, l, leaf.Scope, term.Over, max(n, len(have)))
	if err != nil {
		return fmt.Errorf("%s: %w", l.Path, err)
	}
	var products []*entry
	for i, m := range members {
		which := min(i, n-1)
		if err := w.meetTests(m, l); err != nil {
			return err
		}
		if leaf.Type == fact.Link {
			if len(products) <= which {
				products = append(products, w.product(m, leaf, which))
			}
			if len(m.target[leaf]) == 0 {
				w.link(m, leaf, products[which])
			}
			continue
		}
		if w.loose[place{m, leaf}] {
			w.put(m, leaf, differing(leaf, which))
			continue
		}
		if err := w.set(m, leaf, differing(leaf, which)); err != nil {
			return err
		}
	}
	return nil
}

// product returns the product an entry names, or a new one that differs from
// those before by its title.
func (w *world) product(m *entry, link *fact.Leaf, which int) *entry {
	if t := m.target[link]; len(t) > 0 {
		return t[0]
	}
	p := w.add(link.Target, m)
	if which > 0 {
		p.title = fmt.Sprintf("Probe %d", which+1)
	}
	return p
}

// differing gives texts that differ.
func differing(l *fact.Leaf, which int) string {
	if l.Type == fact.Word && which < len(l.Words) {
		return l.Words[which]
	}
	return fmt.Sprint(which + 1)
}

// firstDay is the earliest date of a span; the days that any limit allows after it
// have come by now.
const firstDay = "2020-01-01"

// giveSpan lets the first entry have one date and all others a later one, or all the
// same where nothing lies between.
func (w *world) giveSpan(e *entry, l *fact.Leaf, v written) error {
	term := l.Calculation.Span
	leaf := w.shape.Leaf(term.Fact)
	first, _ := fact.ParseDay(firstDay)
	if leaf == nil || !v.base.IsInt() || v.base.Sign() < 0 {
		return fmt.Errorf("%s cannot be %s", l.Path, v.text)
	}
	have, _ := w.having(e, leaf.Scope, term.Over)
	members, err := w.members(e, l, leaf.Scope, term.Over, max(2, len(have)))
	if err != nil {
		return fmt.Errorf("%s: %w", l.Path, err)
	}
	day := first
	for _, m := range members {
		if err := w.meetTests(m, l); err != nil {
			return err
		}
		if err := w.set(m, leaf, day.String()); err != nil {
			return err
		}
		day = first + fact.Day(v.base.Num().Int64())
	}
	return nil
}
