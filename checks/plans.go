package checks

import (
	"slices"
	"sort"
	"strings"
	"sync"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// book holds every compiled rule set and the plans made of them so far. It is
// safe for concurrent use.
type book struct {
	shape    *fact.Compiled
	products *define.Products
	sets     map[string]*limit.Set
	names    []string
	always   []*limit.Set
	faults   []limit.Fault

	mu    sync.Mutex
	plans map[string]*limit.Plan
	found []limit.Fault // by plans
}

// newBook holds the rule sets that ship with the tool, and compiles those of a firm.
func newBook(shape *fact.Compiled, own []compiledSet, firm *define.Firm) *book {
	b := &book{shape: shape, products: firm.Products, sets: map[string]*limit.Set{}, plans: map[string]*limit.Plan{}}
	for i := range own {
		b.add(own[i])
	}
	for i := range firm.RuleSets {
		set, faults := limit.CompileSet(shape, &firm.RuleSets[i])
		b.add(compiledSet{set, faults})
	}
	sort.Strings(b.names)
	for _, n := range b.names {
		if b.sets[n].Source.Always {
			b.always = append(b.always, b.sets[n])
		}
	}
	b.checkTogether()
	return b
}

func (b *book) add(one compiledSet) {
	name := one.set.Source.Name
	if first := b.sets[name]; first != nil {
		b.faults = append(b.faults, limit.Fault{At: one.set.Source.At, Code: "rule-set-twice",
			Message: "the rule set " + name + " is also defined at " + first.Source.At.String(), Mend: "give each rule set a name of its own"})
		return
	}
	b.sets[name], b.names = one.set, append(b.names, name)
	b.faults = append(b.faults, one.faults...)
}

// checkTogether makes the plan of each rule set with those that always apply, so
// that contradictions are found before any job is judged.
func (b *book) checkTogether() {
	b.plan(nil, nil)
	for _, n := range b.names {
		if !b.sets[n].Source.Always {
			b.plan([]string{n}, nil)
		}
	}
}

// known tells whether a full limit name exists in any rule set or product.
func (b *book) known(full string) bool {
	source, name, _ := strings.Cut(full, "#")
	if product, ok := strings.CutPrefix(source, "equipment/"); ok {
		key, _, _ := strings.Cut(product, "@")
		return b.products.Has(key)
	}
	set := b.sets[source]
	return set != nil && slices.ContainsFunc(set.Limits, func(l *limit.Compiled) bool { return l.Name == name })
}

// source returns the source of a rule set, nil where there is none of that name.
func (b *book) source(name string) *limit.Source {
	if s := b.sets[name]; s != nil {
		return &s.Source
	}
	return nil
}

// unknown returns the nearest rule sets for a name that is none, and whether it
// is one.
func (b *book) unknown(name string) (near []string, bad bool) {
	if b.sets[name] != nil {
		return nil, false
	}
	return nearest.Of(name, b.names), true
}

// plan returns the plan for the rule sets a job names and the products it uses.
func (b *book) plan(ruleSets, products []string) *limit.Plan {
	ruleSets, products = slices.Clone(ruleSets), slices.Clone(products)
	sort.Strings(ruleSets)
	sort.Strings(products)
	ruleSets, products = slices.Compact(ruleSets), slices.Compact(products)
	key := strings.Join(ruleSets, " ") + "\n" + strings.Join(products, " ")
	b.mu.Lock()
	defer b.mu.Unlock()
	if p := b.plans[key]; p != nil {
		return p
	}
	sets := slices.Clone(b.always)
	for _, n := range ruleSets {
		if s := b.sets[n]; s != nil && !s.Source.Always {
			sets = append(sets, s)
		}
	}
	for _, n := range products {
		if s := b.products.Set(n); s != nil {
			sets = append(sets, s)
		}
	}
	p, faults := limit.NewPlan(b.shape, sets, b.known)
	b.plans[key] = p
	b.found = append(b.found, faults...)
	return p
}

// allFaults lists every mistake in definitions found so far, once each, sorted.
func (b *book) allFaults(firm *define.Firm) []limit.Fault {
	b.mu.Lock()
	defer b.mu.Unlock()
	all := slices.Concat(firm.Faults, b.products.Faults(), b.faults, b.found)
	sort.SliceStable(all, func(i, j int) bool {
		x, y := &all[i], &all[j]
		if x.At != y.At {
			return x.At.File < y.At.File || x.At.File == y.At.File && x.At.Line < y.At.Line
		}
		return x.Message < y.Message
	})
	return slices.CompactFunc(all, func(x, y limit.Fault) bool { return x == y })
}

// used lists the limits and sources of every plan that was made for a job.
func (b *book) used(plans map[*limit.Plan]bool) (limits []*limit.Planned, sources []*limit.Source) {
	seen, from := map[string]bool{}, map[string]bool{}
	for p := range plans {
		for _, group := range append(slices.Clone(p.ByScope), p.Across) {
			for _, l := range group {
				if !seen[l.FullName] {
					seen[l.FullName] = true
					limits = append(limits, l)
				}
				if !from[l.Source.Name] {
					from[l.Source.Name] = true
					sources = append(sources, l.Source)
				}
			}
		}
	}
	sort.Slice(limits, func(i, j int) bool { return limits[i].FullName < limits[j].FullName })
	sort.Slice(sources, func(i, j int) bool { return sources[i].Name < sources[j].Name })
	return limits, sources
}
