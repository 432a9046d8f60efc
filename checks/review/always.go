package review

import "fmt"

// replacedAlways looks for limits that another one of the same source replaces
// wherever they apply: they never decide.
func replacedAlways(s *Subject) []Remark {
	var out []Remark
	for _, p := range s.Plans {
		for _, l := range p.All {
			for _, by := range l.ReplacedBy {
				if by.Source.Name != l.Source.Name || !l.Implies(by.Compiled) || hopeless(l.Compiled) || hopeless(by.Compiled) {
					continue
				}
				out = append(out, Remark{At: l.At, Code: "always-replaced",
					Message: fmt.Sprintf("%s never decides: wherever it applies, %s (at %s) applies too and replaces it", l.FullName, by.FullName, by.At),
					Mend:    "remove it, or narrow the condition of the one that replaces it"})
			}
		}
	}
	return out
}
