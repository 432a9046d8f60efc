package review

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/limit"
)

// Sizes of what is looked at together: of many limits on one measure only three.
const (
	mostTogether = 4
	many         = 24
)

// several looks, in every plan, for three or four limits on one measure of which
// every two can be met and all together cannot: words of which each limit leaves
// others, or a range that another limit takes apart. Among ranges alone there is
// no such case.
func several(s *Subject) []Remark {
	var out []Remark
	looked, told := map[string]bool{}, map[string]bool{} // many plans have the same limits on a measure
	for _, p := range s.Plans {
		for _, group := range byMeasure(p) {
			constant := fit(group)
			if len(constant) < 3 || looked[names(constant)] {
				continue
			}
			looked[names(constant)] = true
			for _, set := range contradictory(constant) {
				if !told[names(set)] {
					told[names(set)] = true
					out = append(out, tellSeveral(set))
				}
			}
		}
	}
	return out
}

func names(limits []*limit.Compiled) string {
	out := ""
	for _, l := range limits {
		out += l.FullName + " "
	}
	return out
}

// fit keeps the limits that can be part of such a case; none where all are ranges.
func fit(group []*limit.Planned) []*limit.Compiled {
	var out []*limit.Compiled
	for _, l := range group {
		if l.IsConstant() && !hopeless(l.Compiled) {
			out = append(out, l.Compiled)
		}
	}
	if !slices.ContainsFunc(out, noRange) {
		return nil
	}
	return out
}

func noRange(l *limit.Compiled) bool { return !l.IsRange() }

// contradictory lists the smallest sets of three and more limits that contradict
// each other, every two of them meeting.
func contradictory(group []*limit.Compiled) [][]*limit.Compiled {
	most := mostTogether
	if len(group) > many {
		most = 3
	}
	var out [][]*limit.Compiled
	var grow func(chosen, rest []*limit.Compiled)
	grow = func(chosen, rest []*limit.Compiled) {
		for i, next := range rest {
			if slices.ContainsFunc(chosen, func(l *limit.Compiled) bool { return !l.Meets(next) || l.Contradicts(next) }) {
				continue
			}
			more := append(slices.Clone(chosen), next)
			switch {
			case len(more) > 2 && slices.ContainsFunc(more, noRange) && limit.ContradictTogether(more):
				if smallest(more) {
					out = append(out, more)
				}
			case len(more) < most:
				grow(more, rest[i+1:])
			}
		}
	}
	grow(nil, group)
	return out
}

// smallest tells whether every limit of a set is needed for the contradiction.
func smallest(set []*limit.Compiled) bool {
	for i := range set {
		if limit.ContradictTogether(slices.Delete(slices.Clone(set), i, i+1)) {
			return false
		}
	}
	return true
}

func tellSeveral(set []*limit.Compiled) Remark {
	parts := make([]string, len(set))
	for i, l := range set {
		parts[i] = fmt.Sprintf("%s (%s, at %s)", l.FullName, l.Describe(false), l.At)
	}
	last := len(parts) - 1
	return Remark{At: set[0].At, Code: "limits-conflict",
		Message: fmt.Sprintf("limits %s and %s can apply together, but no value that %s can have satisfies all of them; without one of them there is such a value", strings.Join(parts[:last], ", "), parts[last], set[0].Measure),
		Mend:    "change one of them, narrow its condition, or let one replace another with a clause of its own", Breaks: true}
}
