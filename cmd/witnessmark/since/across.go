package since

import (
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// acrossJobs compares sums over premises and checks across files.
func (c *Comparison) acrossJobs(r *checks.Run) {
	head, outcomes := ofRun(r, c.was)
	verdicts, left := Compare(c.base.across, head)
	for i, o := range outcomes {
		c.across[o] = verdicts[i]
		c.Totals.count(verdicts[i], head[i])
		if b := verdicts[i].Was; o.Kind == judge.NotDue && b != nil && b.IsFinding() {
			c.Apart = append(c.Apart, Left{Finding: b, State: Gone, Why: notDue})
		}
	}
	judgedWell := map[subject]bool{}
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			if o := &p.Outcomes[k]; o.Kind == judge.Within {
				judgedWell[subjectOf(o.Name, o.Fact+" of premises "+p.Premises, o.Identity)] = true
			}
		}
	}
	for _, b := range left {
		if !b.IsFinding() || !c.wanted(b.File) {
			continue
		}
		l := Left{Finding: b, State: Gone, Why: "not judged any more"}
		switch {
		case judgedWell[b.subject()]:
			l.State, l.Why = Fixed, nowWithin
		case strings.HasPrefix(b.Name, "record#") && c.readNow(b.File):
			l.State, l.Why = Fixed, "now in one place only, or as it should be"
		}
		c.Apart = append(c.Apart, l)
	}
}

// was returns the name that a file of the head had in the base.
func (c *Comparison) was(file string) string {
	if from, ok := c.moved[file]; ok {
		return from
	}
	return file
}

// readNow tells whether a file of the base was read in the head too.
func (c *Comparison) readNow(file string) bool {
	for _, j := range c.Jobs {
		if j.Was == file {
			return !j.Unread
		}
	}
	return false
}

// goneJobs finds the jobs of the base that the head does not have. Nothing of them is
// judged any more, which is no mend.
func (c *Comparison) goneJobs() {
	here := map[string]bool{}
	for _, j := range c.Jobs {
		here[j.Was] = true
	}
	for file, b := range c.base.jobs {
		if here[file] || !c.wanted(file) {
			continue
		}
		c.Totals.Removed++
		for _, f := range b.findings {
			if f.IsFinding() {
				c.Apart = append(c.Apart, Left{Finding: f, State: Gone, Why: "the job file is gone"})
			}
		}
	}
}

// problems compares the problems of definitions and of files that are no job, and puts
// those of jobs with them.
func (c *Comparison) problems(r *checks.Run) {
	c.Problems = make([]Verdict, len(r.Problems))
	var head []*Finding
	var places []int
	for i := range r.Problems {
		f := ofProblem(&r.Problems[i], "")
		if told := c.told[f.key()]; len(told) > 0 {
			c.Problems[i], c.told[f.key()] = told[0], told[1:]
			continue
		}
		head, places = append(head, f), append(places, i)
	}
	verdicts, left := Compare(c.base.other, head)
	for i, v := range verdicts {
		c.Problems[places[i]] = v
		c.Totals.count(v, head[i])
	}
	for _, b := range left {
		if c.wanted(b.File) {
			c.Apart = append(c.Apart, Left{Finding: b, State: Fixed, Why: "the problem is gone"})
		}
	}
}
