package checks

import (
	"sort"
	"sync"

	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/redact"
	"witnessmark.example/checks/register"
)

// collector takes the results in the order of the files, passes them to the
// sinks, and judges what runs across files at the end.
type collector struct {
	e        *engine
	run      *Run
	sinks    []Sink
	failed   []error
	register *register.Register
	plans    map[*limit.Plan]bool
	wanted   map[string]bool // files that were asked for
	premises map[string]bool // the premises of their jobs
	words    *redact.Words   // private values of all jobs

	mu sync.Mutex // guards run.Counts while workers end
}

func newCollector(e *engine, run *Run, sinks []Sink) *collector {
	run.Counts = newCounts()
	return &collector{e: e, run: run, sinks: sinks, failed: make([]error, len(sinks)), register: register.New(), plans: map[*limit.Plan]bool{},
		wanted: map[string]bool{}, premises: map[string]bool{}, words: &redact.Words{}}
}

// each calls a sink unless it has failed before.
func (c *collector) each(call func(i int, s Sink) error) {
	for i, s := range c.sinks {
		if c.failed[i] == nil {
			c.failed[i] = call(i, s)
		}
	}
}

// count takes what a worker counted, when it ends.
func (c *collector) count(t *tally) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.run.Counts.addTally(t)
}

func (c *collector) begin() {
	c.each(func(_ int, s Sink) error { return s.Begin(c.run) })
}

func (c *collector) take(j *judged) {
	if j.unread {
		c.register.Unread(j.file.name)
		if !j.file.wanted {
			j.problems = append(j.problems, Problem{File: j.file.name, Code: "not-indexed",
				Message: "the file could not be read, so that sums over premises and checks across files are not complete", Mend: "lint it by itself to see why"})
			j.problems = j.problems[len(j.problems)-1:]
		}
	}
	if j.hasPart {
		c.register.Add(j.part)
	}
	if j.words != nil {
		c.words.AddAll(j.words)
	}
	c.run.Problems = append(c.run.Problems, j.problems...)
	if !j.file.wanted {
		return
	}
	c.wanted[j.file.name] = true
	if j.hasPart {
		c.premises[j.part.Premises] = true
	}
	c.plans[j.plan] = true
	c.each(func(i int, s Sink) error { return s.Job(j.rendered[i]) })
	c.e.buffers.Put(j.rendered)
}

func (c *collector) end() {
	delete(c.plans, nil)
	c.run.Limits, c.run.Sources = c.e.book.used(c.plans)
	c.sums()
	c.clashes()
	if c.e.redaction != nil {
		c.words.AddAll(c.e.redaction.words)
		c.e.redaction.repository(&c.run.Repository, c.words, c.e.shape)
	}
	for _, f := range c.e.book.allFaults(c.e.firm) {
		c.run.Problems = append(c.run.Problems, c.e.redaction.fault(&f))
	}
	sort.SliceStable(c.run.Problems, func(i, j int) bool { return c.run.Problems[i].before(&c.run.Problems[j]) })
	c.run.Counts.Problems = len(c.run.Problems)
	c.each(func(_ int, s Sink) error { return s.End(c.run) })
	for i, err := range c.failed {
		if err != nil {
			c.run.Failed = append(c.run.Failed, SinkError{i, err})
		}
	}
}

func (p *Problem) before(o *Problem) bool {
	switch {
	case p.File != o.File:
		return p.File < o.File
	case p.At.Line != o.At.Line:
		return p.At.Line < o.At.Line
	case p.At.Column != o.At.Column:
		return p.At.Column < o.At.Column
	}
	return p.Message < o.Message
}

// sums judges the sums over the premises of the jobs that were asked for.
func (c *collector) sums() {
	for _, s := range c.register.Judge() {
		if !c.premises[s.Premises] || s.Premises == "" && !c.wanted[s.File] {
			continue
		}
		out := PremisesResult{Premises: s.Premises, Jobs: s.Jobs}
		for i := range s.Outcomes {
			o := &s.Outcomes[i].Outcome
			r := RepositoryOutcome{Name: o.Name(), Limit: o.Limit, Kind: o.Kind, Blocking: o.Blocking, Measure: o.Leaf.Path, Fact: o.Leaf.Path,
				Value: s.Outcomes[i].Value, Shares: s.Outcomes[i].Shares, File: s.File, At: s.At, Bound: o.Bound, Strict: o.Strictest, Reason: o.Reason}
			r.Margin, r.Room = o.Margin()
			out.Outcomes = append(out.Outcomes, r)
			c.run.Counts.count(r.Kind, r.Limit, r.Blocking, 1)
			if len(r.Shares) == 0 && (r.Kind == judge.Within || r.Kind == judge.Outside) {
				c.run.Counts.Judged-- // the sum of nothing is no sign that anything was looked at
			}
		}
		c.run.Repository.Premises = append(c.run.Repository.Premises, out)
	}
}

// clashes reports the built-in checks across files, for the files that were
// asked for.
func (c *collector) clashes() {
	c.run.Repository.Incomplete = !c.register.Complete()
	for _, x := range c.register.Clashes() {
		if !c.wanted[x.File] {
			continue
		}
		c.run.Repository.Outcomes = append(c.run.Repository.Outcomes, RepositoryOutcome{Name: x.Check, Kind: judge.Outside, Blocking: true,
			Fact: x.Fact, File: x.File, At: x.At, Written: x.Value, Reason: x.Reason})
		c.run.Counts.count(judge.Outside, nil, true, 1)
	}
}
