package report

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/quantity"
)

// appendFact writes the address of a value as a JSON string: the same text as
// Instance.AddressOf, without a string of its own for each of the many. Without
// a leaf it is the address of the entry.
func appendFact(b []byte, in *fact.Instance, l *fact.Leaf) []byte {
	b = append(b, '"')
	if in.Parent != nil || in.Scope.List.IsElsewhere() {
		b = appendEntry(b, in)
		if l != nil {
			b = append(b, '.')
		}
	}
	if l != nil {
		b = appendJSONPart(b, l.Inside())
	}
	return append(b, '"')
}

// appendEntry writes the address of an entry.
func appendEntry(b []byte, in *fact.Instance) []byte {
	if in.Parent == nil {
		return appendJSONPart(b, in.Key)
	}
	name := in.Scope.List.Name
	if up := in.Parent; up.Parent != nil {
		b = append(appendEntry(b, up), '.')
	}
	if p := in.Scope.Parent; p != nil && p.List.Name != "" {
		name = name[len(p.List.Name)+1:]
	}
	b = appendJSONPart(b, name)
	if in.Key == "" { // the only entry of a trial
		return b
	}
	b = append(b, '[')
	return append(appendJSONPart(b, in.Key), ']')
}

// appendCalculations writes how the calculated values came about, each once.
func (j *jsonSink) appendCalculations(b []byte, r *judge.Result) []byte {
	var wanted map[*fact.Working]bool
	if j.findingsOnly {
		wanted = workingsBehind(r)
	}
	written := 0
	for _, w := range r.Facts.Workings {
		if wanted != nil && !wanted[w] {
			continue
		}
		b = appendWorking(append(comma(b, written), '\n'), w)
		written++
	}
	return b
}

// workingsBehind collects the calculations that findings refer to, with those
// that went into them.
func workingsBehind(r *judge.Result) map[*fact.Working]bool {
	wanted := map[*fact.Working]bool{}
	var add func(v *fact.Value)
	add = func(v *fact.Value) {
		if v == nil || v.More == nil || v.More.From == nil || wanted[v.More.From] {
			return
		}
		wanted[v.More.From] = true
		for i := range v.More.From.Inputs {
			add(v.More.From.Inputs[i].Value)
		}
	}
	for i := range r.Outcomes {
		if r.Outcomes[i].Kind.IsFinding() {
			add(r.Outcomes[i].Value)
			add(r.Outcomes[i].BoundFrom)
		}
	}
	return wanted
}

func appendWorking(b []byte, w *fact.Working) []byte {
	b = appendFact(append(b, `{"fact":`...), w.Of, w.Leaf)
	b = appendText(b, "measure", w.Leaf.Path)
	b = appendText(b, "formula", w.Leaf.Calculation.Formula)
	b = append(b, `,"inputs":[`...)
	for i := range w.Inputs {
		b = appendInput(comma(b, i), &w.Inputs[i])
	}
	b = append(b, ']')
	b = appendValue(b, "result", w.Result, w.Leaf, w.Leaf.Of)
	b = appendText(b, "unit", w.Leaf.UnitName(w.Leaf.Of))
	b = appendWire(b, w.Result)
	b = append(b, `,"steps":[`...)
	for i, s := range w.Steps() {
		b = appendStep(comma(b, i), &s)
	}
	b = appendText(append(b, ']'), "source", w.Leaf.Calculation.Source)
	if w.Leaf.Calculation.Validity != "" {
		b = appendText(b, "validity", w.Leaf.Calculation.Validity)
	}
	return append(b, '}')
}

// appendWire writes a wire size as it is sold beside its area.
func appendWire(b []byte, v *fact.Value) []byte {
	if v == nil || !v.Quantity.Unit().IsWire() {
		return b
	}
	return appendText(b, "written", v.Quantity.String())
}

// appendStep writes what a calculation did between inputs and result; a remark has
// neither symbol nor value. A size by number (AWG) is a text.
func appendStep(b []byte, s *quantity.Step) []byte {
	b = append(b, '{')
	if s.Symbol != "" {
		b = append(AppendJSON(append(b, `"symbol":`...), s.Symbol), ',')
	}
	if q := s.Value; !q.IsZero() {
		if n, ok := numberIn(q, q.Unit()); ok {
			b = append(append(b, `"value":`...), n...)
		} else {
			b = AppendJSON(append(b, `"value":`...), q.String())
		}
		b = append(appendText(b, "unit", q.Unit().Symbol()), ',')
	}
	return append(AppendJSON(append(b, `"from":`...), s.From), '}')
}

// appendInput writes one input. An optional input that is not known, and an
// entry that was only counted, have no value.
func appendInput(b []byte, in *fact.WorkingInput) []byte {
	b = append(b, '{')
	if in.Symbol != "" {
		b = append(AppendJSON(append(b, `"symbol":`...), in.Symbol), ',')
	}
	b = appendFact(append(b, `"fact":`...), in.Of, in.Leaf)
	at := in.Of.At
	if in.Leaf != nil {
		at.Line, at.Column = 0, 0
		if in.Value != nil {
			b = appendValue(b, "value", in.Value, in.Leaf, in.Leaf.Of)
			at = in.Value.At
		}
		if u := in.Leaf.UnitName(in.Leaf.Of); u != "" {
			b = appendText(b, "unit", u)
		}
	}
	if in.Of.Scope.List.IsElsewhere() {
		from := productOrigin(in.Of, in.Leaf)
		if from.File != "" { // else given by hand
			b = appendText(b, "file", from.File)
		}
		if from.Line > 0 {
			b = appendNumber(b, "line", from.Line)
		}
		return append(b, '}')
	}
	return append(appendAt(b, at), '}')
}

// productOrigin is where a value of a product is stated, else the product.
func productOrigin(in *fact.Instance, l *fact.Leaf) fact.Origin {
	if l != nil {
		if o, ok := in.Lines[l.Inside()]; ok {
			return o
		}
	}
	return fact.Origin{File: in.File}
}
