package review

import (
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/limit"
)

// Combination is rule sets and products that a job may use together.
type Combination struct{ RuleSets, Products []string }

// Together lists the combinations whose plans have to be made to find limits that
// contradict or replace each other: every rule set with each product, the rule
// sets that the map requires together, those that replace parts of each other,
// and those of one region, as far as they are no editions of one document. Those
// that always apply are part of every plan.
func Together(sets []*limit.Set, products []*define.Revision, required []define.Required) []Combination {
	var names []string
	for _, set := range sets {
		if !set.Source.Always {
			names = append(names, set.Source.Name)
		}
	}
	out := []Combination{{}}
	add := func(c Combination) { out = append(out, c) }
	for _, p := range products {
		add(Combination{nil, []string{p.Name}})
		for _, name := range names {
			add(Combination{[]string{name}, []string{p.Name}})
		}
	}
	for i, a := range names {
		add(Combination{RuleSets: []string{a}})
		for _, b := range names[i+1:] {
			if sameRegion(a, b) || requiredTogether(required, a, b) {
				add(Combination{RuleSets: []string{a, b}})
			}
		}
	}
	for _, set := range slices.Concat(sets, setsOf(products)) {
		if c := (Combination{}); c.follow(set, sets, products) {
			add(c)
		}
	}
	return out
}

func setsOf(products []*define.Revision) []*limit.Set {
	out := make([]*limit.Set, len(products))
	for i, p := range products {
		out[i] = p.Set
	}
	return out
}

// sameRegion tells whether two rule sets are different documents of one region,
// by the first part of their names.
func sameRegion(a, b string) bool {
	x, _, ok := strings.Cut(a, "/")
	y, _, ok2 := strings.Cut(b, "/")
	return ok && ok2 && x == y && documentOf(a) != documentOf(b)
}

// requiredTogether tells whether the map can ask for both in one job: regions of
// which one lies in the other, an occupancy in common, and days in common. Two
// editions of one document are reported as that.
func requiredTogether(all []define.Required, a, b string) bool {
	if documentOf(a) == documentOf(b) {
		return false
	}
	for i := range all {
		for k := range all {
			x, y := &all[i], &all[k]
			if slices.Contains(x.RuleSets, a) && slices.Contains(y.RuleSets, b) && (x.Covers(y.Region) || y.Covers(x.Region)) && shareOccupancy(x, y) && shareDays(x, y) {
				return true
			}
		}
	}
	return false
}

func shareOccupancy(x, y *define.Required) bool {
	return len(x.Occupancies) == 0 || len(y.Occupancies) == 0 || slices.ContainsFunc(x.Occupancies, y.For)
}

func shareDays(x, y *define.Required) bool {
	return x.InForce(y.From) || y.InForce(x.From)
}

// follow adds a set and, one after the other, the sets of what it replaces; false
// where it replaces nothing elsewhere.
func (c *Combination) follow(set *limit.Set, sets []*limit.Set, products []*define.Revision) bool {
	name := set.Source.Name
	product, isProduct := strings.CutPrefix(name, "equipment/")
	if slices.Contains(c.RuleSets, name) || slices.Contains(c.Products, product) {
		return false
	}
	if isProduct {
		c.Products = append(c.Products, product)
	} else {
		c.RuleSets = append(c.RuleSets, name)
	}
	further := false
	for _, l := range set.Limits {
		for _, full := range l.Replaces {
			of, _, _ := strings.Cut(full, "#")
			for _, other := range slices.Concat(sets, setsOf(products)) {
				if other.Source.Name == of && other != set {
					c.follow(other, sets, products)
					further = true
				}
			}
		}
	}
	return further
}
