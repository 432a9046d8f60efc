package register

import (
	"fmt"
	"sort"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// SumOutcome is one limit on a sum over one property.
type SumOutcome struct {
	Limit   *limit.Planned
	Outcome judge.Outcome // Of is nil: the value belongs to no single entry
	Value   quantity.Quantity
}

// PremisesSums is what came out for one property.
type PremisesSums struct {
	Premises string
	Jobs     []string
	Outcomes []SumOutcome
}

// Judge adds up and judges every property in turn, in order of their names.
func (r *Register) Judge() []PremisesSums {
	byPremises := map[string][]*Part{}
	replaced := r.replaced()
	for i := range r.parts {
		p := &r.parts[i]
		byPremises[p.Premises] = append(byPremises[p.Premises], p)
	}
	var out []PremisesSums
	for _, name := range r.Premises() {
		one := PremisesSums{Premises: name}
		var counted []*Part
		for _, p := range byPremises[name] {
			if p.Counts && !replaced[p.here(p.Job)] {
				counted = append(counted, p)
				one.Jobs = append(one.Jobs, p.Job)
			}
		}
		for _, l := range limitsOf(counted) {
			one.Outcomes = append(one.Outcomes, r.judge(l, name, counted))
		}
		markStrictest(one.Outcomes)
		out = append(out, one)
	}
	return out
}

// here makes the key of a job number on the premises of this job: what a job on
// other premises says to replace stays where it is.
func (p *Part) here(job string) string { return p.Premises + "\n" + job }

// replaced lists the jobs whose equipment a later job takes out. In a circle
// nothing is taken out: that would hide all of it.
func (r *Register) replaced() map[string]bool {
	by := map[string]string{}
	for i := range r.parts {
		if p := &r.parts[i]; p.Counts && p.Replaces.Name != "" && p.Replaces.Name != p.Job {
			by[p.here(p.Replaces.Name)] = p.here(p.Job)
		}
	}
	out := map[string]bool{}
	for old := range by {
		seen := map[string]bool{old: true}
		at, circle := by[old], false
		for at != "" && !circle {
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
func (r *Register) judge(l *limit.Planned, premises string, parts []*Part) SumOutcome {
	o := judge.Outcome{Limit: l, Blocking: l.Blocking, Leaf: l.Way.Leaf}
	applies, reason, later := limit.No, "", true
	for _, p := range parts {
		for _, part := range p.Limits {
			if part.Limit.FullName != l.FullName || part.Applies == limit.No {
				continue
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
	case applies == limit.No:
		o.Kind, o.Reason = judge.NotApplicable, "its condition is not met"
		return SumOutcome{l, o, quantity.Quantity{}}
	case applies == limit.Unknown:
		o.Kind, o.Reason = unknownKind(later && len(r.unread) == 0), reason
		return SumOutcome{l, o, quantity.Quantity{}}
	case err != nil:
		o.Kind, o.Reason = judge.NotChecked, err.Error()
		return SumOutcome{l, o, quantity.Quantity{}}
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
		return SumOutcome{l, o, quantity.Quantity{}}
	case verdict.Holds == limit.Yes:
		o.Kind = judge.Within
	default:
		o.Kind, o.Reason = judge.NotChecked, "the limit itself depends on a fact that is not recorded"
	}
	return SumOutcome{l, o, q}
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
	unknown string // what is missing, in words; empty where nothing is
	later   bool   // all that is missing is due later
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
		if o.Kind != judge.Within && o.Kind != judge.Outside {
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
