package report

import (
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/cmd/witnessmark/since"
)

// jobRows writes the rows of one job.
type jobRows struct {
	*table
	job   *checks.Job
	since *since.Job // nil where nothing is compared with a base
	base  measure    // what all its rows have
}

func (j *jobRows) problem(p *checks.Problem) { j.row(problemRow(j.base, p)) }

func problemRow(m measure, p *checks.Problem) *measure {
	m.at, m.outcome, m.reason = p.At, rowProblem, p.Message
	if p.Mend != "" {
		m.reason += "; mend: " + p.Mend
	}
	return &m
}

// about says which value a row is about.
func (m *measure) about(in *fact.Instance, l *fact.Leaf) {
	m.list, m.fact, m.label = in.Scope.List.Name, in.AddressOf(l), label(l)
	for up := in; up != nil && (up.Parent != nil || up.Scope.List.IsElsewhere()); up = up.Parent {
		if m.entry != "" {
			m.entry = " / " + m.entry
		}
		m.entry = up.Key + m.entry
	}
}

// valueOf says what the value is, in a unit and as its author wrote it.
func (m *measure) valueOf(v *fact.Value, l *fact.Leaf, u quantity.Unit) {
	m.unit = l.UnitName(u)
	if v == nil {
		return
	}
	m.written = v.Written
	if v.State != fact.Known {
		return
	}
	switch {
	case l.Many:
		m.text = v.Written
	case l.Type == fact.Quantity || l.Type == fact.Count:
		m.number, _ = numberIn(v.Quantity, u)
		if v.Written == "" && v.Quantity.Unit().IsWire() {
			m.written = v.Quantity.String() // calculated: the size as it is sold
		}
	case l.Type == fact.Truth:
		m.text = truth(v.Truth)
	default:
		m.text = v.Text
	}
	if v.More != nil && v.More.From != nil {
		m.formula = v.More.From.Leaf.Calculation.Formula
	}
}

// outcome writes the row of one limit or built-in check on one value.
func (j *jobRows) outcome(o *judge.Outcome) {
	m := j.base
	m.at = positionOf(j.job.Result, o)
	m.about(o.Of, o.Leaf)
	m.outcome, m.blocking, m.reason = o.Kind.String(), truth(o.Blocking), o.Reason
	m.beside(j.since.Verdict(o))
	if o.Reason == "" && o.Reaches {
		m.reason = reachesOver
	}
	if o.Kind == judge.Missing {
		m.unit = o.Leaf.UnitName(o.Unit())
	} else {
		m.valueOf(o.Value, o.Leaf, o.Unit())
	}
	if plan := planBeside(o); plan != nil {
		m.planned = plan.Written
	}
	var waits []string
	for _, k := range o.WaitsOn {
		waits = appendNew(waits, k.Of.AddressOf(k.Leaf))
	}
	m.waitsOn = strings.Join(waits, ", ")
	if o.Limit == nil {
		m.limit, m.ruleSet = o.Check, builtInSet
		j.row(&m)
		return
	}
	m.of(o.Limit, o.Second)
	if room, ok := o.Room(); ok {
		m.margin = signed(room, outsideOf(o))
		m.bound, _ = numberIn(o.Bound, o.Unit())
	}
	if compared(o.Kind) {
		m.strictest = truth(o.Strictest)
	}
	j.row(&m)
}

// values writes a row for each recorded or calculated value of the job that no limit
// judged, so that the table has them all and none of these looks like a pass.
func (j *jobRows) values() {
	r := j.job.Result
	const (
		none = iota
		idle // limits on it do not apply
		said // a row of its own says how it stands to a limit
	)
	state := map[slot]int{}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		key := slot{o.Of, o.Leaf}
		switch {
		case o.Limit == nil:
		case o.Kind == judge.NotApplicable:
			state[key] = max(state[key], idle)
		default:
			state[key] = said
		}
	}
	for _, sc := range r.Facts.Shape.Scopes {
		if sc.List.IsElsewhere() {
			continue
		}
		for _, in := range r.Facts.Entries[sc.ID] {
			for _, l := range sc.Leaves {
				if n := state[slot{in, l}]; n != said && l.Type != fact.Key {
					j.value(in, l, n == idle)
				}
			}
		}
	}
}

// value writes a value that no limit judged.
func (j *jobRows) value(in *fact.Instance, l *fact.Leaf, idle bool) {
	v := in.Get(l)
	if v.State != fact.Known && v.State != fact.Unreadable {
		return
	}
	m := j.base
	m.about(in, l)
	m.valueOf(v, l, l.Of)
	if m.at = v.At; m.at.Line == 0 {
		m.at = placeOf(j.job.Result, in, l)
	}
	if plan := in.PlannedValue(l); plan != nil && plan.Written != v.Written {
		m.planned = plan.Written
	}
	m.outcome = rowNotJudged
	switch {
	case v.State == fact.Unreadable:
		m.reason = "it could not be read"
		if v.More != nil && v.More.Reason != "" {
			m.reason += ": " + v.More.Reason
		}
	case j.job.Result.SetAside() && len(j.job.Result.Outcomes) > 0:
		m.reason = j.job.Result.Outcomes[0].Reason
	case l.Calculation != nil && l.Calculation.Across:
		m.reason = "what this job adds to the sum over its premises; the sum stands below the jobs"
	case idle:
		m.reason = "no limit on it applies"
	default:
		m.reason = "no limit is about it"
	}
	j.row(&m)
}

// notJudged writes which limits judged nothing although the job is held to them.
func (j *jobRows) notJudged() {
	if j.job.Result.SetAside() {
		return
	}
	for x := range j.job.Result.WithoutEntry() {
		m := j.base
		m.list, m.outcome, m.blocking = x.List, rowNothing, truth(x.Blocking() > 0)
		m.reason = plural(len(x.Limits), "limit", "limits")
		if n := x.Blocking(); n > 0 {
			m.reason += ofThem(n, len(x.Limits)) + ","
		}
		m.reason += " found nothing to judge, since none is recorded"
		j.row(&m)
	}
	for name := range j.job.Result.BrokenLimits() {
		m := j.base
		m.limit, m.outcome, m.reason = name, rowBroken, "the limit is not understood"
		j.row(&m)
	}
}
