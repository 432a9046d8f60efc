package review

import (
	"fmt"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// editions looks for limits that follow each other in time, dated by from and
// until. Within one source no day may belong to two of them, where measure, sides
// and condition are alike; between one and the next no day may be left out.
//
// Days left out are looked for side by side, whatever the bounds: after ">= 20
// until …", ">= 25 and <= 40 from …" follows on the lower side, while "<= 90 from
// …" follows nothing. A limit that lasts through the days between leaves none out.
// So that a rule does not pause from one edition of a document to the next, days
// are looked for between their rule sets too (us/nec-2020 and us/nec-2023); there
// two may well be in force, since a job names one of them.
func editions(s *Subject) []Remark {
	var out []Remark
	for _, document := range s.documents() {
		var all []*limit.Compiled
		for _, set := range document {
			for _, run := range follow(set.Limits) {
				out = append(out, overlaps(run)...)
			}
			out = append(out, gaps(slices.DeleteFunc(slices.Clone(set.Limits), func(l *limit.Compiled) bool { return !dated(l) }))...)
			all = append(all, set.Limits...)
		}
		if len(document) > 1 {
			out = append(out, gaps(all)...)
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

// overlaps looks for days that belong to two limits of a run.
func overlaps(run []*limit.Compiled) []Remark {
	var out []Remark
	last := run[0] // of those before, the one that is in force longest
	for _, b := range run[1:] {
		if last.Until == fact.NoDay || b.From == fact.NoDay || b.From <= last.Until {
			out = append(out, Remark{At: b.At, Code: "edition-overlap",
				Message: fmt.Sprintf("%s (%s) is in force while %s (%s, at %s) still is", b.FullName, inForce(b.From, b.Until), last.FullName, inForce(last.From, last.Until), last.At),
				Mend:    "end the earlier one on the day before the later one begins"})
		}
		if later(b.Until, last.Until) {
			last = b
		}
	}
	return out
}

// gaps looks, before each limit that begins, for days on which no limit of the
// same rule is in force on one of its sides.
func gaps(limits []*limit.Compiled) []Remark {
	var out []Remark
	for _, b := range limits {
		if b.From == fact.NoDay {
			continue
		}
		for _, side := range b.Sides() {
			if a := before(limits, b, side); a != nil && a.Until != fact.NoDay && b.From > a.Until+1 {
				out = append(out, Remark{At: b.At, Code: "edition-gap",
					Message: fmt.Sprintf("neither %s nor %s (at %s) is in force %s", b.FullName, a.FullName, a.At, days(a.Until+1, b.From-1)),
					Mend:    "let the later one begin on the day after the earlier one ends"})
				break
			}
		}
	}
	return out
}

// before finds, among the limits of the same rule that bound a side and begin
// before b, the one that is in force longest; nil where there is none.
func before(limits []*limit.Compiled, b *limit.Compiled, side string) *limit.Compiled {
	var out *limit.Compiled
	for _, a := range limits {
		if a.From >= b.From || dated(a) && a.Selects != b.Selects || !slices.Contains(a.Sides(), side) || !a.SameRule(b) {
			continue
		}
		if out == nil || later(a.Until, out.Until) {
			out = a
		}
	}
	return out
}

// documents gathers the rule sets that are editions of one document, and each
// revision of a product by itself.
func (s *Subject) documents() [][]*limit.Set {
	var out [][]*limit.Set
	for _, set := range s.groups() {
		i := slices.IndexFunc(out, func(d []*limit.Set) bool {
			return set.Product == "" && d[0].Product == "" && documentOf(d[0].Source.Name) == documentOf(set.Source.Name)
		})
		if i < 0 {
			out, i = append(out, nil), len(out)
		}
		out[i] = append(out[i], set)
	}
	return out
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
