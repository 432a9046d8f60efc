package since

import (
	"regexp"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
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
		case strings.HasPrefix(b.Name, "record#"):
			l.State, l.Why = c.clashNow(b, r.Repository.Incomplete)
		}
		c.Apart = append(c.Apart, c.fate(l))
	}
}

// was returns the name that a file of the head had in the base.
func (c *Comparison) was(file string) string {
	if from, ok := c.moved[file]; ok {
		return from
	}
	return file
}

// clashNow says what became of a finding of a check across files that stands no more.
// Nothing says that all is well where its own value is not there any more, nor where
// the other place may be in a file that could not be read.
func (c *Comparison) clashNow(b *Finding, incomplete bool) (State, string) {
	for _, j := range c.Jobs {
		if j.Was != b.File {
			continue
		}
		switch {
		case j.Unread:
			return Gone, "the file could not be read"
		case j.SetAside:
			return Gone, "the job is not judged any more"
		case !j.recorded[b]:
			return Gone, "no longer recorded"
		case incomplete:
			return Gone, "a job file could not be read in full, and what it clashed with may stand there"
		}
		return Fixed, "now in one place only, or as it should be"
	}
	return Gone, "not judged any more"
}

// recorded tells which of the values are recorded in a job that findings across files
// of the base are about.
func recorded(facts *fact.Facts, across []*Finding) map[*Finding]bool {
	out := map[*Finding]bool{}
	for _, b := range across {
		leaf := facts.Shape.Leaf(keys.ReplaceAllString(b.About, ""))
		if leaf == nil {
			continue // of an entry whose key is left out
		}
		for _, in := range facts.Entries[leaf.Scope.ID] {
			if in.AddressOf(leaf) == b.About && in.Get(leaf).State == fact.Known {
				out[b] = true
			}
		}
	}
	return out
}

// keys are the keys of entries in the address of a value.
var keys = regexp.MustCompile(`\[[^\]]*\]`)

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
			c.Apart = append(c.Apart, c.fate(Left{Finding: b, State: Fixed, Why: "the problem is gone"}))
		}
	}
}
