package review

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/nearest"
)

// compatible looks, in equipment data, for products that a product is said to
// work with and that the firm has no data for. A field compatible_KINDs names
// products of a kind, pinned to a revision or not.
func compatible(s *Subject) []Remark {
	var out []Remark
	for _, p := range s.Products {
		for _, l := range p.Instance.Scope.Leaves {
			kind := strings.TrimSuffix(strings.TrimPrefix(l.Inside(), "compatible_"), "s")
			v := p.Instance.Get(l)
			if !strings.HasPrefix(l.Inside(), "compatible_") || !l.Many || v.State != fact.Known || s.Shape.Scope("equipment."+kind) == nil {
				continue
			}
			for i := range v.More.List {
				if one := &v.More.List[i]; one.State == fact.Known && !s.hasProduct(kind, one.Text) {
					out = append(out, s.tellUnknown(p, l, one, kind))
				}
			}
		}
	}
	return out
}

// hasProduct tells whether there is data for a product of a kind, named with or
// without its revision. What could not be read is reported by itself.
func (s *Subject) hasProduct(kind, name string) bool {
	key, _, pinned := strings.Cut(name, "@")
	return s.broken(key) || slices.ContainsFunc(s.Products, func(o *define.Revision) bool {
		return o.Kind == kind && (o.Name == name || !pinned && strings.HasPrefix(o.Name, name+"@"))
	})
}

func (s *Subject) tellUnknown(p *define.Revision, l *fact.Leaf, one *fact.Value, kind string) Remark {
	var names []string
	for _, o := range s.Products {
		key, _, _ := strings.Cut(o.Name, "@")
		for _, name := range []string{key, o.Name} {
			if o.Kind == kind && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return Remark{At: itemAt(s, p, l, one), Code: "compatible-unknown",
		Message: fmt.Sprintf("%s: %s names %q, but there is no data of the kind %s%s", p.Name, l.Inside(), one.Text, kind, nearest.Hint(nearest.Of(one.Text, names))),
		Mend:    "correct the name, add its equipment data, or leave out what you never use"}
}
