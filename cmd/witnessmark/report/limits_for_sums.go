package report

import (
	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// sum writes one sum over the premises. What each job adds stands there once.
func (w *forWriter) sum(s *checks.CandidateSum) {
	first := &s.Outcomes[0]
	for i := range s.Outcomes {
		if !s.Outcomes[i].Value.IsZero() {
			first = &s.Outcomes[i]
			break
		}
	}
	w.end()
	if first.File != "" {
		w.place(w.path(first.File), first.At)
	}
	w.from(labelOr(s.Label, s.Measure)).own(" (").from(s.Measure).own(")")
	if first.Value.IsZero() {
		w.own(" is not known, or no limit on it applies").end()
	} else {
		leaf := first.Limit.Way.Leaf
		w.own(" is ").from(leaf.Format(first.Value, leaf.Of))
		before := "; "
		for _, share := range first.Shares {
			w.own(before, "job ").from(share.Job).own(": ").from(leaf.Format(share.Value, leaf.Of))
			before = ", "
		}
		w.end()
	}
	for i := range s.Outcomes {
		w.sumCandidate(&s.Outcomes[i], s.Unmet)
	}
	w.notAsked(s.NotAsked)
}

func (w *forWriter) sumCandidate(o *checks.RepositoryOutcome, unmet map[string][]limit.Unmet) {
	w.name(spoken(o.Kind), w.paint.of(o.Kind))
	w.from(o.Name).own(": ").from(o.Limit.Describe(false))
	if o.Margin != "" {
		w.own("; ").from(o.Margin).own(choose(o.Kind == judge.Outside, " outside the limit", " within the limit as written"))
	}
	if o.Strict {
		w.own("; the strictest")
	}
	w.end()
	if keeps := keepsFrom(o, unmet); len(keeps) > 0 {
		for _, u := range keeps {
			w.more().from(u.Text).end()
		}
	} else if o.Reason != "" {
		w.more().from(o.Reason).end()
	}
	w.whence(o.Limit)
}

// keepsFrom is what this job does not meet of a limit on a sum that applies by no
// job; nothing where another limit takes its place.
func keepsFrom(o *checks.RepositoryOutcome, unmet map[string][]limit.Unmet) []limit.Unmet {
	if o.Kind != judge.NotApplicable {
		return nil
	}
	return unmet[o.Name]
}
