package boundary

import (
	"slices"

	"witnessmark.example/checks/fact"
)

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
