package report

import (
	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/cmd/witnessmark/since"
)

// appendPremises writes the sums over one property.
func appendPremises(b []byte, p *checks.PremisesResult, c *since.Comparison) []byte {
	b = AppendJSON(append(b, "\n{\"premises\":"...), p.Premises)
	b = append(b, `,"jobs":[`...)
	for i, name := range p.Jobs {
		b = AppendJSON(comma(b, i), name)
	}
	b = append(b, `],"outcomes":[`...)
	for i := range p.Outcomes {
		b = appendRepositoryOutcome(append(comma(b, i), '\n'), &p.Outcomes[i], c.Outcome(&p.Outcomes[i]))
	}
	return append(b, `]}`...)
}

// appendRepositoryOutcome writes an outcome that belongs to several jobs at once.
func appendRepositoryOutcome(b []byte, o *checks.RepositoryOutcome, v since.Verdict) []byte {
	b = AppendJSON(append(b, `{"limit":`...), o.Name)
	b = appendText(b, "measure", o.Measure)
	b = appendText(b, "fact", o.Fact)
	b = appendText(b, "outcome", o.Kind.String())
	b = appendTruth(b, "blocking", o.Blocking)
	unit := repositoryUnit(o)
	if n, ok := numberIn(o.Value, unit); ok {
		b = append(appendKey(b, "value"), n...)
	}
	if !unit.IsZero() {
		name := unit.Symbol()
		if o.Limit != nil {
			name = o.Limit.Way.Leaf.UnitName(unit)
		}
		b = appendText(b, "unit", name)
	}
	if o.Written != "" {
		b = appendText(b, "written", o.Written)
	}
	if o.Limit != nil {
		b = appendText(b, "within", o.Limit.Describe(false))
	}
	if o.Margin != "" {
		b = append(appendKey(b, "margin"), signed(o.Room, o.Kind == judge.Outside)...)
	}
	if o.Limit != nil && compared(o.Kind) {
		b = appendTruth(b, "strictest", o.Strict)
	}
	if o.Limit != nil {
		b = appendText(b, "decision", string(o.Limit.Source.Decision))
	}
	if o.File != "" {
		b = appendText(b, "file", o.File)
	}
	b = appendAt(b, o.At)
	if o.Reason != "" {
		b = appendText(b, "reason", o.Reason)
	}
	b = appendVerdict(b, v)
	if len(o.Shares) > 0 {
		b = append(b, `,"shares":[`...)
		for i, s := range o.Shares {
			b = AppendJSON(append(comma(b, i), `{"job":`...), s.Job)
			if n, ok := numberIn(s.Value, unit); ok {
				b = append(appendKey(b, "value"), n...)
			}
			b = append(b, '}')
		}
		b = append(b, ']')
	}
	return append(b, '}')
}

// repositoryUnit is the unit in which a sum and its limit are stated.
func repositoryUnit(o *checks.RepositoryOutcome) quantity.Unit {
	if o.Limit != nil {
		return o.Limit.Of
	}
	return o.Value.Unit()
}

// appendAt writes a position, where there is one.
func appendAt(b []byte, at jobfile.Position) []byte {
	if at.Line == 0 {
		return b
	}
	b = append(b, `,"at":{"line":`...)
	b = appendInt(b, at.Line)
	b = appendNumber(b, "column", at.Column)
	return append(b, '}')
}
