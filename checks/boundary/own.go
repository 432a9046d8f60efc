package boundary

import (
	"fmt"
	"maps"
	"math/big"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// Own is what a firm has defined around a limit of its own. The zero value is for
// a limit that ships.
type Own struct {
	Files   map[string]string         // names from the root file, and texts
	Product *fact.Instance            // whose datasheet states the limit; nil for a limit of a rule set
	Bands   map[*fact.Leaf]limit.Band // of the policy, where Files has it
}

// use makes an entry use a product of the firm, along the shortest chain of links
// to its kind. The figures of the product are given: nothing can be added to them.
func (w *world) use(e *entry, p *fact.Instance) error {
	hops := chain(e.scope, p.Scope)
	if hops == nil {
		return fmt.Errorf("no links lead from %q to %s", e.scope.List.Name, p.Scope.List.Name)
	}
	for _, hop := range hops {
		for e.scope != hop.Scope {
			e = e.parent
		}
		if hop.Target != p.Scope {
			e = w.linked(e, hop)
			continue
		}
		product := w.entry(p.Scope, nil)
		product.key, product.pinned = p.Key, true
		for _, l := range p.Scope.Leaves {
			if text := stated(p.Get(l), l); text != "" {
				product.text[l] = text
			}
		}
		w.link(e, hop, product)
	}
	return nil
}

// stated gives a figure of a product as its data states it, empty where it does not.
func stated(v *fact.Value, l *fact.Leaf) string {
	switch {
	case v.State != fact.Known || l.Calculation != nil:
		return ""
	case l.Type == fact.Truth:
		return fmt.Sprint(v.Truth)
	case v.Written != "":
		return v.Written
	}
	return v.Text
}

// chain finds the shortest chain of links from a list, or a list that it stands
// in, to a kind of equipment; nil where there is none.
func chain(from, to *fact.Scope) []*fact.Leaf {
	chains := [][]*fact.Leaf{nil}
	for seen := map[*fact.Scope]bool{}; len(chains) > 0; chains = chains[1:] {
		sc := from
		if n := len(chains[0]); n > 0 {
			sc = chains[0][n-1].Target
		}
		for ; sc != nil && !seen[sc]; sc = sc.Parent {
			seen[sc] = true
			for _, l := range sc.Leaves {
				longer := append(slices.Clone(chains[0]), l)
				switch {
				case l.Type != fact.Link:
				case l.Target == to:
					return longer
				case !l.Target.List.IsElsewhere():
					chains = append(chains, longer)
				}
			}
		}
	}
	return nil
}

// bandOf returns the band that the policy gives to plain values of the limit's
// measure, nil for none, and whether it is a share of the value. Bands are for
// sources with the guarded decision, and for what is neither counted nor
// calculated.
func (m *Maker) bandOf(l *limit.Compiled) (size *big.Rat, share bool) {
	leaf := l.Way.Leaf
	b, ok := m.own.Bands[leaf]
	if !ok || l.Source.Decision != limit.Guarded || leaf.Type != fact.Quantity || leaf.Calculation != nil {
		return nil, false
	}
	s, err := scaleOf(b.Of.Unit())
	if err != nil {
		return nil, false
	}
	return s.base(b.Of.Number().Rat()), b.Of.Unit().Kind() == quantity.Ratio && leaf.Of.Kind() != quantity.Ratio
}

// band returns how far the true value may lie from a plain one, nil for no band.
func (m *Maker) band(l *limit.Compiled, x *big.Rat) *big.Rat {
	size, share := m.bandOf(l)
	if share {
		size.Mul(size, new(big.Rat).Abs(x))
	}
	return size
}

// edges adds to the bounds those values whose band just touches one.
func (m *Maker) edges(l *limit.Compiled, bounds []*big.Rat) []*big.Rat {
	size, share := m.bandOf(l)
	if size == nil {
		return bounds
	}
	out := slices.Clone(bounds)
	for _, b := range bounds {
		low, high := new(big.Rat).Sub(b, size), new(big.Rat).Add(b, size)
		if one := big.NewRat(1, 1); share {
			low.Quo(b, new(big.Rat).Add(one, size))
			high.Quo(b, new(big.Rat).Sub(one, size))
		}
		out = append(out, low, high)
	}
	return out
}

// dated repeats a case that is judged with the job's date on the day before the
// limit comes into force, and on the day after its last.
func (m *Maker) dated(p *Probe, l *limit.Compiled) error {
	days := map[string]bool{}
	if l.From != fact.NoDay {
		days[(l.From - 1).String()] = true
	}
	if l.Until != fact.NoDay {
		days[(l.Until + 1).String()] = true
	}
	for _, day := range slices.Sorted(maps.Keys(days)) {
		u := l.Way.Leaf.Of
		_, r, err := m.job(l, u, nil)
		if err != nil {
			return err
		}
		bound := r.bounds(nil)[0]
		values, err := around(bound, u)
		if err != nil {
			return err
		}
		j, _, err := m.job(l, u, &values[0])
		if err != nil {
			return err
		}
		j.root.text[j.shape.Leaf("dates."+l.Selects.String())] = day
		p.add(Case{Written: values[0].text, Unit: u, Side: values[0].side, Bound: bound, Across: l.Across(), Dated: true,
			Fact: j.measure.entry.address(j.measure.leaf), Expect: judge.NotApplicable}, j)
	}
	return nil
}
