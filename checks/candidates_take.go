package checks

import (
	"bytes"
	"slices"
	"sort"
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// take gathers what is known of the job. Texts are copied: those of the facts may
// stand in memory that is used again.
func (s *CandidateSink) take(j *Job) {
	s.out.File, s.out.Number, s.out.Premises = j.File, strings.Clone(j.Number), strings.Clone(j.Premises)
	s.out.Status, s.out.Stage = strings.Clone(j.Status), strings.Clone(j.Stage)
	if j.Result == nil {
		s.out.Unread = true
		return
	}
	r := j.Result
	s.out.AsOf = r.AsOf
	s.out.Sets = s.sets(r.Facts)
	s.values(r)
	s.entryless(r)
	s.unmetSums(r.Facts)
}

// values groups the outcomes of limits by the value they are about, in the order
// of the measures.
func (s *CandidateSink) values(r *judge.Result) {
	type slot struct {
		of   *fact.Instance
		leaf *fact.Leaf
	}
	places, order := map[slot]int{}, []*fact.Leaf(nil)
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if o.Check == judge.RuleSetsRequired {
			s.out.Required, s.out.RequiredWhy = o.Kind, strings.Clone(o.Reason)
		}
		if o.Limit == nil {
			continue
		}
		key := slot{o.Of, o.Leaf}
		at, ok := places[key]
		if !ok {
			at = len(s.out.Values)
			places[key], order = at, append(order, o.Leaf)
			s.out.Values = append(s.out.Values, s.value(o))
		}
		v := &s.out.Values[at]
		v.Candidates = append(v.Candidates, candidate(r, o))
	}
	for i := range s.out.Values {
		s.out.Values[i].finish()
	}
	sorted := make([]int, len(order))
	for i := range sorted {
		sorted[i] = i
	}
	sort.SliceStable(sorted, func(a, b int) bool { return order[sorted[a]].ID < order[sorted[b]].ID })
	values := make([]CandidateValue, len(sorted))
	for i, n := range sorted {
		values[i] = s.out.Values[n]
	}
	s.out.Values = values
}

// value describes the value that an outcome is about.
func (s *CandidateSink) value(o *judge.Outcome) CandidateValue {
	v := CandidateValue{Fact: strings.Clone(o.Fact()), Measure: o.Leaf.Path, Label: o.Leaf.Label.In("en"), State: "not recorded", NotAsked: s.notAsked(o.Leaf.Path)}
	at, _ := o.Of.BlockOf(o.Leaf)
	v.At = at
	if c := o.Leaf.Calculation; c != nil {
		v.State, v.Formula = "not calculated", c.Formula
	}
	if w := o.Value; w != nil {
		if w.At.Line > 0 {
			v.At = w.At
		}
		switch {
		case w.State == fact.Known && o.Leaf.Calculation != nil:
			v.State, v.Now = "calculated", written(w, o.Leaf)
		case w.State == fact.Known:
			v.State, v.Now = "recorded", written(w, o.Leaf)
		case w.State == fact.Unreadable:
			v.State = "unreadable"
		}
	}
	if plan := planOf(o); plan != nil {
		v.Planned = written(plan, o.Leaf)
		if w := o.Value; w != nil && w.At != plan.At {
			v.Built = written(w, o.Leaf)
		}
	}
	return v
}

// planOf returns the planned value beside the one that was judged, else nil.
func planOf(o *judge.Outcome) *fact.Value {
	if o.Of.Scope != o.Leaf.Scope || o.Leaf.Planned < 0 {
		return nil
	}
	return o.Of.PlannedValue(o.Leaf)
}

// written is a value in its author's words, with what is counted behind a count.
func written(v *fact.Value, l *fact.Leaf) string {
	numeric := l.Type == fact.Quantity || l.Type == fact.Count
	switch {
	case v.State == fact.Known && numeric && !l.Many && (v.Written == "" || l.Type == fact.Count):
		return strings.Clone(l.Format(v.Quantity, l.Of))
	case v.Written != "":
		return strings.Clone(v.Written)
	case v.State == fact.Known && l.Type == fact.Truth:
		return strconv.FormatBool(v.Truth)
	}
	return strings.Clone(v.Text)
}

