package boundary

import (
	"fmt"
	"math"
	"math/big"
	"strconv"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// input is one input of a calculated measure on its way to a value.
type input struct {
	entry *entry
	leaf  *fact.Leaf
	quantity.Parameter
	fixed bool // the job has it already
	arg   quantity.Argument
	text  string
}

// solver looks for inputs with which one function gives one result.
type solver struct {
	function *quantity.Function
	inputs   []input
	leaf     *fact.Leaf
}

// closeEnough is how near a result must come, relative to its size: well inside
// the engine's rule for ties, well outside the noise of floats.
const closeEnough = 1e-12

// mostChoices is after how many combinations of words the search is given up.
const mostChoices = 300

// giveResult finds inputs for which the function gives the value, and writes
// them. One numeric input carries it, the others are as plain as can be: words
// are tried one by one, counts are 1, optional figures are left out first.
func (w *world) giveResult(e *entry, l *fact.Leaf, v written) (bool, error) {
	s, err := w.solver(e, l)
	if err != nil {
		return false, err
	}
	for _, plain := range []bool{false, true} {
		for choice := 0; choice < mostChoices && s.choose(choice, plain); choice++ {
			for _, free := range s.candidates() {
				if found, verbatim := s.solve(free, v); found {
					return verbatim, s.write(w)
				}
			}
		}
	}
	return false, fmt.Errorf("no inputs of %s (%s) were found that give %s; add a way to package boundary or an exception to the test", l.Path, s.function.Name, v.text)
}

func (w *world) solver(e *entry, l *fact.Leaf) (*solver, error) {
	s := &solver{leaf: l}
	if s.function = w.function(l.Calculation.Function); s.function == nil {
		return nil, fmt.Errorf("%s: there is no function %s", l.Path, l.Calculation.Function)
	}
	for i, in := range l.Calculation.Inputs {
		at, leaf, err := w.resolve(e, in.Fact)
		if err != nil {
			return nil, fmt.Errorf("%s: input %s: %w", l.Path, in.Symbol, err)
		}
		one := input{entry: at, leaf: leaf, Parameter: s.function.Parameters[i]}
		text, ok := at.text[leaf]
		one.fixed = ok || at.pinned // what a product of the firm does not state stays unknown
		if ok {
			if one.arg, err = argument(leaf, text); err != nil {
				return nil, err
			}
		}
		s.inputs = append(s.inputs, one)
	}
	return s, nil
}

// argument reads a value of the job as a function takes it.
func argument(l *fact.Leaf, text string) (quantity.Argument, error) {
	if l.Type != fact.Quantity && l.Type != fact.Count {
		return quantity.Argument{Known: true, Word: text}, nil
	}
	q, err := quantity.Parse(text, l.Of, quantity.Options{})
	return quantity.Argument{Known: true, Quantity: q}, err
}

// choose sets every input but those that are fixed. Words go through all their
// combinations; ok is false after the last. Plain also fills optional figures.
func (s *solver) choose(choice int, plain bool) (ok bool) {
	for i := range s.inputs {
		in := &s.inputs[i]
		switch {
		case in.fixed:
			continue
		case in.leaf.Type == fact.Word || in.leaf.Type == fact.Truth:
			words := suggestions(in.leaf)
			in.text = words[choice%len(words)]
			choice /= len(words)
		case in.Optional && !plain:
			in.text = ""
		case in.leaf.Type == fact.Count:
			in.text = "1"
		case in.leaf.Example != "":
			in.text = in.leaf.Example
		default:
			in.text = "1 " + in.leaf.Unit
		}
		in.arg = quantity.Argument{}
		if in.text != "" {
			in.arg, _ = argument(in.leaf, in.text)
		}
	}
	return choice == 0
}

// candidates lists the inputs that may carry the value, those of the result's
// own kind first.
func (s *solver) candidates() []int {
	var same, other []int
	for i := range s.inputs {
		in := &s.inputs[i]
		switch {
		case in.fixed || in.leaf.Calculation != nil || in.leaf.Type != fact.Quantity:
		case in.Kind == s.function.Result:
			same = append(same, i)
		default:
			other = append(other, i)
		}
	}
	return append(same, other...)
}

// solve tries the value itself, then looks for the number by the rule of false
// position, which for a proportional input is exact at the first step.
func (s *solver) solve(free int, v written) (found, verbatim bool) {
	in := &s.inputs[free]
	kept, keptText := in.arg, in.text
	target, _ := v.base.Float64()
	if in.Kind == s.function.Result && s.at(free, v.text, target) {
		return true, true
	}
	x0, x1 := 1.0, 2.0
	y0, ok0 := s.result(free, number(x0, in.leaf))
	y1, ok1 := s.result(free, number(x1, in.leaf))
	for step := 0; step < 60 && ok0 && ok1 && y1 != y0; step++ {
		x0, x1 = x1, x1+(target-y1)*(x1-x0)/(y1-y0)
		y0 = y1
		text := number(x1, in.leaf)
		if s.at(free, text, target) {
			return true, false
		}
		y1, ok1 = s.result(free, text)
	}
	for _, text := range suggestions(in.leaf) { // a function that goes in steps has no slope to follow
		if s.at(free, text, target) {
			return true, false
		}
	}
	in.arg, in.text = kept, keptText
	return false, false
}

// number writes a float as a decimal of 15 digits, in the leaf's own unit.
func number(x float64, l *fact.Leaf) string {
	return strconv.FormatFloat(x, 'g', 15, 64) + " " + l.Unit
}

func (s *solver) at(free int, text string, target float64) bool {
	y, ok := s.result(free, text)
	return ok && math.Abs(y-target) <= closeEnough*math.Max(math.Abs(y), math.Abs(target))
}

// result is what the function gives, in base units, with this text for one input.
func (s *solver) result(free int, text string) (float64, bool) {
	in := &s.inputs[free]
	arg, err := argument(in.leaf, text)
	if err != nil {
		return 0, false
	}
	in.arg, in.text = arg, text
	args := make([]quantity.Argument, len(s.inputs))
	for i := range s.inputs {
		args[i] = s.inputs[i].arg
	}
	q, err := s.function.Of(args, nil)
	return q.Base(), err == nil && !math.IsNaN(q.Base())
}

// write puts the inputs that were found into the job.
func (s *solver) write(w *world) error {
	for i := range s.inputs {
		in := &s.inputs[i]
		if in.fixed || in.text == "" {
			continue
		}
		var err error
		switch {
		case in.leaf.Calculation == nil:
			err = w.set(in.entry, in.leaf, in.text)
		default:
			base := new(big.Rat).SetFloat64(in.arg.Quantity.Base())
			_, err = w.give(in.entry, in.leaf, written{text: in.text, unit: in.leaf.Of, side: At, base: base})
		}
		if err != nil {
			return err
		}
	}
	return nil
}
