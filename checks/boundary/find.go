package boundary

import (
	"fmt"

	"witnessmark.example/checks/fact"
)

// find sees to it that a value is known, whatever it comes to. Where a value may
// be chosen freely, it takes the first that the calculation accepts.
func (w *world) find(e *entry, l *fact.Leaf) error {
	if _, err := w.evaluate(e, l); err == nil {
		return nil
	}
	switch {
	case l.Type == fact.Link:
		w.linked(e, l)
		return nil
	case l.Calculation == nil:
		words := suggestions(l)
		if len(words) == 0 {
			return fmt.Errorf("%s: there is nothing to try", l.Path)
		}
		if err := w.set(e, l, words[0]); err != nil {
			return err
		}
		w.loosen(e, l)
		return nil
	case l.Calculation.Function != "":
		return w.findFunction(e, l)
	}
	return w.findFold(e, l)
}

// loosen marks a value as one that nothing asks for in particular.
func (w *world) loosen(e *entry, l *fact.Leaf) {
	at := place{e, l}
	if w.loose[at] {
		return
	}
	w.loose[at] = true
	w.later(func() { delete(w.loose, at) })
}

// findFold sees to it that there is an entry, and that all have values.
func (w *world) findFold(e *entry, l *fact.Leaf) error {
	terms := l.Calculation.Terms()
	for i, t := range terms {
		sc, leaf := w.term(t)
		if sc == nil {
			return fmt.Errorf("%s: there is no %s", l.Path, t.Fact)
		}
		have, _ := w.having(e, sc, t.Over)
		if i > 0 && len(have) == 0 {
			continue // one kind of entry is enough
		}
		members, err := w.members(e, l, sc, t.Over, max(1, len(have)))
		if err != nil {
			return fmt.Errorf("%s: %w", l.Path, err)
		}
		for _, m := range members {
			if belongs, err := w.belongs(m, l); err == nil && !belongs {
				continue
			}
			if err := w.meetTests(m, l); err != nil {
				return err
			}
			if leaf == nil {
				continue
			}
			if err := w.find(m, leaf); err != nil {
				return err
			}
		}
	}
	_, err := w.evaluate(e, l)
	return err
}

// findFunction finds the inputs that a function cannot do without, then looks for
// values that it accepts.
func (w *world) findFunction(e *entry, l *fact.Leaf) error {
	f := w.function(l.Calculation.Function)
	if f == nil {
		return fmt.Errorf("%s: there is no function %s", l.Path, l.Calculation.Function)
	}
	for i, in := range l.Calculation.Inputs {
		if f.Parameters[i].Optional {
			continue
		}
		at, leaf, err := w.resolve(e, in.Fact)
		if err == nil {
			err = w.find(at, leaf)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", l.Path, err)
		}
	}
	h := hunt{world: w, entry: e, leaf: l, seen: map[string]bool{}}
	if h.try() {
		return nil
	}
	return fmt.Errorf("no inputs were found with which %s (%s) has a value: %w", l.Path, f.Name, h.first)
}
