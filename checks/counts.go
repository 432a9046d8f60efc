package checks

import (
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// builtIn is the name under which built-in checks are counted.
const builtIn = "record"

func newCounts() Counts {
	return Counts{ByKind: map[judge.Kind]int{}, ByGrade: map[limit.Grade]map[judge.Kind]int{}, ByRuleSet: map[string]map[judge.Kind]int{}, Blocking: map[judge.Kind]int{}}
}

// tally counts the outcomes of one worker without looking anything up: by the
// place of a limit in its plan. Sums do not depend on the order of jobs.
type tally struct {
	jobs, unread int
	plans        map[*limit.Plan][]perKind
	builtIn      perKind // of built-in checks
	blocking     perKind // of built-in checks, those that block
	without      WithoutEntry
}

type perKind [judge.Accepted + 1]int

func newTally() *tally { return &tally{plans: map[*limit.Plan][]perKind{}} }

// add counts the outcomes of one job.
func (t *tally) add(plan *limit.Plan, r *judge.Result) {
	t.jobs++
	limits := t.plans[plan]
	if limits == nil {
		limits = make([]perKind, len(plan.All))
		t.plans[plan] = limits
	}
	if !r.SetAside() {
		t.without.add(r)
	}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if o.Limit != nil {
			limits[o.Limit.Index][o.Kind]++
			continue
		}
		t.builtIn[o.Kind]++
		if o.Blocking {
			t.blocking[o.Kind]++
		}
	}
}

// add counts the limits that found nothing to judge in one job.
func (n *WithoutEntry) add(r *judge.Result) {
	before := n.Limits
	for w := range r.WithoutEntry() {
		n.Limits += len(w.Limits)
		n.Blocking += w.Blocking()
	}
	if n.Limits > before {
		n.Jobs++
	}
}

// addTally adds what a worker counted.
func (c *Counts) addTally(t *tally) {
	c.Jobs += t.jobs
	c.Unread += t.unread
	c.Without.Jobs += t.without.Jobs
	c.Without.Limits += t.without.Limits
	c.Without.Blocking += t.without.Blocking
	for plan, limits := range t.plans {
		for i, kinds := range limits {
			for kind, n := range kinds {
				c.count(judge.Kind(kind), plan.All[i], plan.All[i].Blocking, n)
			}
		}
	}
	for kind, n := range t.builtIn {
		c.count(judge.Kind(kind), nil, true, t.blocking[kind])
		c.count(judge.Kind(kind), nil, false, n-t.blocking[kind])
	}
}

// count counts n outcomes.
func (c *Counts) count(kind judge.Kind, l *limit.Planned, blocking bool, n int) {
	if n == 0 {
		return
	}
	c.ByKind[kind] += n
	if blocking {
		c.Blocking[kind] += n
	}
	name := builtIn
	if l != nil {
		name = l.Source.Name
		bump(c.ByGrade, l.Grade, kind, n)
		if kind == judge.Within || kind == judge.Outside || kind == judge.TooClose || kind == judge.Accepted {
			c.Judged += n
		}
	}
	bump(c.ByRuleSet, name, kind, n)
}

func bump[K comparable](m map[K]map[judge.Kind]int, key K, kind judge.Kind, n int) {
	if m[key] == nil {
		m[key] = map[judge.Kind]int{}
	}
	m[key][kind] += n
}