func candidate(r *judge.Result, o *judge.Outcome) Candidate {
	c := Candidate{Limit: o.Limit, Kind: o.Kind, Blocking: o.Blocking, Second: o.Second, Strictest: o.Strictest,
		Reason: strings.Clone(o.Reason), By: o.By, signed: o.Signed, Beside: o.Kind == judge.Outside || o.Signed < 0}
	margin, room := o.Margin()
	c.Margin, c.Room = strings.Clone(margin), room
	if !o.Bound.IsZero() && len(o.Limit.Bounds(o.Second)) == 0 {
		c.Bound = o.Leaf.Format(o.Bound, o.Unit())
	}
	if list, ok := o.WordsHere(); ok {
		c.Bound = limit.WordsOf(list)
	}
	for _, k := range o.WaitsOn {
		if name := k.Of.AddressOf(k.Leaf); !slices.Contains(c.WaitsOn, name) {
			c.WaitsOn = append(c.WaitsOn, strings.Clone(name))
		}
	}
	if o.Kind == judge.NotApplicable && o.By == nil && judge.NotJudged(r.Facts) == "" {
		c.Unmet = unmet(r.Facts, o)
	}
	return c
}

// unmet says what keeps a limit from applying to a value, seen from every entry
// that leads there.
func unmet(facts *fact.Facts, o *judge.Outcome) []limit.Unmet {
	var out []limit.Unmet
	for _, in := range facts.Entries[o.Limit.Scope.ID] {
		_, of, _, _ := o.Limit.Way.Value(in)
		if of != o.Of && in != o.Of {
			continue
		}
		for _, u := range o.Limit.WhyNot(facts, in) {
			if !slices.Contains(out, u) {
				out = append(out, u)
			}
		}
	}
	return out
}

// finish puts the candidates in order, the strictest first, ties the replacements
// together and says why the strictest is.
func (v *CandidateValue) finish() {
	for i := range v.Candidates {
		a := &v.Candidates[i]
		for k := range v.Candidates {
			if b := &v.Candidates[k]; b.By != nil && b.By == a.Limit && slices.Contains(b.Limit.ReplacedBy, a.Limit) {
				a.Relaxes = append(a.Relaxes, b.Limit)
			}
		}
	}
	sort.SliceStable(v.Candidates, func(i, j int) bool { return v.Candidates[i].before(&v.Candidates[j]) })
	if len(v.Candidates) > 0 && v.Candidates[0].Strictest {
		v.Why = why(v.Candidates)
	}
}

// before orders candidates: the strictest, the others that were compared with
// blocking ones first and the least room first, then the rest by name.
func (c *Candidate) before(o *Candidate) bool {
	rank := func(c *Candidate) int {
		switch {
		case c.Strictest:
			return 0
		case c.compared() && c.Blocking:
			return 1
		case c.compared():
			return 2
		case c.Kind == judge.NotApplicable:
			return 4
		}
		return 3
	}
	switch a, b := rank(c), rank(o); {
	case a != b:
		return a < b
	case a < 3 && (c.Kind == judge.Outside) != (o.Kind == judge.Outside):
		return c.Kind == judge.Outside
	case a < 3 && c.signed != o.signed:
		return c.signed < o.signed
	}
	return c.Limit.FullName < o.Limit.FullName
}

func (c *Candidate) compared() bool {
	switch c.Kind {
	case judge.Within, judge.Outside, judge.TooClose, judge.Accepted:
		return true
	}
	return false
}

// why says by what rule the first candidate is the strictest.
func why(all []Candidate) string {
	first, rivals, blocking := &all[0], 0, 0
	for i := range all[1:] {
		c := &all[i+1]
		if c.compared() && c.Blocking == first.Blocking {
			rivals++
		}
		if c.compared() && c.Blocking {
			blocking++
		}
	}
	kind := "blocking"
	if !first.Blocking {
		kind = "advisory"
	}
	text := "the least room of " + strconv.Itoa(rivals+1) + " " + kind + " limits that were compared"
	switch {
	case rivals == 0:
		text = "the only " + kind + " limit that was compared"
	case first.Kind == judge.Outside && all[1].Kind != judge.Outside:
		text = "the only one of " + strconv.Itoa(rivals+1) + " " + kind + " limits that the value is outside of"
	case first.Margin == "":
		text = "one of " + strconv.Itoa(rivals+1) + " " + kind + " limits that were compared; it has no number, so the name decides"
	}
	if !first.Blocking && blocking == 0 {
		text += "; no blocking limit was"
	}
	return text
}

func cutZero(b []byte) (before, after string) {
	x, y, _ := bytes.Cut(b, []byte{0})
	return string(x), string(y)
}
