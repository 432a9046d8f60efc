package checks

import (
	"slices"
	"strings"

	"witnessmark.example/checks/explain"
	"witnessmark.example/checks/limit"
)

// Explainer returns what explains the limits of a run that is complete. It knows only
// those that took part in it.
func (r *Run) Explainer() *explain.Book {
	b := &explain.Book{Shape: r.Shape, Firm: true, Ships: map[string]bool{}, Required: map[string][]string{}}
	for _, l := range r.Limits {
		i := slices.IndexFunc(b.Sets, func(s *limit.Set) bool { return s.Source.Name == l.Source.Name })
		if i < 0 {
			i = len(b.Sets)
			b.Sets = append(b.Sets, &limit.Set{RuleSet: &limit.RuleSet{Source: *l.Source, Product: productOf(l.Source)}})
			b.Ships[l.Source.Name] = strings.HasPrefix(l.Source.At.File, "schema/")
		}
		s := b.Sets[i]
		if n := len(s.Limits); n == 0 || s.Limits[n-1].FullName != l.FullName { // one limit may be planned for several jobs
			s.Limits = append(s.Limits, l.Compiled)
		}
	}
	return b
}

// productOf names the product that a datasheet is of; empty for another source.
func productOf(s *limit.Source) string {
	product, ok := strings.CutPrefix(s.Name, "equipment/")
	if !ok {
		return ""
	}
	return product
}
