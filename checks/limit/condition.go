package limit

import (
	"fmt"

	"witnessmark.example/checks/fact"
)

// condition is a Condition with its names resolved.
type condition struct {
	way   fact.Way
	is    predicate
	every bool
	list  *fact.Scope // of a quantifier
	tie   *fact.Leaf  // the link between the entries and the entry it is seen from; nil for all of the job
	of    []condition
}

// compileConditions resolves the parts of a `when`. Inside a quantifier every
// fact must belong to the quantified list (or lie along a link from it).
func compileConditions(c *fact.Compiled, cs []Condition, inside *fact.Scope) ([]condition, error) {
	out := make([]condition, 0, len(cs))
	for _, part := range cs {
		one, err := compileCondition(c, part, inside)
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return out, nil
}

func compileCondition(c *fact.Compiled, part Condition, inside *fact.Scope) (condition, error) {
	switch part.Quantifier {
	case "some", "every":
		list := c.Scope(part.List)
		if list == nil || list == c.Root || list.List.IsRegister() {
			return condition{}, fmt.Errorf("%s: there is no list %q", part.Quantifier, part.List)
		}
		of, err := compileConditions(c, part.Of, list)
		if err == nil && len(of) == 0 {
			err = fmt.Errorf("%s %s: nothing is asked of the entries", part.Quantifier, part.List)
		}
		return condition{every: part.Quantifier == "every", list: list, of: of}, err
	case "":
	default:
		return condition{}, fmt.Errorf("%q is no quantifier; use some or every", part.Quantifier)
	}
	w, err := c.Way(part.Fact)
	if err != nil {
		return condition{}, err
	}
	if inside != nil && w.Start != inside {
		return condition{}, fmt.Errorf("%s does not belong to %s", part.Fact, inside.List.Name)
	}
	if part.Is == nil {
		return condition{}, fmt.Errorf("%s: nothing is asked of it", part.Fact)
	}
	is, err := compilePredicate(c, *part.Is, w.Leaf, w.Leaf.Of)
	return condition{way: w, is: is}, err
}

// holds tells whether the condition is met, seen from an entry. A part known to
// be false beats one that is not known.
func (k *condition) holds(facts *fact.Facts, in *fact.Instance) (Truth, []fact.Lack) {
	if k.list != nil && k.list.List.IsEquipment() {
		return k.ofProduct(facts, in)
	} else if k.list != nil {
		return k.quantified(facts, in)
	}
	v, of, leaf, broken := k.way.Value(in)
	if broken && of.BelongsElsewhere(leaf) {
		return No, nil // asked of something the entry does not belong to
	}
	if v == nil || broken || v.State != fact.Known {
		return Unknown, fact.LacksOf(v, of, leaf)
	}
	verdict := k.is.evaluate(v, v.Quantity, in) // a list of words meets it when one of them does, where nothing else is said
	return verdict.Holds, verdict.Lacks
}

// quantified judges some or every entry of a list: the entries below the entry
// it is seen from where there are such, else all of the job. Some of none is
// false, every of none is true.
func (k *condition) quantified(facts *fact.Facts, in *fact.Instance) (Truth, []fact.Lack) {
	decisive, out := Yes, No
	if k.every {
		decisive, out = No, Yes
	}
	var lacks []fact.Lack
	for _, m := range facts.Entries[k.list.ID] {
		switch belongs, lack := k.belongs(m, in); {
		case lack != nil:
			out, lacks = join(out, Unknown, decisive), append(lacks, *lack)
			continue
		case !belongs:
			continue
		}
		one, missing := all(k.of, facts, m)
		out = join(out, one, decisive)
		lacks = append(lacks, missing...)
	}
	if out != Unknown {
		lacks = nil
	}
	return out, lacks
}

// ofProduct judges the datasheet of the one product that an entry names. An entry
// that need not name any, and names none, meets some of nothing.
func (k *condition) ofProduct(facts *fact.Facts, in *fact.Instance) (Truth, []fact.Lack) {
	v := in.Get(k.tie)
	switch {
	case v.State == fact.Absent && (k.tie.Due.At == fact.Never || in.BelongsElsewhere(k.tie)):
		return truth(k.every), nil
	case v.State != fact.Known || v.Target == nil:
		return Unknown, []fact.Lack{{Of: in, Leaf: k.tie}}
	}
	return all(k.of, facts, v.Target)
}

// findTie looks for the link that ties the entries of a quantified list to the
// list a limit is judged for: a unit's own stacks, not those of another unit.
func (k *condition) findTie(scope *fact.Scope) error {
	var ties []*fact.Leaf
	for _, l := range append(append([]*fact.Leaf(nil), scope.Leaves...), k.list.Leaves...) {
		if l.Type == fact.Link && (l.Scope == scope && l.Target == k.list || l.Scope == k.list && l.Target == scope) {
			ties = append(ties, l)
		}
	}
	switch {
	case len(ties) == 0 && k.list.List.IsEquipment():
		return fmt.Errorf("some and every: no entry of %s names a product of %s", scope.List.Name, k.list.List.Name)
	case scope == k.list || len(ties) == 0:
	case len(ties) == 1:
		k.tie = ties[0]
	default:
		return fmt.Errorf("some and every: %s and %s are tied by several links; which one is meant is not clear", scope.List.Name, k.list.List.Name)
	}
	return nil
}

// belongs tells whether an entry is looked at from another one.
func (k *condition) belongs(m, in *fact.Instance) (bool, *fact.Lack) {
	if k.tie == nil {
		return standsIn(m, in), nil
	}
	from, to := in, m
	if k.tie.Scope == k.list {
		from, to = m, in
	}
	v := from.Get(k.tie)
	if v.State == fact.Absent && (k.tie.Due.At == fact.Never || from.BelongsElsewhere(k.tie)) {
		return false, nil // a link that nobody has to write ties nothing where it is not written
	}
	if v.State != fact.Known {
		return false, &fact.Lack{Of: from, Leaf: k.tie}
	}
	if !k.tie.Many {
		return v.Target == to, nil
	}
	for i := range v.More.List {
		if v.More.List[i].Target == to {
			return true, nil
		}
	}
	return false, nil
}

// standsIn tells whether m is to be looked at from in: it stands in the same
// entry of every list that contains both.
func standsIn(m, in *fact.Instance) bool {
	for up := in; up != nil; up = up.Parent {
		for mup := m; mup != nil; mup = mup.Parent {
			if mup.Scope == up.Scope && mup != up && mup != m {
				return false
			}
		}
	}
	return true
}

// all judges a conjunction of conditions.
func all(cs []condition, facts *fact.Facts, in *fact.Instance) (Truth, []fact.Lack) {
	out := Yes
	var lacks []fact.Lack
	for i := range cs {
		one, missing := cs[i].holds(facts, in)
		if one == No {
			return No, nil
		}
		out = join(out, one, No)
		lacks = append(lacks, missing...)
	}
	return out, lacks
}
