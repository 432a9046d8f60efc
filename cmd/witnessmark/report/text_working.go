package report

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// calculated writes what the value of a finding came from, in one line, or in full
// where calculations are asked for.
func (w *jobWriter) calculated(o *judge.Outcome) {
	text, _, _ := o.Leaf.Beside(o.Compared, o.Bound, o.Unit())
	w.working(o.Value, "calculated", text)
}

// calculatedBound writes the same of the fact that the deciding bound of a limit is
// taken from.
func (w *jobWriter) calculatedBound(o *judge.Outcome) {
	if o.BoundFrom != o.Value {
		w.working(o.BoundFrom, "limit from", "")
	}
}

// working writes one calculation. Its result is the text, where it stands beside
// another number.
func (w *jobWriter) working(v *fact.Value, name, text string) {
	if v == nil || v.More == nil || v.More.From == nil {
		return
	}
	from := v.More.From
	if w.sink.calculations {
		w.inFull(name).all(from)
		return
	}
	w.sink.shortened.Store(true)
	if text == "" {
		text, _, _ = from.Leaf.Beside(from.Result.Quantity, from.Result.Quantity, from.Leaf.Of)
	}
	w.item(name).from(text).own("; formula: ").from(from.Leaf.Calculation.Formula).end()
}

func (w *jobWriter) inFull(name string) *calculations {
	if w.told == nil {
		w.told = map[*fact.Working]bool{}
	}
	return &calculations{lines: w.lines, name: name, file: w.file, told: w.told}
}

// notCalculated writes, of a value that could not be calculated though nothing is
// absent, what went into the calculation that came to no result. It may be that of
// an input of an input.
func (w *jobWriter) notCalculated(v *fact.Value) {
	if v == nil || v.State != fact.Uncalculated || v.More.Tried == nil || len(v.More.Lacks) > 0 {
		return
	}
	tried := innermost(v.More.Tried)
	if w.sink.calculations {
		w.inFull("calculated").all(tried)
		return
	}
	w.item("calculated").from(label(tried.Leaf)).own(" (").from(tried.Of.AddressOf(tried.Leaf)).own(") has no value; formula: ").from(tried.Leaf.Calculation.Formula).end()
}

// innermost finds the calculation that gave no result, among those that went into
// one that therefore has none.
func innermost(tried *fact.Working) *fact.Working {
	for i := range tried.Inputs {
		in := &tried.Inputs[i]
		if in.Value != nil || in.Leaf == nil {
			continue
		}
		if v := in.Of.Get(in.Leaf); v.State == fact.Uncalculated && v.More.Tried != nil && v.More.Reason == tried.Result.More.Reason {
			return innermost(v.More.Tried)
		}
	}
	return tried
}

// inputText is the value of an input with its unit, as its author wrote it.
func inputText(in *fact.WorkingInput) string {
	v := in.Value
	switch {
	case in.Leaf == nil:
		return ""
	case v == nil:
		return unknownText(in)
	case in.Leaf.Type == fact.Truth:
		return v.Written
	case in.Leaf.Type != fact.Quantity && in.Leaf.Type != fact.Count:
		return `"` + v.Written + `"`
	case v.Written != "":
		return withNoun(v.Written, in.Leaf)
	}
	return in.Leaf.Format(v.Quantity, in.Leaf.Of)
}

// unknownText says why an input has no value.
func unknownText(in *fact.WorkingInput) string {
	if in.Leaf.Scope == in.Of.Scope {
		switch in.Of.Get(in.Leaf).State {
		case fact.Unreadable:
			return "not readable"
		case fact.Uncalculated:
			return "not calculated"
		}
	}
	return "not recorded"
}
