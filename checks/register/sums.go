package register

import (
	"fmt"
	"sort"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// SumOutcome is one limit on a sum over one property.
type SumOutcome struct {
	Limit   *limit.Planned
	Outcome judge.Outcome // Of is nil: the value belongs to no single entry
	Value   quantity.Quantity
	Shares  []Share // what each job adds; only of a sum that is known or outside
}

// Share is what one job adds to a sum.
type Share struct {
	Job   string
	Value quantity.Quantity
}

// PremisesSums is what came out for one property: the jobs that count, and where
// to look, the premises as the last of them names them.
type PremisesSums struct {
	Premises string
	Jobs     []string
	File     string
	At       jobfile.Position
	Outcomes []SumOutcome
}

// Judge adds up and judges every property in turn, in order of their names.
func (r *Register) Judge() []PremisesSums {
	byPremises := map[string][]*Part{}
	replaced := r.replaced()
	var out []PremisesSums
	for i := range r.parts {
		p := &r.parts[i]
		if p.Premises != "" {
			byPremises[p.Premises] = append(byPremises[p.Premises], p)
		} else if p.Counts {
			out = append(out, r.property("", []*Part{p}, replaced)) // its sums are not known, and that has to be said
		}
	}
	for _, name := range r.Premises() {
		out = append(out, r.property(name, byPremises[name], replaced))
	}
	return out
}

// property judges the sums over one property.
func (r *Register) property(name string, parts []*Part, replaced map[jobHere]bool) PremisesSums {
	one := PremisesSums{Premises: name}
	var counted []*Part
	for _, p := range parts {
		if p.Counts && !replaced[p.here(p.Job)] {
			counted = append(counted, p)
			one.Jobs, one.File, one.At = append(one.Jobs, p.Job), p.File, p.At
		}
	}
	for _, l := range limitsOf(counted) {
		o := r.judge(l, counted)
		handOver(&o, counted)
		concede(&o, counted)
		one.Outcomes = append(one.Outcomes, o)
	}
	markStrictest(one.Outcomes)
	return one
}

// handOver leaves a sum that is outside to the rule set that takes over, where a
// job names it and it has a limit on the same sum that applies.
func handOver(o *SumOutcome, parts []*Part) {
	to := o.Limit.HandsOverTo
	if o.Outcome.Kind != judge.Outside || to == "" {
		return
	}
	for _, p := range parts {
		find := func(ruleSet string) *limit.Planned {
			for i := range p.Limits {
				if l := p.Limits[i].Limit; l.Source.Name == ruleSet && l.Way.Leaf == o.Outcome.Leaf {
					return l
				}
			}
			return nil
		}
		for _, other := range p.Limits {
			if other.Limit.Source.Name == to && other.Limit.Way.Leaf == o.Outcome.Leaf && other.Applies == limit.Yes && o.Limit.TakesOver(other.Limit, find) {
				o.Outcome.Kind, o.Outcome.By, o.Outcome.Reason = judge.NotApplicable, other.Limit, "handed over to "+to
			}
		}
	}
}

// concede accepts a sum that is outside where a job has a concession for it.
func concede(o *SumOutcome, parts []*Part) {
	for _, p := range parts {
		for i := range p.Concessions {
			c := &p.Concessions[i]
			if o.Outcome.Kind == judge.Outside && c.Limit == o.Limit.FullName && c.Fact == o.Outcome.Leaf.Path {
				c.Accept(&o.Outcome)
			}
		}
	}
}

// here makes the key of a job number on the premises of this job: what a job on
// other premises says to replace stays where it is.
func (p *Part) here(job string) jobHere { return jobHere{p.Premises, job} }

// jobHere is a job number on certain premises.
type jobHere struct{ premises, job string }

// replaced lists the jobs whose equipment a later job takes out. In a circle
// nothing is taken out: that would hide all of it.
func (r *Register) replaced() map[jobHere]bool {
	by, files := map[jobHere]jobHere{}, map[jobHere]int{}
	for i := range r.parts {
		files[r.parts[i].here(r.parts[i].Job)]++
	}
	for i := range r.parts {
		// Only what stands there takes the place of the old; a plan does not. A number
		// that several files have names no job for certain.
		p := &r.parts[i]
		if p.Counts && p.Stage >= fact.Installed && p.Replaces.Name != "" && p.Replaces.Name != p.Job && files[p.here(p.Replaces.Name)] == 1 {
			by[p.here(p.Replaces.Name)] = p.here(p.Job)
		}
	}
	out := map[jobHere]bool{}
	for old := range by {
		seen := map[jobHere]bool{old: true}
		at, circle := by[old], false
		for at != (jobHere{}) && !circle {
			circle = seen[at]
			seen[at] = true
			at = by[at]
		}
		if !circle {
			out[old] = true
		}
	}
	return out
}

// limitsOf lists the limits that any of the jobs brings, by name.
func limitsOf(parts []*Part) []*limit.Planned {
	byName := map[string]*limit.Planned{}
	for _, p := range parts {
		for _, l := range p.Limits {
			if old := byName[l.Limit.FullName]; old == nil || !old.Blocking && l.Limit.Blocking {
				byName[l.Limit.FullName] = l.Limit
			}
		}
	}
	var names []string
	for n := range byName {
		names = append(names, n)
	}
	sort.Strings(names)
	out := make([]*limit.Planned, len(names))
	for i, n := range names {
		out[i] = byName[n]
	}
	return out
}

// judge holds the sum over the jobs to one limit. The limit applies if it does
// by any of the jobs.
func (r *Register) judge(l *limit.Planned, parts []*Part) SumOutcome {
	o := judge.Outcome{Limit: l, Blocking: l.Blocking, Leaf: l.Way.Leaf}
	applies, reason, later := limit.No, "", true
	var by, against *limit.Planned
	for _, p := range parts {
		for _, part := range p.Limits {
			if part.Limit.FullName == l.FullName && part.By != nil {
				by = part.By
			}
			if part.Limit.FullName != l.FullName || part.Applies == limit.No {
				continue
			}
			if part.Against != nil {
				against = part.Against
			}
			if part.Applies == limit.Yes {
				applies = limit.Yes
				continue
			}
			later = later && part.Later
			if applies == limit.No {
				applies, reason = limit.Unknown, fmt.Sprintf("whether it applies is not known: %s (%s)", part.Reason, p.File)
			}
		}
	}
	total := r.total(l.Way.Leaf, parts)
	q, err := quantity.Calculated(total.base, l.Way.Leaf.Of)
	switch {
	case applies == limit.No && by != nil:
		o.Kind, o.By, o.Reason = judge.NotApplicable, by, "replaced by "+by.FullName+" ("+by.Clause+")"
		return SumOutcome{Limit: l, Outcome: o}
	case against != nil:
		o.Kind, o.By, o.Reason = judge.NotChecked, against, "the limits contradict each other: "+against.FullName+" demands "+against.Describe(false)
		return SumOutcome{Limit: l, Outcome: o}
	case applies == limit.No:
		o.Kind, o.Reason = judge.NotApplicable, "its condition is not met"
		return SumOutcome{Limit: l, Outcome: o}
	case applies == limit.Unknown:
		o.Kind, o.Reason = unknownKind(later && len(r.unread) == 0), reason
		return SumOutcome{Limit: l, Outcome: o}
	case err != nil:
		o.Kind, o.Reason = judge.NotChecked, err.Error()
		return SumOutcome{Limit: l, Outcome: o}
	}
	if spread, err := quantity.Calculated(total.spread, l.Way.Leaf.Of); err == nil && total.spread > 0 {
		q = q.WithUncertainty(spread)
	}
	o.Compared = q
	verdict, second := l.Judge(&fact.Value{State: fact.Known, Quantity: q}, q, nil)
	o.Bound, o.Signed, o.Second = verdict.Bound, verdict.Signed, second
	switch {
	case verdict.Holds == limit.No && (total.known() || onlyGrows(l)):
		o.Kind = judge.Outside // what is not known could only add to it
		if !total.known() {
			o.Reason = "at least; " + total.unknown
		}
	case !total.known():
		o.Kind, o.Reason = unknownKind(total.later), total.unknown
		return SumOutcome{Limit: l, Outcome: o}
	case verdict.Holds == limit.Yes && verdict.Guard != limit.Yes && l.Source.Decision == limit.Guarded:
		o.Kind = judge.TooClose
	case verdict.Holds == limit.Yes:
		o.Kind = judge.Within
	default:
		o.Kind, o.Reason = judge.NotChecked, "the limit itself depends on a fact that is not recorded"
	}
	return SumOutcome{Limit: l, Outcome: o, Value: q, Shares: total.shares}
}

// unknownKind is the outcome of a sum that is not known: nothing has to be done
// about one that only waits on facts that are due later.
func unknownKind(later bool) judge.Kind {
	if later {
		return judge.NotDue
	}
	return judge.NotChecked
}

// sumOf is a sum over several jobs, in the base unit of its measure.
type sumOf struct {
	base    float64
	spread  float64
	unknown string // what is missing, in words; empty where nothing is
	later   bool   // all that is missing is due later
	shares  []Share
}

func (s *sumOf) known() bool { return s.unknown == "" }

// total adds up the shares.
func (r *Register) total(leaf *fact.Leaf, parts []*Part) sumOf {
	out := sumOf{later: true}
	var reasons []string
	for _, p := range parts {
		for _, s := range p.Sums {
			if s.Leaf != leaf {
				continue
			}
			if !s.Known {
				reasons = append(reasons, fmt.Sprintf("job %s: %s", p.Job, s.Reason))
				out.later = out.later && s.Later
				continue
			}
			out.base += s.Base
			out.spread += s.Spread
			if q, err := quantity.Calculated(s.Base, leaf.Of); err == nil && s.Base != 0 {
				out.shares = append(out.shares, Share{p.Job, q})
			}
		}
	}
	if n := len(r.unread); n > 0 {
		reasons = append(reasons, fmt.Sprintf("%s could not be read and may belong here", strings.Join(r.unread[:min(n, 3)], ", ")))
		out.later = false
	}
	if n := len(r.adrift); n > 0 {
		reasons = append(reasons, fmt.Sprintf("%s names no premises and may belong here", strings.Join(r.adrift[:min(n, 3)], ", ")))
		out.later = false
	}
	out.unknown = strings.Join(reasons, "; ")
	return out
}

// onlyGrows tells whether the limit is an upper bound, so that a sum known to be
// above it stays above it whatever is added.
func onlyGrows(l *limit.Planned) bool {
	bounds := l.Bounds(false)
	for _, b := range bounds {
		if b.Op != limit.AtMost && b.Op != limit.Less {
			return false
		}
	}
	return len(bounds) > 0
}

// markStrictest marks for each measure the limit with the least room, blocking
// limits first.
func markStrictest(outcomes []SumOutcome) {
	best := map[*fact.Leaf]int{}
	for i := range outcomes {
		o := &outcomes[i].Outcome
		if o.Kind != judge.Within && o.Kind != judge.Outside && o.Kind != judge.TooClose {
			continue
		}
		j, ok := best[o.Leaf]
		if !ok || o.Blocking && !outcomes[j].Outcome.Blocking || o.Blocking == outcomes[j].Outcome.Blocking && o.Signed < outcomes[j].Outcome.Signed {
			best[o.Leaf] = i
		}
	}
	for _, i := range best {
		outcomes[i].Outcome.Strictest = true
	}
}
