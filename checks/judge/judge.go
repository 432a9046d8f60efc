package judge

import (
	"regexp"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// Judge judges jobs one after the other and reuses its memory. One Judge serves
// one goroutine.
type Judge struct {
	result Result
	shared map[sharedKey]int // outcome so far of a value that several entries lead to
	house  House

	pending  []pendingPoint            // of the job at hand
	patterns map[string]*regexp.Regexp // of datasheets, by their text; nil for one that is none
}

// New returns a judge for the jobs of a firm.
func New(h House) *Judge {
	return &Judge{shared: map[sharedKey]int{}, house: h, patterns: map[string]*regexp.Regexp{}}
}

// Names tells whether the job names a rule set, for limits that hand over to
// another one.
type Names func(ruleSet string) bool

// Job judges the facts of one job by a plan. The result is overwritten by the
// next call. AsOf is the day in the job's own time zone.
func (j *Judge) Job(facts *fact.Facts, plan *limit.Plan, names Names, asOf fact.Day) *Result {
	r := j.begin(facts, plan, asOf)
	if reason := NotJudged(facts); reason != "" {
		j.setAside(facts, plan, reason)
		return r
	}
	j.limits(facts, plan, plan.ByScope, names)
	j.contradictions()
	j.markStrictest()
	j.concede(facts)
	j.recorded(facts)
	j.datasheets(facts)
	j.stageByDates(facts)
	j.datesInOrder(facts)
	j.serialForm(facts)
	j.settled(facts)
	j.registered(facts)
	j.required(facts, names)
	j.gates()
	return r
}

func (j *Judge) begin(facts *fact.Facts, plan *limit.Plan, asOf fact.Day) *Result {
	r := &j.result
	r.Facts, r.AsOf, r.Outcomes, r.Gates, r.plan = facts, asOf, r.Outcomes[:0], r.Gates[:0], plan
	r.blocks, r.Conceded = nil, r.Conceded[:0]
	clear(j.shared)
	j.pending = j.pending[:0]
	return r
}

// limits judges limits by scope, each for every entry of it.
func (j *Judge) limits(facts *fact.Facts, plan *limit.Plan, byScope [][]*limit.Planned, names Names) {
	for id, limits := range byScope {
		if len(limits) == 0 {
			continue
		}
		for _, in := range facts.Entries[id] {
			for _, l := range limits {
				if o := j.one(facts, plan, l, in, names); !j.withoutBlock(&o) {
					j.add(o, in)
				}
			}
		}
	}
}

// Some judges some limits of the plan, by scope as in limit.Plan.ByScope (see
// limit.Plan.Reading), and makes none of the built-in checks. It leaves no mark at
// the values, so what another Judge found out about the job stays as it is; which
// limit is the strictest is not told.
func (j *Judge) Some(facts *fact.Facts, plan *limit.Plan, some [][]*limit.Planned, names Names, asOf fact.Day) *Result {
	r := j.begin(facts, plan, asOf)
	if NotJudged(facts) == "" {
		j.limits(facts, plan, some, names)
		j.contradictions()
		j.concede(facts)
	}
	return r
}

// sharedKey names one limit on one value.
type sharedKey struct {
	limit *limit.Planned
	of    *fact.Instance
	leaf  *fact.Leaf
}

// severity orders outcomes for one limit on one value that several entries lead
// to (two stacks in one room): the worst stands for all of them.
var severity = [...]int{Within: 1, NotApplicable: 0, NotDue: 2, Accepted: 3, NotChecked: 4, Missing: 5, TooClose: 6, Outside: 7}

// add enters an outcome, once for each limit and value.
func (j *Judge) add(o Outcome, in *fact.Instance) {
	r := &j.result
	if o.Of != in {
		key := sharedKey{o.Limit, o.Of, o.Leaf}
		if i, ok := j.shared[key]; ok {
			if old := &r.Outcomes[i]; severity[o.Kind] > severity[old.Kind] || o.Kind == old.Kind && o.Signed < old.Signed {
				*old = o
			}
			return
		}
		j.shared[key] = len(r.Outcomes)
	}
	r.Outcomes = append(r.Outcomes, o)
}

// one judges one limit for one entry.
func (j *Judge) one(facts *fact.Facts, plan *limit.Plan, l *limit.Planned, in *fact.Instance, names Names) Outcome {
	o := Outcome{Limit: l, Blocking: l.Blocking, seenFrom: in}
	v, of, leaf, broken := l.Way.Value(in)
	o.Of, o.Leaf = of, l.Way.Leaf
	if broken {
		o.Of, o.Leaf = in, l.Way.Leaf
		if o.Of.Scope != o.Leaf.Scope {
			o.Of, o.Leaf = of, leaf
		}
	} else {
		o.Value = v
	}
	switch applies, lacks := l.Applies(facts, in); applies {
	case limit.No:
		o.Kind, o.Reason = NotApplicable, "its condition is not met"
		return o
	case limit.Unknown:
		j.wait(&o, lacks, "whether it applies is not known")
		return o
	}
	if replaced(&o, facts, in) || conflicting(&o, facts, in) {
		return o
	}
	if v == nil || broken || v.State != fact.Known {
		j.unknown(&o, v, of, leaf)
		return o
	}
	if lacks, known := o.compare(plan, v, in); !known {
		j.wait(&o, lacks, "the limit itself depends on a fact that is not recorded")
	}
	if o.Kind == Outside && l.HandsOverTo != "" && names(l.HandsOverTo) {
		o.handOver(facts, plan, in)
	}
	return o
}

// handOver leaves the value to the rule set that takes over, if that has a limit
// on it that applies here; otherwise nothing would be left that judges it.
func (o *Outcome) handOver(facts *fact.Facts, plan *limit.Plan, in *fact.Instance) {
	to := o.Limit.HandsOverTo
	on := func(other *limit.Planned, ruleSet string) bool {
		return other.Source.Name == ruleSet && other.Way.Leaf == o.Leaf && other.Scope == o.Limit.Scope
	}
	find := func(ruleSet string) *limit.Planned {
		if i := slices.IndexFunc(plan.All, func(l *limit.Planned) bool { return on(l, ruleSet) }); i >= 0 {
			return plan.All[i]
		}
		return nil
	}
	for _, other := range plan.All {
		if on(other, to) && o.Limit.TakesOver(other, find) {
			if t, _ := other.Applies(facts, in); t == limit.Yes {
				o.Kind, o.By, o.Reason = NotApplicable, other, "handed over to "+to
				return
			}
		}
	}
	o.Reason = "it would be handed over to " + to + ", but that has no limit on it that applies here and may take over"
}

// unknown says why a value could not be judged.
func (j *Judge) unknown(o *Outcome, v *fact.Value, of *fact.Instance, leaf *fact.Leaf) {
	switch {
	case v != nil && v.State == fact.Uncalculated && len(v.More.Lacks) == 0:
		o.Kind, o.Reason = NotChecked, v.More.Reason
	case v != nil && v.State == fact.Uncalculated:
		j.wait(o, v.More.Lacks, "the measure could not be calculated")
	default:
		j.wait(o, []fact.Lack{{Of: of, Leaf: leaf}}, "the value is not recorded")
	}
}

// wait decides between not due (all that is absent is due later) and not checked.
func (j *Judge) wait(o *Outcome, lacks []fact.Lack, reason string) {
	if len(lacks) == 1 && lacks[0].Of.BelongsElsewhere(lacks[0].Leaf) {
		o.Kind, o.Reason = NotApplicable, "it belongs to something else"
		return
	}
	o.Kind, o.WaitsOn, o.Reason = NotDue, lacks, reason
	if len(lacks) == 0 {
		o.Kind = NotChecked
	}
	for _, k := range lacks {
		if !j.result.Facts.DueLater(k, j.result.AsOf) {
			o.Kind = NotChecked
		}
		switch v := k.Of.Get(k.Leaf); {
		case v.State == fact.Unreadable:
			o.Reason = "the value could not be read"
		case v.State == fact.Uncalculated && len(v.More.Lacks) == 0: // all is there, and yet it cannot be
			o.Kind, o.Reason = NotChecked, strings.Replace(reason, "is not recorded", "could not be calculated", 1)+": "+v.More.Reason
		}
	}
}

// replaced sets the outcome aside where another limit takes its place.
func replaced(o *Outcome, facts *fact.Facts, in *fact.Instance) bool {
	for _, by := range o.Limit.ReplacedBy {
		switch t, _ := by.Applies(facts, in); t {
		case limit.Yes:
			o.Kind, o.By, o.Reason = NotApplicable, by, "replaced by "+by.FullName+" ("+by.Clause+")"
			return true
		case limit.Unknown:
			o.Reason = "may be replaced by " + by.FullName + "; whether that applies is not known"
		}
	}
	return false
}

// compare judges a known value. Where the limit itself is not known it names what
// that waits on.
func (o *Outcome) compare(plan *limit.Plan, v *fact.Value, in *fact.Instance) (lacks []fact.Lack, known bool) {
	o.Compared, o.Banded = plan.Banded(o.Limit, o.Leaf, v.Quantity)
	numeric := o.Leaf.Type == fact.Quantity || o.Leaf.Type == fact.Count
	if numeric && (o.Compared.IsZero() || o.Compared.Kind() != o.Leaf.Of.Kind()) {
		o.Kind, o.Reason = NotChecked, "the value is no quantity of the kind that the limit is for"
		return nil, true
	}
	verdict, second := o.Limit.Judge(v, o.Compared, in)
	o.Second, o.Bound, o.BoundFrom, o.BoundAt, o.Signed = second, verdict.Bound, verdict.From, verdict.At, verdict.Signed
	switch {
	case verdict.Holds == limit.Unknown:
		return verdict.Lacks, false
	case verdict.Holds == limit.No:
		o.Kind = Outside
	case verdict.Guard == limit.Yes:
		o.Kind = Within
	case o.Limit.Source.Decision == limit.Guarded:
		o.Kind = TooClose
	default:
		o.Kind, o.Reaches = Within, true
	}
	return nil, true
}

// NotJudged tells why a job is set aside as a whole, or nothing; what it is about
// does not stand on site (any more), so it counts in no sum either.
func NotJudged(facts *fact.Facts) string {
	l := facts.Shape.Leaf("status")
	if l == nil {
		return ""
	}
	switch v := facts.Root.Get(l); v.Text {
	case "cancelled":
		return "the job is cancelled"
	case "removed":
		return "the installation is removed"
	}
	return ""
}

// setAside gives every limit the outcome not applicable, with the reason.
func (j *Judge) setAside(facts *fact.Facts, plan *limit.Plan, reason string) {
	for id, limits := range plan.ByScope {
		for _, in := range facts.Entries[id] {
			for _, l := range limits {
				_, of, leaf, _ := l.Way.Value(in)
				j.add(Outcome{Kind: NotApplicable, Limit: l, Blocking: l.Blocking, Of: of, Leaf: leaf, Reason: reason}, in)
			}
		}
	}
}
