package report

import (
	"math"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/cmd/witnessmark/since"
)

// limitJSON is what the report says of a limit with every outcome, written once
// and copied from then on.
type limitJSON struct {
	head     []byte    // the limit and its measure
	within   [2][]byte // of the main value and of the second printed one
	unit     [2][]byte
	decision []byte
}

func (j *jsonSink) limit(l *limit.Compiled) *limitJSON {
	if known, ok := j.limits.Load(l); ok {
		return known.(*limitJSON)
	}
	made := &limitJSON{head: AppendJSON([]byte(`{"limit":`), l.FullName)}
	made.head = appendText(made.head, "measure", l.Measure)
	made.decision = appendText(nil, "decision", string(l.Source.Decision))
	for i, second := range []bool{false, true} {
		made.within[i] = appendText(nil, "within", l.Describe(second))
		if u := l.UnitFor(second); !u.IsZero() {
			made.unit[i] = appendText(nil, "unit", l.Way.Leaf.UnitName(u))
		}
	}
	known, _ := j.limits.LoadOrStore(l, made)
	return known.(*limitJSON)
}

// Render writes one job. It is safe for concurrent use.
func (j *jsonSink) Render(b []byte, job *checks.Job) []byte {
	b = AppendJSON(append(b, `{"file":`...), job.File)
	b = appendText(b, "digest", job.Digest)
	b = appendText(b, "job", job.Number)
	b = appendText(b, "premises", job.Premises)
	b = appendText(b, "status", job.Status)
	b = appendText(b, "stage", job.Stage)
	compared := j.since.Of(job)
	b = appendComparedJob(b, compared)
	if job.Result == nil {
		b = append(b, `,"gates":[],"gates_without":[],"outcomes":[],"calculations":[],"proposals":[],"without_entry":[],"broken_limits":[],"unread":true`...)
		return append(b, premisesSums...)
	}
	r := job.Result
	b = append(b, `,"gates":[`...)
	for i := range r.Gates {
		b = appendGate(comma(b, i), &r.Gates[i])
	}
	b = append(b, gatesWithout(r)...)
	b = append(b, `,"outcomes":[`...)
	written := 0
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; !j.findingsOnly || o.Kind.IsFinding() {
			b = j.appendOutcome(append(comma(b, written), '\n'), r, o, compared.Verdict(o))
			written++
		}
	}
	b = append(b, `],"calculations":[`...)
	b = append(j.appendCalculations(b, r), ']')
	b = appendProposals(b, r, job.Proposals)
	b = appendNotJudged(b, r)
	return append(b, premisesSums...)
}

// gatesWithout closes the gates and says what is not in them, since it is judged
// after the last job.
func gatesWithout(r *judge.Result) string {
	switch {
	case r.SetAside():
		return `],"gates_without":[]`
	case len(r.Sums()) > 0:
		return `],"gates_without":["premises sums","checks across files"]`
	}
	return `],"gates_without":["checks across files"]`
}

// appendNotJudged writes which limits judged nothing: of lists without an entry,
// and those that are not understood.
func appendNotJudged(b []byte, r *judge.Result) []byte {
	if r.SetAside() {
		return append(b, `,"without_entry":[],"broken_limits":[]`...)
	}
	b = append(b, `,"without_entry":[`...)
	n := 0
	for x := range r.WithoutEntry() {
		b = AppendJSON(append(comma(b, n), `{"list":`...), x.List)
		b = appendNumber(b, "limits", len(x.Limits))
		b = append(appendNumber(b, "blocking", x.Blocking()), '}')
		n++
	}
	b = append(b, `],"broken_limits":[`...)
	n = 0
	for name := range r.BrokenLimits() {
		b = AppendJSON(comma(b, n), name)
		n++
	}
	return append(b, ']')
}

// premisesSums ends a job: it says where the sums over its premises stand, which
// are judged after the last job.
const premisesSums = `,"premises_sums":"repository.premises"}`

// appendOutcome writes one outcome; what is empty is left out, the order stays.
func (j *jsonSink) appendOutcome(b []byte, r *judge.Result, o *judge.Outcome, v since.Verdict) []byte {
	var known *limitJSON
	second := 0
	if o.Second {
		second = 1
	}
	if o.Limit != nil {
		known = j.limit(o.Limit.Compiled)
		b = append(b, known.head...)
	} else {
		b = AppendJSON(append(b, `{"limit":`...), o.Check)
		b = appendText(b, "measure", o.Leaf.Path)
	}
	b = appendFact(appendKey(b, "fact"), o.Of, o.Leaf)
	b = appendText(b, "outcome", o.Kind.String())
	b = appendTruth(b, "blocking", o.Blocking)
	b = appendValueOf(b, o, known, second)
	if known != nil {
		b = append(b, known.within[second]...)
	}
	if list, ok := o.WordsHere(); ok {
		b = appendWordsHere(b, o, list)
	}
	if room, ok := o.Room(); ok {
		b = append(appendKey(b, "margin"), signed(room, outsideOf(o))...)
	}
	if known != nil && compared(o.Kind) {
		b = appendTruth(b, "strictest", o.Strictest)
	}
	if known != nil {
		b = append(b, known.decision...)
	}
	b = appendAt(b, positionOf(r, o))
	if v := o.Value; v != nil && v.More != nil && v.More.From != nil {
		b = appendFact(appendKey(b, "calculation"), v.More.From.Of, v.More.From.Leaf)
	}
	if v := o.BoundFrom; v != nil && v.More != nil && v.More.From != nil {
		b = appendFact(appendKey(b, "bound_calculation"), v.More.From.Of, v.More.From.Leaf)
	}
	return append(appendVerdict(appendReason(b, o), v), '}')
}

