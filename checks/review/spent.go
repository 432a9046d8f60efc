package review

import (
	"fmt"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// spent looks, in the firm's map, for entries that require a rule set none of
// whose limits is in force: in the days of the entry that are still to come, of
// an entry that is over in all of its days.
func spent(s *Subject) []Remark {
	var out []Remark
	for i := range s.Required {
		r := &s.Required[i]
		from, until := r.From, r.Until
		if until == fact.NoDay || until >= s.Today {
			from = max(from, s.Today) // NoDay is before every day
		}
		for _, name := range r.RuleSets {
			if set := s.set(name); set != nil && outOfForce(set, from, until) {
				out = append(out, Remark{At: r.At, Code: "required-out-of-force", Message: tellSpent(r, set, from),
					Mend: "end the entry with its last limit, require the edition that follows, or correct from and until of the limits"})
			}
		}
	}
	return out
}

func tellSpent(r *define.Required, set *limit.Set, from fact.Day) string {
	when := ""
	if from != fact.NoDay {
		when = " from " + from.String() + " on"
	}
	return fmt.Sprintf("required in %s: %s (%s), but%s none of its limits is in force", r.Region, set.Source.Name, inForce(r.From, r.Until), when)
}

// outOfForce tells whether no limit of a set is in force in these days, first and
// last included. A set without limits, or with some that are not understood, is
// left out.
func outOfForce(set *limit.Set, from, until fact.Day) bool {
	for _, l := range set.Limits {
		began := until == fact.NoDay || l.From == fact.NoDay || l.From <= until
		ended := from != fact.NoDay && l.Until != fact.NoDay && l.Until < from
		if began && !ended {
			return false
		}
	}
	return len(set.Limits) > 0 && len(set.Broken) == 0
}

// set returns the rule set of a name, nil where there is none.
func (s *Subject) set(name string) *limit.Set {
	for _, set := range s.Sets {
		if set.Source.Name == name {
			return set
		}
	}
	return nil
}
