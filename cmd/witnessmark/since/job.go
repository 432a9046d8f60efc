package since

import (
	"math"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// compared tells which outcomes take part in the comparison.
func compared(k judge.Kind) bool {
	return k.IsFinding() || k == judge.Accepted || k == judge.NotDue
}

// ofJob lists what takes part of one job: its problems, then its outcomes. It holds
// nothing of the job's memory.
func ofJob(job *checks.Job) (all []*Finding, outcomes []*judge.Outcome) {
	number := strings.Clone(job.Number)
	for i := range job.Problems {
		all = append(all, ofProblem(&job.Problems[i], number))
		outcomes = append(outcomes, nil)
	}
	if job.Result == nil {
		return all, outcomes
	}
	for i := range job.Result.Outcomes {
		if o := &job.Result.Outcomes[i]; compared(o.Kind) {
			f := ofOutcome(o)
			if len(job.Identities) > 0 {
				f.id = job.Identities[i]
			}
			f.File, f.Job = job.File, number
			all, outcomes = append(all, f), append(outcomes, o)
		}
	}
	return all, outcomes
}

func ofOutcome(o *judge.Outcome) *Finding {
	f := &Finding{Name: o.Name(), Fact: strings.Clone(o.Fact()), Kind: o.Kind, Blocking: o.Blocking, Value: strings.Clone(valueOf(o)), Room: math.NaN(), leaf: o.Leaf}
	if f.About = o.Leaf.Label.In("en"); f.About == "" {
		f.About = o.Leaf.Path
	}
	if _, ok := o.Room(); ok {
		f.Room = o.Signed
	}
	return f
}

// valueOf is the value as its author wrote it, or as it was calculated. Of what is not
// known to the comparison it is empty.
func valueOf(o *judge.Outcome) string {
	switch v := o.Value; {
	case v == nil || o.Kind != judge.Outside && o.Kind != judge.TooClose && o.Kind != judge.Accepted:
		return ""
	case o.Leaf.Type == fact.Truth && !o.Leaf.Many && v.Truth:
		return "yes"
	case o.Leaf.Type == fact.Truth && !o.Leaf.Many:
		return "no"
	case v.Written != "":
		return v.Written
	case !v.Quantity.IsZero():
		return v.Quantity.Format(o.Unit())
	}
	return ""
}

func ofProblem(p *checks.Problem, number string) *Finding {
	return &Finding{Name: "problem/" + p.Code, Fact: strings.Clone(p.Message), Blocking: true, Room: math.NaN(), File: p.File, Job: number, id: p.Identity}
}

// ofRun lists what takes part of what runs across jobs, in the order of the run: sums
// over premises, then checks across files. Fact names the premises of a sum, and file,
// with the name it had in the base, of all else.
func ofRun(r *checks.Run, was func(file string) string) (all []*Finding, outcomes []*checks.RepositoryOutcome) {
	add := func(o *checks.RepositoryOutcome, of, premises string) {
		if !compared(o.Kind) {
			return
		}
		f := &Finding{Name: o.Name, Fact: o.Fact + " of " + of, Kind: o.Kind, Blocking: o.Blocking, Room: math.NaN(), File: o.File, About: o.Fact, id: o.Identity}
		switch {
		case o.Kind == judge.NotChecked || o.Kind == judge.NotDue:
		case o.Written != "":
			f.Value = o.Written
		case o.Limit != nil && !o.Value.IsZero():
			f.About = o.Limit.Way.Leaf.Label.In("en")
			f.Value = o.Limit.Way.Leaf.Format(o.Value, o.Limit.Of)
			if f.Room = math.Abs(o.Value.Base() - o.Bound.Base()); o.Kind == judge.Outside {
				f.Room = -f.Room
			}
		}
		if f.Of = of; premises != "" {
			f.Of, f.Sum = premises, o.Measure
		}
		all, outcomes = append(all, f), append(outcomes, o)
	}
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			of := "premises " + p.Premises
			if p.Premises == "" {
				of = was(p.Outcomes[k].File)
			}
			add(&p.Outcomes[k], of, p.Premises)
		}
	}
	for i := range r.Repository.Outcomes {
		o := &r.Repository.Outcomes[i]
		add(o, was(o.File), "")
	}
	return all, outcomes
}
