package review

import (
	"fmt"
	"slices"

	"witnessmark.example/checks/limit"
)

// weaker looks for limits that decide nothing beside another one on the same
// measure. It looks within one source and between policies only: that a datasheet
// asks for less than a code, or a code for less than a policy, is as it should be.
func weaker(s *Subject) []Remark {
	var out []Remark
	for _, group := range s.comparable() {
		for _, weak := range group {
			if strict := s.stricter(weak, group); strict != nil {
				out = append(out, tellWeaker(weak, strict))
			}
		}
	}
	return out
}

func tellWeaker(weak, strict *limit.Compiled) Remark {
	r := Remark{At: weak.At, Code: "limit-weaker", Message: fmt.Sprintf("%s (%s) decides nothing: wherever it applies, %s (%s, at %s) applies too and asks for at least as much", weak.FullName, weak.Describe(false), strict.FullName, strict.Describe(false), strict.At),
		Mend: "remove it, narrow the condition of the other one, or let it replace the other with a clause of its own"}
	if strict.WeakerThan(weak) {
		r.Code, r.Message = "limit-repeated", fmt.Sprintf("%s repeats %s (at %s): the same measure, bounds and condition", weak.FullName, strict.FullName, strict.At)
		r.Mend = "keep one of the two"
	}
	return r
}

// comparable lists the limits that are held against each other: those of each
// source, and those of all policies together.
func (s *Subject) comparable() [][]*limit.Compiled {
	var out [][]*limit.Compiled
	var policies []*limit.Compiled
	for _, set := range s.groups() {
		if set.Source.Kind == limit.Policy && set.Source.Always {
			policies = append(policies, set.Limits...)
			continue
		}
		out = append(out, set.Limits)
	}
	return append(out, policies)
}

// stricter finds the first limit beside which another one decides nothing.
func (s *Subject) stricter(weak *limit.Compiled, group []*limit.Compiled) *limit.Compiled {
	if _, outside, certain := weak.Verdicts(); certain && !outside || hopeless(weak) {
		return nil // reported by itself
	}
	for i, o := range group {
		switch {
		case !weak.WeakerThan(o) || hopeless(o):
		case s.blocking(weak) && !s.blocking(o): // an advisory one stands beside, it decides nothing
		case weak.SameCase(o) && dated(weak) && dated(o): // editions; an overlap of them is reported as such
		case s.relaxed(o, weak):
		case o.WeakerThan(weak) && i > slices.Index(group, weak) && s.blocking(weak) == s.blocking(o): // of two alike the later is reported
		default:
			return o
		}
	}
	return nil
}

// relaxed tells whether some limit replaces the strict one but not the weak one:
// where it applies, the weak one decides after all.
func (s *Subject) relaxed(strict, weak *limit.Compiled) bool {
	return slices.ContainsFunc(s.all(), func(l *limit.Compiled) bool {
		return slices.Contains(l.Replaces, strict.FullName) && !slices.Contains(l.Replaces, weak.FullName)
	})
}
