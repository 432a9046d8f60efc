package boundary

import (
	"errors"
	"fmt"
	"regexp"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
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
		members, err := w.members(e, sc, t.Over, max(1, len(have)))
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

// hunt looks for inputs that a function accepts. It changes one input after
// another and goes on from where the function complains of something new: what it
// complained of before is then mended.
type hunt struct {
	*world
	entry *entry
	leaf  *fact.Leaf
	seen  map[string]bool
	first error
	tries int
}

// mostTries is after how many evaluations a hunt is given up.
const mostTries = 3000

var digits = regexp.MustCompile(`[0-9./]+`)

func (h *hunt) try() bool {
	h.tries++
	_, err := h.evaluate(h.entry, h.leaf)
	if err == nil {
		return true
	}
	if h.first == nil {
		h.first = err
	}
	complaint := digits.ReplaceAllString(err.Error(), "#")
	var u *unknown
	if errors.As(err, &u) && u.input > 0 {
		complaint = err.Error()
	}
	if h.seen[complaint] || h.tries > mostTries {
		return false
	}
	h.seen[complaint] = true
	before := len(h.undo)
	if u != nil && u.input > 0 && u.of == h.leaf {
		at, leaf, err := h.resolve(h.entry, h.leaf.Calculation.Inputs[u.input-1].Fact)
		if err == nil && h.find(at, leaf) == nil && h.try() {
			return true
		}
		h.takeBack(before)
	}
	for _, l := range h.emptySums(h.entry, h.leaf, nil) {
		if h.fill(l) == nil && h.try() {
			return true
		}
		h.takeBack(before)
	}
	return h.change() || h.another()
}

// another adds one more entry to a list that has one: to know one end of a
// conductor may not be enough.
func (h *hunt) another() bool {
	before := len(h.undo)
	for _, at := range h.folds() {
		for _, t := range at.leaf.Calculation.Terms() {
			sc, _ := h.term(t)
			have, _ := h.having(at.entry, sc, t.Over)
			if len(have) != 1 {
				continue
			}
			if _, err := h.members(at.entry, sc, t.Over, 2); err == nil && h.complete() == nil && h.try() {
				return true
			}
			h.takeBack(before)
		}
	}
	return false
}

// complete gives a new entry the values of what is taken over its list.
func (h *hunt) complete() error {
	for _, at := range h.folds() {
		if err := h.find(at.entry, at.leaf); err != nil {
			return err
		}
	}
	return nil
}

// folds lists what the measure takes over several entries, itself or by its inputs.
func (h *hunt) folds() (out []place) {
	if h.leaf.Calculation.Function == "" {
		return []place{{h.entry, h.leaf}}
	}
	for _, in := range h.leaf.Calculation.Inputs {
		at, leaf, err := h.peek(h.entry, in.Fact)
		if err == nil && leaf.Calculation != nil && leaf.Calculation.Function == "" {
			out = append(out, place{at, leaf})
		}
	}
	return out
}

// change tries other values for every input that may be chosen freely.
func (h *hunt) change() bool {
	before := len(h.undo)
	for _, at := range h.inputs(h.entry, h.leaf, nil) {
		if _, set := at.entry.text[at.leaf]; set && !h.loose[at] || at.entry.pinned {
			continue
		}
		for _, text := range suggestions(at.leaf) {
			if at.entry.text[at.leaf] == text {
				continue
			}
			h.put(at.entry, at.leaf, text)
			h.loosen(at.entry, at.leaf)
			if h.try() {
				return true
			}
			h.takeBack(before)
		}
	}
	return false
}

// emptySums lists the sums below a value to which no entry adds anything.
func (w *world) emptySums(e *entry, l *fact.Leaf, out []place) []place {
	calc := l.Calculation
	if calc == nil {
		return out
	}
	for _, in := range calc.Inputs {
		if at, leaf, err := w.peek(e, in.Fact); err == nil {
			out = w.emptySums(at, leaf, out)
		}
	}
	some := calc.Function != ""
	for _, t := range calc.Terms() {
		sc, leaf := w.term(t)
		if sc == nil {
			continue
		}
		have, _ := w.having(e, sc, t.Over)
		for _, m := range have {
			if some = true; leaf != nil {
				out = w.emptySums(m, leaf, out)
			}
		}
	}
	if !some && !slices.Contains(out, place{e, l}) {
		out = append(out, place{e, l})
	}
	return out
}

// fill gives a sum an entry, and the same sums of other entries too: all the
// stacks of a unit have cables, or none.
func (h *hunt) fill(sum place) error {
	for _, at := range h.emptySums(h.entry, h.leaf, nil) {
		if at.leaf != sum.leaf {
			continue
		}
		if err := h.findFold(at.entry, at.leaf); err != nil {
			return err
		}
	}
	return nil
}

// inputs lists the fields that a value is calculated from, as far as the job has
// the entries they stand in; what it lacks there is made where a link leads to it.
func (w *world) inputs(e *entry, l *fact.Leaf, out []place) []place {
	calc := l.Calculation
	switch {
	case calc == nil:
		return append(out, place{e, l})
	case calc.Function != "":
		for _, in := range calc.Inputs {
			at, leaf, err := w.peek(e, in.Fact)
			if err == nil {
				out = w.inputs(at, leaf, out)
			}
		}
		return out
	}
	for _, t := range calc.Terms() {
		sc, leaf := w.term(t)
		if sc == nil || leaf == nil {
			continue
		}
		have, _ := w.having(e, sc, t.Over)
		for _, m := range have {
			out = w.inputs(m, leaf, out)
		}
	}
	return out
}

// suggestions lists values to try for a field, the likeliest first.
func suggestions(l *fact.Leaf) []string {
	switch l.Type {
	case fact.Truth:
		return []string{quantity.No, quantity.Yes}
	case fact.Word:
		return l.Words
	case fact.Count:
		return []string{"4", "1", "2", "3"}
	case fact.Quantity:
	case fact.Link, fact.Date, fact.Key:
		return nil
	default:
		return []string{"x"}
	}
	var out []string
	add := func(texts ...string) {
		for _, text := range texts {
			if _, err := quantity.Parse(text, l.Of, quantity.Options{}); err == nil && plain(text) {
				out = append(out, text)
			}
		}
	}
	add(l.Example)
	switch l.Of.Kind() {
	case quantity.Temperature:
		add("30 °C", "75 °C", "90 °C", "60 °C", "70 °C")
	case quantity.Area:
		add("6 AWG", "10 mm²", "1/0 AWG", "70 mm²")
	case quantity.Current:
		add("40 A", "10 A", "100 A", "1 kA")
	case quantity.Ratio:
		add("95 %", "50 %", "1 %")
	case quantity.Duration:
		add("1 s", "0.2 s", "0.05 s", "1 h")
	}
	add("10 "+l.Unit, "1 "+l.Unit, "100 "+l.Unit, "0.1 "+l.Unit, "1000 "+l.Unit)
	return out
}

// plain tells that a text is one number with its unit, without an uncertainty.
func plain(text string) bool { return !regexp.MustCompile(`±|\+/-`).MatchString(text) }
