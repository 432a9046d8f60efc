package boundary

import (
	"errors"
	"fmt"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// unknown says that a value is not known in the job under construction, and which
// optional input, if any, a function would need.
type unknown struct {
	reason string
	of     place // the measure that lacks an optional input; zero for none
	input  int   // of the measure's calculation, from 1; 0 for none in particular
}

func (u *unknown) Error() string { return u.reason }

// evaluate works out a value as the job under construction has it. It follows the
// description of the measure like the engine, with the same functions, but over
// this package's own entries.
func (w *world) evaluate(e *entry, l *fact.Leaf) (quantity.Argument, error) {
	text, ok := e.text[l]
	calc := l.Calculation
	switch {
	case calc == nil && l.Type == fact.Link && len(e.target[l]) > 0:
		return quantity.Argument{Known: true, Word: fmt.Sprintf("%p", e.target[l][0])}, nil
	case calc == nil && !ok:
		return quantity.Argument{}, &unknown{l.Path + " is absent", place{}, 0}
	case calc == nil:
		return argument(l, text)
	case calc.Function != "":
		return w.evaluateFunction(e, l)
	}
	return w.evaluateFold(e, l)
}

func (w *world) evaluateFunction(e *entry, l *fact.Leaf) (quantity.Argument, error) {
	f := w.function(l.Calculation.Function)
	if f == nil {
		return quantity.Argument{}, fmt.Errorf("%s: there is no function %s", l.Path, l.Calculation.Function)
	}
	args := make([]quantity.Argument, len(f.Parameters))
	for i, in := range l.Calculation.Inputs {
		at, leaf, err := w.peek(e, in.Fact)
		if err == nil {
			args[i], err = w.evaluate(at, leaf)
		}
		if err != nil && !f.Parameters[i].Optional {
			return quantity.Argument{}, err
		}
	}
	q, err := f.Of(args, nil)
	var absent *quantity.Absent
	switch {
	case errors.As(err, &absent):
		return quantity.Argument{}, &unknown{l.Path + ": " + err.Error(), place{e, l}, absent.Input + 1}
	case err != nil:
		return quantity.Argument{}, &unknown{l.Path + ": " + err.Error(), place{}, 0}
	}
	return quantity.Argument{Known: true, Quantity: q}, nil
}

func (w *world) function(name string) *quantity.Function {
	for i := range w.functions {
		if w.functions[i].Name == name {
			return &w.functions[i]
		}
	}
	return nil
}

// evaluateFold works out a sum, a number, an extreme, or how many differ.
func (w *world) evaluateFold(e *entry, l *fact.Leaf) (quantity.Argument, error) {
	var sum, least, greatest float64
	words, n := map[string]bool{}, 0
	for _, t := range l.Calculation.Terms() {
		sc, leaf := w.term(t)
		if sc == nil {
			return quantity.Argument{}, fmt.Errorf("%s: there is no %s", l.Path, t.Fact)
		}
		have, link := w.having(e, sc, t.Over)
		if link != nil && link.Scope == e.scope && len(have) == 0 && e.many[link] == nil {
			return quantity.Argument{}, &unknown{link.Path + " is absent", place{}, 0}
		}
		for _, m := range have {
			if belongs, err := w.belongs(m, l); err != nil || !belongs {
				if err != nil {
					return quantity.Argument{}, err
				}
				continue
			}
			n++
			if leaf == nil {
				continue
			}
			a, err := w.evaluate(m, leaf)
			if err != nil {
				return a, err
			}
			x := a.Quantity.Base()
			if day, isDate := fact.ParseDay(a.Word); isDate && leaf.Type == fact.Date {
				x = float64(day)
			}
			words[a.Word+a.Quantity.String()] = true
			if n == 1 {
				least, greatest = x, x
			}
			sum, least, greatest = sum+x, min(least, x), max(greatest, x)
		}
	}
	result := sum
	switch c := l.Calculation; {
	case c.Count != nil:
		result = float64(n)
	case c.Distinct != nil:
		result = float64(len(words))
	case len(c.Least)+len(c.Greatest) == 0 && c.Span == nil:
	case n == 0:
		return quantity.Argument{}, &unknown{l.Path + ": no entries", place{}, 0}
	case c.Span != nil:
		result = greatest - least
	case len(c.Least) > 0:
		result = least
	default:
		result = greatest
	}
	q, err := quantity.Calculated(result, l.Of)
	return quantity.Argument{Known: true, Quantity: q}, err
}

// term finds the list that a term runs over, and the fact of its entries; nil
// where entries are counted.
func (w *world) term(t fact.Term) (*fact.Scope, *fact.Leaf) {
	if leaf := w.shape.Leaf(t.Fact); leaf != nil {
		return leaf.Scope, leaf
	}
	return w.shape.Scope(t.Fact), nil
}

// belongs tells whether an entry meets the conditions of a sum.
func (w *world) belongs(m *entry, l *fact.Leaf) (bool, error) {
	for _, test := range l.Calculation.Where {
		at, leaf, err := w.peek(m, m.scope.List.Name+"."+test.Fact)
		var a quantity.Argument
		if err == nil {
			a, err = w.evaluate(at, leaf)
		}
		switch {
		case err != nil && slices.Contains(test.Words, fact.NotRecorded):
		case err != nil && slices.Contains(test.Words, fact.Recorded):
			return false, nil
		case err != nil:
			return false, err
		case test.Words[0] == fact.Recorded:
		case !slices.Contains(test.Words, a.Word):
			return false, nil
		}
	}
	return true, nil
}

// peek resolves a path like resolve, but makes nothing that is not there.
func (w *world) peek(from *entry, path string) (*entry, *fact.Leaf, error) {
	before := len(w.undo)
	e, l, err := w.resolve(from, path)
	if len(w.undo) > before {
		w.takeBack(before)
		return nil, nil, &unknown{"nothing leads to " + path, place{}, 0}
	}
	return e, l, err
}
