package boundary

import (
	"errors"
	"regexp"

	"witnessmark.example/checks/fact"
)

// hunt looks for inputs that a function accepts. It changes one input after
// another and goes on from where the function complains of something new: what it
// complained of before is then mended.
type hunt struct {
	*world
	entry *entry
	leaf  *fact.Leaf
	seen  map[string]bool
	first error
}

// mostTries is after how many evaluations all hunts for one job are given up: those
// for inputs of inputs stand inside of others, and would multiply.
const mostTries = 3000

var digits = regexp.MustCompile(`[0-9./]+`)

// try tells whether there is a value now, and otherwise looks on from here unless
// the complaint was heard before.
func (h *hunt) try() bool {
	h.world.tries++
	_, err := h.evaluate(h.entry, h.leaf)
	if err == nil {
		return true
	}
	if h.first == nil {
		h.first = err
	}
	// Figures are left out of a complaint: "no row for 12 mm²" is no news after 10 mm².
	complaint := digits.ReplaceAllString(err.Error(), "#")
	var u *unknown
	if errors.As(err, &u) && u.input > 0 {
		complaint = err.Error()
	}
	if h.seen[complaint] || h.world.tries > mostTries {
		return false
	}
	h.seen[complaint] = true
	before := len(h.undo)
	if u != nil && u.input > 0 && u.of == (place{h.entry, h.leaf}) {
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

// another sees to two entries of a list: to know one end of a
// conductor may not be enough.
func (h *hunt) another() bool {
	before := len(h.undo)
	for _, at := range h.folds() {
		for _, t := range at.leaf.Calculation.Terms() {
			sc, _ := h.term(t)
			have, _ := h.having(at.entry, sc, t.Over)
			if len(have) > 1 {
				continue
			}
			if _, err := h.members(at.entry, at.leaf, sc, t.Over, 2); err == nil && h.complete() == nil && h.try() {
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
