package review

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// handovers looks for limits that hand over to nobody, to their own rule set, or
// in a circle: such a limit decides all the same. A limit that ships may name a
// rule set that does not ship: a firm may add it.
func handovers(s *Subject) []Remark {
	var names []string
	for _, set := range s.Sets {
		names = append(names, set.Source.Name)
	}
	var out []Remark
	for _, l := range s.all() {
		to := l.HandsOverTo
		var r Remark
		switch {
		case to == "":
			continue
		case to == l.Source.Name:
			r.Code, r.Message = "hands-over-to-itself", fmt.Sprintf("%s hands over to its own rule set", l.FullName)
			r.Mend = "name the rule set that takes over outside this limit, or remove hands_over_to"
		case !slices.Contains(names, to):
			if strings.HasPrefix(l.At.File, shippedFolder) {
				continue
			}
			r.Code, r.Message = "hands-over-to-nobody", fmt.Sprintf("%s hands over to %q, which is no rule set%s", l.FullName, to, nearest.Hint(nearest.Of(to, names)))
			r.Mend = "name a rule set that exists, or remove hands_over_to; until then the limit decides"
		default:
			way := s.circle(l)
			if way == nil {
				continue
			}
			r.Code, r.Message = "hands-over-in-a-circle", fmt.Sprintf("%s hands over in a circle: %s", l.FullName, strings.Join(way, " to "))
			r.Mend = "let the last of them decide"
		}
		r.At, r.Breaks = s.beside(l.At, "hands_over_to", to), true
		out = append(out, r)
	}
	return out
}

// shippedFolder begins the names of the files that ship.
const shippedFolder = "schema/"

// circle follows what a limit hands over to, by the first limit of each rule set
// on the same measure, as it is judged. It lists the rule sets on the way where
// that comes back to the limit's own, else nothing.
func (s *Subject) circle(l *limit.Compiled) []string {
	way := []string{l.Source.Name}
	for to := l.HandsOverTo; to != ""; {
		if to == l.Source.Name {
			return append(way, to)
		}
		next := s.firstOn(to, l)
		if next == nil || slices.Contains(way, to) {
			return nil
		}
		way, to = append(way, to), next.HandsOverTo
	}
	return nil
}

// firstOn finds the first limit of a rule set on the measure of another limit.
func (s *Subject) firstOn(ruleSet string, as *limit.Compiled) *limit.Compiled {
	for _, o := range s.all() {
		if o.Source.Name == ruleSet && o.Way.Leaf == as.Way.Leaf && o.Scope == as.Scope {
			return o
		}
	}
	return nil
}
