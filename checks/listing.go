package checks

import (
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// Listed is one limit of a library, with what the other definitions do to it.
type Listed struct {
	*limit.Compiled
	Set        *limit.Set
	Ships      bool     // with the tool; else the firm's own
	Blocking   bool     // by its grade, or promoted by a policy that always applies
	PromotedBy []string // rule sets that make it block although its grade does not
}

// Due says when the measure must be recorded; of a calculated one, when the last
// of what goes into it must be. At fact.Never nobody has to record it.
func (l *Listed) Due() fact.Due { return l.Way.Leaf.DueAt }

// OnSite says from when on only the reading on site counts and no longer the
// plan; ok is false for a measure that has no plan.
func (l *Listed) OnSite() (due fact.Due, ok bool) {
	return l.Way.Leaf.DueOnSite, l.Way.Leaf.Planned >= 0
}

// Judges says what the limit is judged once for: each entry of a list, each job,
// or all jobs of the premises together.
func (l *Listed) Judges() string {
	switch {
	case l.Across():
		return "premises"
	case l.Scope.List.Name == "":
		return "job"
	}
	return l.Scope.List.Name
}

// Listing lists every limit of the library, each once: of rule sets by their
// name, then of equipment data, revision by revision.
func (l *Library) Listing() []Listed {
	var out []Listed
	add := func(s *limit.Set) {
		for _, one := range s.Limits {
			out = append(out, Listed{Compiled: one, Set: s, Ships: l.Own[s.Source.Name], Blocking: one.Grade.Blocks()})
		}
	}
	for _, s := range l.Sets {
		add(s)
	}
	for _, p := range l.Products {
		add(p.Set)
	}
	for i := range out {
		for _, s := range l.Sets {
			if !out[i].Grade.Blocks() && slices.Contains(s.Promotes, out[i].FullName) {
				out[i].PromotedBy = append(out[i].PromotedBy, s.Source.Name)
				out[i].Blocking = out[i].Blocking || s.Source.Always
			}
		}
	}
	return out
}
