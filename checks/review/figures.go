package review

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// figures looks, for each revision of a product, for figures that it does not
// state and that a calculated measure or a limit needs.
func figures(s *Subject) []Remark {
	var out []Remark
	for _, p := range s.Products {
		lacks := lacking{}
		s.forMeasures(p, &lacks)
		s.forLimits(p, &lacks)
		for _, one := range lacks.all {
			out = append(out, Remark{At: revisionAt(s, p), Code: "figure-missing", Message: fmt.Sprintf("%s states no %s, so %s", p.Name, one.figure, strings.Join(one.so, ", and ")),
				Mend: "add it from the datasheet (" + example(one.leaf) + "); where the datasheet does not give it, ask the maker"})
		}
	}
	return out
}

// lacking gathers what a revision does not state, in the order in which it is
// found, each figure with all that waits on it.
type lacking struct{ all []lack }

type lack struct {
	leaf   *fact.Leaf
	figure string // "module.voltage.high"
	so     []string
}

func (l *lacking) add(leaf *fact.Leaf, so string) {
	i := slices.IndexFunc(l.all, func(x lack) bool { return x.leaf == leaf })
	if i < 0 {
		l.all, i = append(l.all, lack{leaf: leaf, figure: leaf.Inside()}), len(l.all)
	}
	if one := &l.all[i]; !slices.Contains(one.so, so) {
		one.so = append(one.so, so)
	}
}

func example(l *fact.Leaf) string {
	switch {
	case l.Example != "":
		return "such as " + l.Example
	case len(l.Words) > 0:
		return "one of: " + strings.Join(l.Words, ", ")
	case l.Type == fact.Count:
		return "a whole number"
	case l.Unit != "":
		return "in " + l.Unit
	}
	return "as its definition asks"
}

// forMeasures tries every calculated measure with the figures of the revision.
func (s *Subject) forMeasures(p *define.Revision, lacks *lacking) {
	for _, l := range s.Shape.Leaves {
		if l.Calculation == nil || l.Calculation.Function == "" {
			continue
		}
		t, ok := s.trial(l, p)
		if !ok {
			continue
		}
		for _, one := range t.refused() {
			lacks.add(one.leaf, fmt.Sprintf("%s (%s) cannot be calculated%s", l.Label.In("en"), l.Path, one.where))
		}
	}
}

// forLimits looks for limits whose bounds or conditions are figures of the
// product. A limit that the product's own figures rule out waits on nothing, nor does
// one that applies only where the figure is stated.
func (s *Subject) forLimits(p *define.Revision, lacks *lacking) {
	for _, l := range s.all() {
		if l.Along() != "" && l.Source.Name != p.Source.Name {
			continue // of another product
		}
		for _, w := range l.Reads() {
			if w.Leaf.Scope != p.Instance.Scope || p.Instance.Get(w.Leaf).State != fact.Absent || onlyWhereStated(l, w.Leaf) || ofOtherCurrent(p, w.Leaf) {
				continue
			}
			if _, out := l.RuledOutBy(p.Instance, strings.TrimSuffix(w.Text, "."+w.Leaf.Inside())); !out {
				lacks.add(w.Leaf, l.FullName+" cannot be judged")
			}
		}
	}
}

// onlyWhereStated tells whether the limit reads a count of the entries of which the
// figure is recorded.
func onlyWhereStated(l *limit.Compiled, figure *fact.Leaf) bool {
	for _, w := range l.Reads() {
		if c := w.Leaf.Calculation; c != nil && slices.ContainsFunc(c.Where, func(t fact.Test) bool {
			return t.Words[0] == fact.Recorded && t.Fact == "equipment."+figure.Inside()
		}) {
			return true
		}
	}
	return false
}

// ofOtherCurrent tells whether the figure is one of direct current and the product
// states only figures of alternating current, or the other way round: a device that is
// made for one of them has none of the other. Where such a device is used all the same,
// lint says that the limit is not checked.
func ofOtherCurrent(p *define.Revision, figure *fact.Leaf) bool {
	own, _, block := strings.Cut(figure.Inside(), ".")
	other := map[string]string{"dc": "ac", "ac": "dc"}[own]
	return block && other != "" && statesAny(p, other) && !statesAny(p, own)
}

func statesAny(p *define.Revision, block string) bool {
	return slices.ContainsFunc(p.Instance.Scope.Leaves, func(l *fact.Leaf) bool {
		return strings.HasPrefix(l.Inside(), block+".") && p.Instance.Get(l).State == fact.Known
	})
}
