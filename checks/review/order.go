package review

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// ladders are words that name figures of one thing, smallest first: voltage.low,
// voltage.nominal and voltage.high, or torque_low and torque_high.
func ladders() [][]string {
	return [][]string{{"low", "nominal", "high"}, {"smallest", "largest"}}
}

// order looks, in equipment data, for figures of one thing that are out of order.
func order(s *Subject) []Remark {
	var out []Remark
	for _, p := range s.Products {
		for _, l := range p.Instance.Scope.Leaves {
			lower := below(p, l)
			if lower == nil || quantity.Compare(p.Instance.Get(lower).Quantity, p.Instance.Get(l).Quantity) <= 0 {
				continue
			}
			out = append(out, Remark{At: figureAt(s, p, l), Code: "figures-out-of-order",
				Message: fmt.Sprintf("%s: %s (%s) is below %s (%s)", p.Name, l.Inside(), p.Instance.Get(l).Quantity, lower.Inside(), p.Instance.Get(lower).Quantity),
				Mend:    "compare both with the datasheet; they may have changed places, or one has another unit", Breaks: true})
		}
	}
	return out
}

// below finds the next lower figure of the same thing that the product states
// too, nil where there is none.
func below(p *define.Revision, l *fact.Leaf) *fact.Leaf {
	if p.Instance.Get(l).State != fact.Known || l.Many || l.Type != fact.Quantity && l.Type != fact.Count {
		return nil
	}
	for _, words := range ladders() {
		for rank, word := range words {
			stem, ok := strings.CutSuffix(l.Inside(), word)
			if !ok || stem != "" && !strings.HasSuffix(stem, ".") && !strings.HasSuffix(stem, "_") {
				continue
			}
			for rank--; rank >= 0; rank-- {
				if lower := statedFigure(p, stem+words[rank]); lower != nil && lower.Of.Kind() == l.Of.Kind() {
					return lower
				}
			}
		}
	}
	return nil
}

// statedFigure finds a figure of a product by its path within the data, nil where the
// product does not state it.
func statedFigure(p *define.Revision, inside string) *fact.Leaf {
	for _, l := range p.Instance.Scope.Leaves {
		if l.Inside() == inside && !l.Many && p.Instance.Get(l).State == fact.Known {
			return l
		}
	}
	return nil
}

// figureAt is the place of a figure of a product.
func figureAt(s *Subject, p *define.Revision, l *fact.Leaf) fact.Origin {
	if at, ok := p.Instance.Lines[l.Inside()]; ok {
		return at
	}
	return revisionAt(s, p)
}

// itemAt is the place of one entry of a list of a product.
func itemAt(s *Subject, p *define.Revision, l *fact.Leaf, v *fact.Value) fact.Origin {
	at := figureAt(s, p, l)
	if v.At.Line > 0 {
		at.Line = v.At.Line
	}
	return at
}
