package report

import (
	"strconv"

	"witnessmark.example/checks/fact"
)

// workings writes how a calculated value came about, and below it how its
// inputs did.
func (t *lines) workings(v *fact.Value) {
	if v == nil || v.More == nil || v.More.From == nil {
		return
	}
	w := v.More.From
	t.item("calculated").from(w.Leaf.Calculation.Formula)
	separator := ": "
	for i := range w.Inputs {
		t.own(separator)
		separator = ", "
		t.input(&w.Inputs[i])
	}
	t.own(" gives ").from(w.Leaf.Format(w.Result.Quantity, w.Leaf.Of)).end()
	for i := range w.Inputs {
		t.workings(w.Inputs[i].Value)
	}
}

// input writes one input with its origin.
func (t *lines) input(in *fact.WorkingInput) {
	if in.Symbol != "" {
		t.from(in.Symbol).own(" = ")
	}
	if in.Leaf == nil { // an entry that was counted
		t.from(in.Of.Address()).own(lineOf(in.Of.At.Line)...)
		return
	}
	switch v := in.Value; {
	case v == nil:
		t.own("not recorded")
	case in.Leaf.Type == fact.Quantity || in.Leaf.Type == fact.Count:
		if v.Written != "" {
			t.from(withNoun(v.Written, in.Leaf))
		} else {
			t.from(in.Leaf.Format(v.Quantity, in.Leaf.Of))
		}
	default:
		t.own(`"`).from(v.Text).own(`"`)
	}
	t.own(" (").from(in.Of.AddressOf(in.Leaf))
	if in.Of.Scope.List.IsElsewhere() {
		from := productOrigin(in.Of, in.Leaf)
		t.own(", ").from(from.File)
		if from.Line > 0 {
			t.own(":", strconv.Itoa(from.Line))
		}
	} else if in.Value != nil {
		t.own(lineOf(in.Value.At.Line)...)
	}
	t.own(")")
}

func lineOf(line int) []string {
	if line == 0 {
		return nil
	}
	return []string{", line ", strconv.Itoa(line)}
}