// appendWordsHere writes the list of words that the value was looked for in, and
// whose fact that is.
func appendWordsHere(b []byte, o *judge.Outcome, list *fact.Value) []byte {
	b = appendFact(append(appendKey(b, "list"), `{"fact":`...), o.BoundAt.Of, o.BoundAt.Leaf)
	b = append(appendKey(b, "words"), '[')
	for i := 0; list.More != nil && i < len(list.More.List); i++ {
		b = AppendJSON(comma(b, i), list.More.List[i].Text)
	}
	return append(b, "]}"...)
}

// appendValueOf writes value, unit, and what the author wrote.
func appendValueOf(b []byte, o *judge.Outcome, known *limitJSON, second int) []byte {
	v := o.Value
	if v != nil && v.State == fact.Known && o.Kind != judge.Missing {
		b = appendValue(b, "value", v, o.Leaf, o.Unit())
	}
	if known != nil && o.Leaf == o.Limit.Way.Leaf {
		b = append(b, known.unit[second]...)
	} else if known == nil && !o.Leaf.Of.IsZero() {
		b = appendText(b, "unit", o.Leaf.UnitName(o.Leaf.Of))
	}
	if v != nil && v.Written != "" && o.Kind != judge.Missing {
		b = appendText(b, "written", v.Written)
	} else if v != nil && v.Quantity.Unit().IsWire() && o.Kind != judge.Missing {
		b = appendText(b, "written", v.Quantity.String()) // calculated: the size as it is sold
	}
	return b
}

func appendReason(b []byte, o *judge.Outcome) []byte {
	switch {
	case o.Reason != "":
		b = appendText(b, "reason", o.Reason)
	case o.Reaches:
		b = appendText(b, "reason", reachesOver)
	}
	if plan := planBeside(o); plan != nil {
		b = appendText(b, "planned", plan.Written)
	}
	if o.Banded {
		b = appendText(b, "compared", o.Compared.FormatBand(o.Unit()))
	}
	if len(o.WaitsOn) > 0 {
		b = append(b, `,"waits_on":[`...)
		for i, k := range o.WaitsOn {
			b = appendFact(comma(b, i), k.Of, k.Leaf)
		}
		b = append(b, ']')
	}
	if o.By != nil {
		b = appendText(b, "by", o.By.FullName)
	}
	return b
}

func appendGate(b []byte, g *judge.Gate) []byte {
	b = AppendJSON(append(b, `{"gate":`...), g.Gate.String())
	b = appendText(b, "state", gateState(g))
	b = append(b, `,"open":[`...)
	for i := range g.Open {
		p := &g.Open[i]
		b = appendFact(append(comma(b, i), `{"fact":`...), p.Of, p.Leaf)
		if p.Outcome != nil {
			b = appendText(b, "limit", p.Outcome.Name())
			b = appendText(b, "outcome", p.Outcome.Kind.String())
		}
		b = append(b, '}')
	}
	return append(b, `]}`...)
}

// appendValue writes a value under a key: a number in the unit, yes or no, or
// text. A number that has no form in the unit is left out; it stays as written.
func appendValue(b []byte, key string, v *fact.Value, l *fact.Leaf, u quantity.Unit) []byte {
	switch {
	case l.Many:
		return appendText(b, key, v.Written)
	case l.Type == fact.Quantity || l.Type == fact.Count:
		if n, ok := numberIn(v.Quantity, u); ok {
			return append(appendKey(b, key), n...)
		}
		return b
	case l.Type == fact.Truth:
		return appendTruth(b, key, v.Truth)
	}
	return appendText(b, key, v.Text)
}

// numberIn gives the number of a quantity in a unit as JSON takes it, with the
// digits the text report shows.
func numberIn(q quantity.Quantity, u quantity.Unit) (string, bool) {
	if q.IsZero() || u.IsZero() || u.OrderReversed() || math.IsNaN(q.In(u)) {
		return "", false
	}
	if u == q.Unit() && !q.IsCalculated() {
		return q.Number().String(), true // what Format would say before the unit
	}
	number, _, _ := strings.Cut(q.Format(u), " ")
	return number, true
}

// signed writes a margin as JSON takes it: negative outside.
func signed(room quantity.Decimal, outside bool) string {
	if outside && room.Coef > 0 {
		room.Coef = -room.Coef
	}
	return room.String()
}

func appendInt(b []byte, n int) []byte { return strconv.AppendInt(b, int64(n), 10) }
