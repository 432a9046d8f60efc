package review

import (
	"fmt"
	"slices"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// verdicts looks for limits that can give one verdict only: nothing satisfies
// them, or nothing is outside.
func verdicts(s *Subject) []Remark {
	var out []Remark
	for _, l := range s.all() {
		within, outside, certain := l.Verdicts()
		if _, never := l.NeverApplies(); !certain || never {
			continue
		}
		switch {
		case !within:
			out = append(out, Remark{At: l.At, Code: "nothing-within", Message: fmt.Sprintf("no value of %s at which it applies satisfies %s (%s)", l.Measure, l.FullName, l.Describe(false)),
				Mend: "change the bounds or words so that they leave something, or the condition on the measure itself", Breaks: true})
		case !outside:
			out = append(out, Remark{At: l.At, Code: "nothing-outside", Message: fmt.Sprintf("every value that %s can have satisfies %s (%s), so it decides nothing", l.Measure, l.FullName, l.Describe(false)),
				Mend: "look at sign, unit and direction; remove the limit if it is meant so"})
		}
	}
	return out
}

// conflicts looks, in every plan, for limits that contradict each other beyond
// what plans find themselves: between whole numbers, and by the words there are.
func conflicts(s *Subject) []Remark {
	var out []Remark
	seen := map[[2]*limit.Compiled]bool{} // many plans have the same pairs
	for _, p := range s.Plans {
		for _, group := range byMeasure(p) {
			for i, a := range group {
				for _, b := range group[i+1:] {
					pair := [2]*limit.Compiled{a.Compiled, b.Compiled}
					if !seen[pair] && !slices.Contains(a.Conflicts, b) && !hopeless(a.Compiled) && !hopeless(b.Compiled) && a.Contradicts(b.Compiled) {
						out = append(out, tellConflict(a.Compiled, b.Compiled))
					}
					seen[pair] = true
				}
			}
		}
	}
	return out
}

// byMeasure groups the limits of a plan by their measure, in the order of the plan.
func byMeasure(p *limit.Plan) [][]*limit.Planned {
	var out [][]*limit.Planned
	at := map[*fact.Leaf]int{}
	for _, l := range p.All {
		i, ok := at[l.Way.Leaf]
		if !ok {
			i = len(out)
			at[l.Way.Leaf], out = i, append(out, nil)
		}
		out[i] = append(out[i], l)
	}
	return out
}

func tellConflict(a, b *limit.Compiled) Remark {
	return Remark{At: a.At, Code: "limits-conflict",
		Message: fmt.Sprintf("limits %s (%s) and %s (%s, at %s) can apply together, but no value that %s can have satisfies both", a.FullName, a.Describe(false), b.FullName, b.Describe(false), b.At, a.Measure),
		Mend:    "change one of them, narrow its condition, or let one replace the other with a clause of its own", Breaks: true}
}

// hopeless tells whether a limit is reported by itself already.
func hopeless(l *limit.Compiled) bool {
	within, _, certain := l.Verdicts()
	_, never := l.NeverApplies()
	return certain && !within || never
}

// neverApplying looks for limits that can apply to no job.
func neverApplying(s *Subject) []Remark {
	var out []Remark
	never := func(l *limit.Compiled, why string) {
		out = append(out, Remark{At: l.At, Code: "never-applies", Message: fmt.Sprintf("%s can never apply: %s", l.FullName, why), Mend: "correct the condition, or remove the limit"})
	}
	for _, l := range s.all() {
		if f, ok := l.NeverApplies(); ok {
			never(l, "no value of "+f+" meets all that its condition asks")
		}
	}
	for _, p := range s.Products {
		for _, l := range p.Set.Limits {
			if asked, ok := l.RuledOutBy(p.Instance, l.Along()); ok {
				never(l, fmt.Sprintf("it asks for %s, and %s states something else (%s)", asked, p.Name, revisionAt(s, p)))
			}
		}
	}
	return out
}

// revisionAt is the place of a revision of a product.
func revisionAt(s *Subject, p *define.Revision) fact.Origin {
	if s.Places != nil {
		if all := s.Places.Revision(p.At.File, p.Name); len(all) > 0 {
			return all[0]
		}
	}
	return p.At
}
