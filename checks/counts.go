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

// addJob counts the outcomes of one job.
func (c *Counts) addJob(j *Job) {
	c.Jobs++
	for i := range j.Result.Outcomes {
		o := &j.Result.Outcomes[i]
		c.count(o.Kind, o.Limit, o.Blocking)
	}
}

// count counts one outcome.
func (c *Counts) count(kind judge.Kind, l *limit.Planned, blocking bool) {
	c.ByKind[kind]++
	if blocking {
		c.Blocking[kind]++
	}
	name := builtIn
	if l != nil {
		name = l.Source.Name
		bump(c.ByGrade, l.Grade, kind, 1)
		if kind == judge.Within || kind == judge.Outside || kind == judge.TooClose || kind == judge.Accepted {
			c.Judged++
		}
	}
	bump(c.ByRuleSet, name, kind, 1)
}

func bump[K comparable](m map[K]map[judge.Kind]int, key K, kind judge.Kind, n int) {
	if m[key] == nil {
		m[key] = map[judge.Kind]int{}
	}
	m[key][kind] += n
}

// add adds the counts of one file.
func (c *Counts) add(o *Counts) {
	c.Jobs += o.Jobs
	c.Unread += o.Unread
	c.Judged += o.Judged
	for k, n := range o.ByKind {
		c.ByKind[k] += n
	}
	for k, n := range o.Blocking {
		c.Blocking[k] += n
	}
	for g, m := range o.ByGrade {
		for k, n := range m {
			bump(c.ByGrade, g, k, n)
		}
	}
	for s, m := range o.ByRuleSet {
		for k, n := range m {
			bump(c.ByRuleSet, s, k, n)
		}
	}
}
