package review

import "fmt"

// printed looks for limits whose second printed value is another bound than the
// first. A reading in that system of units is judged by the second alone.
func printed(s *Subject) []Remark {
	var out []Remark
	for _, l := range s.all() {
		if how, differs := l.PrintedDiffers(); differs {
			out = append(out, Remark{At: s.beside(l.At, "printed", ""), Code: "printed-differs",
				Message: fmt.Sprintf("the second printed value of %s (%s) contradicts the first (%s): %s", l.FullName, l.Describe(true), l.Describe(false), how),
				Mend:    "write both values as the source prints them, each with its own unit; they may differ by rounding, at most 7 %", Breaks: true})
		}
	}
	return out
}
