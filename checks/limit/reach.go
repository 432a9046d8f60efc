package limit

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
)

// reach leads from an entry to the products used there.
type reach struct {
	hops []*fact.Leaf // links, the last one names the product
}

// findReach finds the one chain of links from a list to the products of a kind.
func findReach(c *fact.Compiled, sc *fact.Scope, product string) (*reach, error) {
	target := c.Scope("equipment." + product)
	if target == nil {
		return nil, fmt.Errorf("there is no kind of equipment %q", product)
	}
	type step struct {
		scope *fact.Scope
		hops  []*fact.Leaf
	}
	var found [][]*fact.Leaf
	seen := map[*fact.Scope]bool{}
	for level := []step{{sc, nil}}; len(level) > 0 && len(found) == 0; {
		var next []step
		for _, s := range level {
			seen[s.scope] = true
			for _, l := range linksFrom(s.scope) {
				hops := append(slices.Clone(s.hops), l)
				if l.Target == target {
					found = append(found, hops)
				} else if !seen[l.Target] && !l.Target.List.IsElsewhere() {
					next = append(next, step{l.Target, hops})
				}
			}
		}
		level = next
	}
	switch len(found) {
	case 0:
		return nil, fmt.Errorf("%s is not tied to equipment of kind %s by any link", describe(sc), product)
	case 1:
		return &reach{found[0]}, nil
	}
	return nil, fmt.Errorf("%s is tied to equipment of kind %s by several links; the limit would be ambiguous", describe(sc), product)
}

// linksFrom lists the links of a list and of the lists it stands in.
func linksFrom(sc *fact.Scope) []*fact.Leaf {
	var out []*fact.Leaf
	for ; sc != nil; sc = sc.Parent {
		for _, l := range sc.Leaves {
			if l.Type == fact.Link {
				out = append(out, l)
			}
		}
	}
	return out
}

func describe(sc *fact.Scope) string {
	if sc.List.Name == "" {
		return "the job itself"
	}
	return sc.List.Name
}

// holds tells whether an entry uses the product of that source name.
func (r *reach) holds(in *fact.Instance, source string) (Truth, []fact.Lack) {
	var room [2][4]*fact.Instance // for the common case of few entries
	level := append(room[0][:0], in)
	out := No
	var lacks []fact.Lack
	for i, hop := range r.hops {
		next := room[1-i%2][:0] // level stands in the other one
		for _, at := range level {
			for at.Scope != hop.Scope {
				at = at.Parent
			}
			v := at.Get(hop)
			if namesAnother(v, source) || at.BelongsElsewhere(hop) || leftOpen(v, hop) {
				continue
			}
			if v.State != fact.Known {
				out, lacks = Unknown, append(lacks, fact.Lack{Of: at, Leaf: hop})
				continue
			}
			if !hop.Many {
				next = append(next, v.Target)
				continue
			}
			for n := range v.More.List {
				next = append(next, v.More.List[n].Target)
			}
		}
		level = next
	}
	for _, product := range level {
		if strings.TrimPrefix(source, "equipment/") == product.Key {
			return Yes, nil
		}
	}
	return out, lacks
}

// leftOpen tells whether the product is one that nobody has to name, and nothing is
// written: then no datasheet is claimed for the entry, and none is held against it.
func leftOpen(v *fact.Value, hop *fact.Leaf) bool {
	return v.State == fact.Absent && v.Text == "" && hop.Target.List.IsEquipment() && hop.Due.At == fact.Never
}

// namesAnother tells whether a link that leads nowhere surely means another
// product than the source's: unpinned, one with another name; pinned, but without
// data, one with another name or revision. (That nothing of such a product was
// checked is reported by itself.)
func namesAnother(v *fact.Value, source string) bool {
	if v.Text == "" {
		return false
	}
	product := strings.TrimPrefix(source, "equipment/")
	return v.State == fact.Absent && !strings.HasPrefix(product, v.Text+"@") || v.State == fact.Unreadable && product != v.Text
}
