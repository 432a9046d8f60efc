package report

import (
	"slices"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/since"
)

// repository writes what came out across files: the findings on sums over
// properties, one line on the sums that are not, and the checks across files.
func (s *textSink) repository(t *lines, r *checks.Run) {
	sums, quiet := 0, map[judge.Kind]int{}
	var unknown []unknownSum
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			o := &p.Outcomes[k]
			sums++
			if !o.Kind.IsFinding() && (o.Kind != judge.Accepted || s.settings.Quiet) {
				quiet[o.Kind]++
				continue
			}
			if o.Kind == judge.NotChecked && o.Limit != nil {
				unknown = append(unknown, unknownSum{p, o})
				continue
			}
			v := s.since.Outcome(o)
			s.sumPlace(t, p, o)
			t.state = v.State
			t.across(o)
			t.property(p, o)
			s.formula(t, o)
			t.inBase(v)
		}
	}
	s.unknownSums(t, unknown)
	if len(r.Repository.Premises) > 0 && !s.settings.Quiet {
		t.own("Sums over ", plural(len(r.Repository.Premises), "property", "properties"), ": ", plural(sums, "comparison", "comparisons"), " with limits")
		t.kinds("; without findings: ", quiet)
		t.own(".").end()
	}
	for i := range r.Repository.Outcomes {
		o := &r.Repository.Outcomes[i]
		if o.Kind.IsFinding() || o.Kind == judge.Accepted && !s.settings.Quiet {
			v := s.since.Outcome(o)
			t.place(s.path(o.File), o.At)
			t.state = v.State
			t.across(o)
			t.inBase(v)
		}
	}
}

// sumPlace begins the line of a sum: where its last job names the premises.
func (s *textSink) sumPlace(t *lines, p *checks.PremisesResult, o *checks.RepositoryOutcome) {
	if o.File == "" {
		t.own("premises ").from(p.Premises).own(": ")
		return
	}
	t.place(s.path(o.File), o.At)
}

// unknownSum is a sum that could not be judged by one limit.
type unknownSum struct {
	premises *checks.PremisesResult
	outcome  *checks.RepositoryOutcome
}

// unknownSums makes one finding of each reason why sums are not known, however
// many limits and properties it concerns.
func (s *textSink) unknownSums(t *lines, all []unknownSum) {
	var reasons []string
	by := map[string][]unknownSum{}
	for _, u := range all {
		if by[u.outcome.Reason] == nil {
			reasons = append(reasons, u.outcome.Reason)
		}
		by[u.outcome.Reason] = append(by[u.outcome.Reason], u)
	}
	for _, reason := range reasons {
		s.unknownSum(t, by[reason])
	}
}

func (s *textSink) unknownSum(t *lines, group []unknownSum) {
	blocking := false
	var premises, facts []string
	var limits []waitingLimit
	for _, u := range group {
		blocking = blocking || u.outcome.Blocking
		premises, facts = appendNew(premises, u.premises.Premises), appendNew(facts, u.outcome.Fact)
		limits = append(limits, waitingLimit{u.outcome.Limit, false, u.outcome.Fact})
	}
	first := group[0]
	s.sumPlace(t, first.premises, first.outcome)
	for _, u := range group {
		if v := s.since.Outcome(u.outcome); t.state != since.New {
			t.state = v.State
		}
	}
	t.outcome(judge.NotChecked, blocking)
	t.from(label(first.outcome.Limit.Way.Leaf)).own(" (").from(first.outcome.Fact).own(")")
	if n := len(facts) - 1; n > 0 {
		t.own(" and ", plural(n, "other sum", "other sums"))
	}
	if len(premises) > 1 {
		t.own(" of ", plural(len(premises), "property", "properties"))
	}
	t.own(": ").from(first.outcome.Reason).end()
	t.item("premises")
	t.list(premises, 8)
	t.waiting(limits, "")
}

// list writes at most so many names, and how many more there are.
func (t *lines) list(names []string, most int) {
	for i, n := range names {
		if i == most {
			t.own(" and ", plural(len(names)-most, "other", "others"))
			break
		}
		if i > 0 {
			t.own(", ")
		}
		if n == "" {
			t.own("not named by the job")
		}
		t.from(n)
	}
	t.end()
}

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// across writes one outcome that belongs to several jobs.
func (t *lines) across(o *checks.RepositoryOutcome) {
	t.outcome(o.Kind, o.Blocking)
	name := o.Fact
	if o.Limit != nil {
		name = label(o.Limit.Way.Leaf)
	}
	t.from(name)
	if o.Limit != nil {
		t.own(" (").from(o.Fact).own(")")
	}
	if o.Written != "" {
		t.own(` "`).from(o.Written).own(`"`)
	}
	if o.Limit != nil && !o.Value.IsZero() {
		text, _, _ := o.Limit.Way.Leaf.Beside(o.Value, o.Bound, o.Limit.Of)
		t.own(" is ").from(text).asked(o.Limit.Describe(false))
	}
	valued := o.Limit != nil && !o.Value.IsZero()
	if o.Reason != "" && !valued {
		t.own(": ").from(o.Reason)
	}
	t.end()
	if o.Limit == nil {
		t.item("check").from(o.Name).end()
		return
	}
	t.limit(o.Limit, false, "")
	if o.Margin != "" {
		room := o.Margin
		if _, _, difference := o.Limit.Way.Leaf.Beside(o.Value, o.Bound, o.Limit.Of); difference != "" {
			room = difference
		}
		t.item("margin").from(room)
		if o.Kind == judge.Outside {
			t.own(" outside the limit")
		} else {
			t.own(" within the limit as written")
		}
		t.end()
	}
	t.origin(o.Limit)
	if o.Reason != "" && valued {
		t.item("note").from(o.Reason).end()
	}
}

// formula says how a sum over the premises comes about; what each job adds stands
// before it.
func (s *textSink) formula(t *lines, o *checks.RepositoryOutcome) {
	if o.Limit == nil || o.Value.IsZero() || !s.calculations {
		return
	}
	c := o.Limit.Way.Leaf.Calculation
	if c == nil {
		return
	}
	t.item("calculated").from(c.Formula).end()
	t.item("").own("source: ").from(c.Source).end()
	if c.Validity != "" {
		t.item("").own("valid: ").from(c.Validity).end()
	}
}

// property names the premises of a sum and what each job adds to it.
func (t *lines) property(p *checks.PremisesResult, o *checks.RepositoryOutcome) {
	t.item("premises")
	if p.Premises == "" {
		t.own("not named by the job")
	}
	t.from(p.Premises).end()
	if len(o.Shares) == 0 {
		return
	}
	t.item("jobs")
	for i, s := range o.Shares {
		if i > 0 {
			t.own(", ")
		}
		t.from(s.Job).own(": ").from(o.Limit.Way.Leaf.Format(s.Value, o.Limit.Of))
	}
	t.end()
}
