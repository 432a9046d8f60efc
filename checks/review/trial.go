package review

import (
	"errors"
	"slices"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// trial calculates one measure with the figures of one revision, to see which of
// those it lacks are asked for. Which inputs a function needs in which case is
// known to the function alone, so it is asked: everything else gets a plausible
// value, and what it refuses to go without is what is missing.
type trial struct {
	function *quantity.Function
	inputs   []trialInput
}

type trialInput struct {
	leaf    *fact.Leaf
	product bool // a figure of the revision
	missing bool // that it does not state
	words   []string
	arg     quantity.Argument
}

// refusal is a figure that a function will not go without.
type refusal struct {
	leaf  *fact.Leaf
	where string // " where …", for a case that a job may or may not be
}

// trial prepares a calculation. ok is false where none of its inputs is a figure
// of the product, or where a figure could not be read, which is reported by itself.
func (s *Subject) trial(l *fact.Leaf, p *define.Revision) (trial, bool) {
	var t trial
	for i := range s.Functions {
		if s.Functions[i].Name == l.Calculation.Function {
			t.function = &s.Functions[i]
		}
	}
	if t.function == nil || len(t.function.Parameters) != len(l.Calculation.Inputs) {
		return t, false
	}
	lacks := false
	for _, in := range l.Calculation.Inputs {
		w, err := s.Shape.Way(in.Fact)
		if err != nil {
			return t, false
		}
		one := trialInput{leaf: w.Leaf, product: w.Leaf.Scope == p.Instance.Scope}
		if one.product {
			v := p.Instance.Get(w.Leaf)
			switch v.State {
			case fact.Known:
				one.arg = quantity.Argument{Known: true, Quantity: v.Quantity, Word: v.Text}
			case fact.Absent:
				one.missing, lacks = true, true
			default:
				return t, false
			}
		} else {
			one.arg, one.words = plausible(w.Leaf), w.Leaf.Words
		}
		t.inputs = append(t.inputs, one)
	}
	return t, lacks
}

// plausible is some value that the fact could have.
func plausible(l *fact.Leaf) quantity.Argument {
	switch {
	case len(l.Words) > 0:
		return quantity.Argument{Known: true, Word: l.Words[0]}
	case l.Type == fact.Count:
		return quantity.Argument{Known: true, Quantity: quantity.New(quantity.Decimal{Coef: int64(max(l.Least, 2))}, l.Of)}
	}
	if q, err := quantity.Parse(l.Example, l.Of, quantity.Options{}); err == nil {
		return quantity.Argument{Known: true, Quantity: q}
	}
	return quantity.Argument{Known: true, Quantity: quantity.New(quantity.Decimal{Coef: 1}, l.Of)}
}

// refused lists the figures that the function asks for, in the order of inputs.
func (t *trial) refused() []refusal {
	out := t.outright()
	if slices.ContainsFunc(out, func(r refusal) bool { return r.leaf.Type == fact.Word }) {
		return out // what else is needed depends on that word
	}
	cases, asked := 0, map[int]int{}
	for choice := 0; ; choice++ {
		args, more := t.choose(choice)
		if !more {
			break
		}
		cases++
		for _, i := range t.demands(args) {
			asked[i]++
		}
	}
	for i := range t.inputs {
		if asked[i] == 0 {
			continue
		}
		where := ""
		if asked[i] < cases {
			where = " in every case"
		}
		out = append(out, refusal{t.inputs[i].leaf, where})
	}
	return out
}

// outright lists the figures without which the function is not even called.
func (t *trial) outright() []refusal {
	var out []refusal
	for i, in := range t.inputs {
		if in.missing && !t.function.Parameters[i].Optional {
			out = append(out, refusal{in.leaf, ""})
		}
	}
	return out
}

// mostCases bounds the combinations of words of a job that are tried.
const mostCases = 200

// choose gives the arguments for one combination of the words that a job may
// have; more is false after the last.
func (t *trial) choose(choice int) (args []quantity.Argument, more bool) {
	if choice >= mostCases {
		return nil, false
	}
	args = make([]quantity.Argument, len(t.inputs))
	for i, in := range t.inputs {
		args[i] = in.arg
		if n := len(in.words); n > 0 {
			args[i].Word = in.words[choice%n]
			choice /= n
		}
		if in.missing && !t.function.Parameters[i].Optional {
			args[i] = plausible(in.leaf) // said already; go on without it
		}
	}
	return args, choice == 0
}

// demands calls the function again and again, giving it each figure that it
// refuses to go without, and lists those.
func (t *trial) demands(args []quantity.Argument) []int {
	var out []int
	for range t.inputs {
		_, err := t.function.Of(args, nil)
		var absent *quantity.Absent
		if !errors.As(err, &absent) || absent.Input >= len(args) || args[absent.Input].Known {
			break
		}
		if t.inputs[absent.Input].missing {
			out = append(out, absent.Input)
		}
		args[absent.Input] = plausible(t.inputs[absent.Input].leaf)
	}
	return out
}
