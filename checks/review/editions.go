package review

import (
	"fmt"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// editions looks, within each source, for limits that follow each other in time:
// the same measure, side and condition, dated by from and until. Between one and
// the next no day may be left out and none may belong to both.
func editions(s *Subject) []Remark {
	var out []Remark
	for _, set := range s.groups() {
		for _, run := range follow(set.Limits) {
			for i, next := range run[1:] {
				out = append(out, between(run[i], next)...)
			}
		}
	}
	return out
}

func dated(l *limit.Compiled) bool { return l.From != fact.NoDay || l.Until != fact.NoDay }

// follow gathers dated limits that are editions of one rule, first in force first.
func follow(limits []*limit.Compiled) [][]*limit.Compiled {
	var out [][]*limit.Compiled
	for _, l := range limits {
		if !dated(l) {
			continue
		}
		i := slices.IndexFunc(out, func(run []*limit.Compiled) bool { return run[0].SameCase(l) })
		if i < 0 {
			out, i = append(out, nil), len(out)
		}
		out[i] = append(out[i], l)
	}
	for _, run := range out {
		slices.SortStableFunc(run, func(a, b *limit.Compiled) int { return int(int64(a.From) - int64(b.From)) })
	}
	return out
}

// between compares a limit with the next one of its run.
func between(a, b *limit.Compiled) []Remark {
	switch {
	case a.Until == fact.NoDay || b.From == fact.NoDay || b.From <= a.Until:
		return []Remark{{At: b.At, Code: "edition-overlap",
			Message: fmt.Sprintf("%s (%s) is in force while %s (%s, at %s) still is", b.FullName, inForce(b.From, b.Until), a.FullName, inForce(a.From, a.Until), a.At),
			Mend:    "end the earlier one on the day before the later one begins"}}
	case b.From > a.Until+1:
		return []Remark{{At: b.At, Code: "edition-gap",
			Message: fmt.Sprintf("neither %s nor %s (at %s) is in force %s", b.FullName, a.FullName, a.At, days(a.Until+1, b.From-1)),
			Mend:    "let the later one begin on the day after the earlier one ends"}}
	}
	return nil
}

// inForce says when something is in force.
func inForce(from, until fact.Day) string {
	switch {
	case from == fact.NoDay && until == fact.NoDay:
		return "always"
	case from == fact.NoDay:
		return "until " + until.String()
	case until == fact.NoDay:
		return "from " + from.String()
	}
	return "from " + from.String() + " until " + until.String()
}

// days names a run of days, first and last included.
func days(first, last fact.Day) string {
	if first == last {
		return "on " + first.String()
	}
	return "from " + first.String() + " until " + last.String()
}
