package review

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// replacements looks for names in `replaces` and `promotes` that stand twice, and
// for those that name no limit where the plans cannot tell: of equipment data
// they know the products only.
func replacements(s *Subject) []Remark {
	var out []Remark
	for _, set := range s.groups() {
		for i, name := range set.Promotes {
			at := s.item(set.PromotesAt, i, "promotes")
			out = append(out, s.named(at, set.Source.Name, "promotes", name, slices.Index(set.Promotes, name) < i)...)
		}
		for _, l := range set.Limits {
			for i, name := range l.Replaces {
				at := s.item(l.At, i, "replaces")
				out = append(out, s.named(at, l.FullName, "replaces", name, slices.Index(l.Replaces, name) < i)...)
			}
		}
	}
	return out
}

// named looks at one name in a list of names of limits.
func (s *Subject) named(at fact.Origin, of, verb, name string, again bool) []Remark {
	if again {
		return []Remark{{At: at, Code: verb + "-twice", Message: fmt.Sprintf("%s %s %s twice", of, verb, name), Mend: "remove one of the two"}}
	}
	product, ok := strings.CutPrefix(name, "equipment/")
	if !ok || s.find(name) != nil {
		return nil
	}
	product, _, _ = strings.Cut(product, "#")
	key, _, _ := strings.Cut(product, "@")
	var near []string
	known := false
	for _, p := range s.Products {
		if k, _, _ := strings.Cut(p.Name, "@"); k == key {
			known = true
		}
		for _, l := range p.Set.Limits {
			near = append(near, l.FullName)
		}
	}
	if !known || s.broken(key) {
		return nil // a plan said so, or the limit may be among what is broken
	}
	return []Remark{{At: at, Code: verb + "-nothing", Message: fmt.Sprintf("%s %s %q, which is no limit%s", of, verb, name, nearest.Hint(nearest.Of(name, near))), Mend: "name a limit that exists", Breaks: true}}
}

// broken tells whether anything of a product's file could not be read.
func (s *Subject) broken(key string) bool {
	return slices.ContainsFunc(s.Faults, func(f limit.Fault) bool { return strings.HasSuffix(f.At.File, "/"+key+".cue") })
}
