package review

import (
	"fmt"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// twice looks for definitions that stand in two places of a file. Where both say
// the same nothing contradicts, and the two are merged without a word; the next
// one who changes one of them will wonder.
func twice(s *Subject) []Remark {
	if s.Places == nil {
		return nil
	}
	var out []Remark
	var files []string
	for _, p := range s.Products {
		all := s.Places.Revision(p.At.File, p.Name)
		for _, again := range all[min(1, len(all)):] {
			out = append(out, Remark{At: again, Code: "revision-twice", Message: fmt.Sprintf("%s is also stated at %s; the two are taken together", p.Name, all[0]), Mend: "state a revision in one place, or give this one a letter of its own"})
		}
	}
	for _, l := range s.all() {
		if !slices.Contains(files, l.At.File) {
			files = append(files, l.At.File)
		}
	}
	for _, file := range files {
		for _, all := range s.Places.Limits(file) {
			for _, again := range all[1:] {
				out = append(out, Remark{At: again, Code: "limit-in-two-places", Message: fmt.Sprintf("%s is also stated at %s; the two are taken together", s.at(all), all[0]), Mend: "state a limit in one place, or give this one a name of its own"})
			}
		}
	}
	return out
}

// at names the limit that stands at one of these places.
func (s *Subject) at(places []fact.Origin) string {
	i := slices.IndexFunc(s.all(), func(l *limit.Compiled) bool { return slices.Contains(places, l.At) })
	if i < 0 {
		return "the limit"
	}
	return s.all()[i].FullName
}
