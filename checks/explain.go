package checks

import (
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/explain"
	"witnessmark.example/checks/fact"
)

// Explainer returns what explains the names of the library's definitions. It
// shares the definitions with the library and changes nothing.
func (l *Library) Explainer() *explain.Book {
	b := &explain.Book{Shape: l.Shape, Sets: slices.Clone(l.Sets), Faults: l.Faults, Ships: l.Own, Firm: l.HasFirm, Comma: l.Firm.DecimalComma,
		Required: map[string][]string{}}
	if l.HasFirm {
		b.Entries = l.entries
	}
	for _, p := range l.Products {
		b.Sets = append(b.Sets, p.Set)
	}
	for i := range l.Firm.Required {
		r := &l.Firm.Required[i]
		for _, name := range r.RuleSets {
			b.Required[name] = append(b.Required[name], whereRequired(r))
		}
	}
	return b
}

// whereRequired says for which jobs an entry of the firm's map requires its rule
// sets, as a phrase.
func whereRequired(r *define.Required) string {
	s := "in " + r.Region
	if len(r.Occupancies) > 0 {
		s += ", for " + strings.Join(r.Occupancies, ", ")
	}
	if r.From != fact.NoDay {
		s += ", from " + r.From.String()
	}
	if r.Until != fact.NoDay {
		s += ", until " + r.Until.String()
	}
	return s + " (" + r.Why + "; " + r.At.String() + ")"
}
