package checks

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// Given is one value given by hand for a calculation: the key is a symbol of the
// formula, a fact, or its last parts.
type Given struct{ Key, Value string }

// Calculated is a measure that was calculated from values given by hand. Its parts
// belong to the library's calculator and are overwritten by the next calculation.
type Calculated struct {
	Measure  *fact.Leaf
	Result   *fact.Value
	Workings []*fact.Working // of the measure and of what went into it, inputs first
}

// NotCalculated says why a measure was not calculated: mistakes in what was given,
// what is missing, or, where nothing of that kind is the reason, the reason of the
// calculation itself.
type NotCalculated struct {
	Measure  *fact.Leaf
	Mistakes []string
	Missing  []string // facts that must be given, or what they are calculated from
	Needs    []Needed // all that may be given
	Reason   string
	Tried    *fact.Working // with the Reason: what went in
}

// Needed is one value that a calculation takes.
type Needed struct {
	*fact.Slot
	Key string // the shortest that names it
}

// Error says the first thing that is wrong; the rest stands in the fields.
func (n *NotCalculated) Error() string {
	switch {
	case len(n.Mistakes) > 0:
		return fmt.Sprintf("%s was not calculated: %s", n.Measure.Path, n.Mistakes[0])
	case n.Reason != "":
		return fmt.Sprintf("%s cannot be calculated: %s", n.Measure.Path, n.Reason)
	}
	return n.Measure.Path + " was not calculated, since values are missing"
}

// Measures lists what can be calculated, in the order of the definitions. A text
// leaves only those that have it in name, label, meaning or formula.
func (l *Library) Measures(text string) []*fact.Leaf {
	var out []*fact.Leaf
	text = strings.ToLower(text)
	for _, leaf := range l.Shape.Leaves {
		if c := leaf.Calculation; c != nil && strings.Contains(strings.ToLower(strings.Join([]string{leaf.Path, leaf.Label.In("en"), leaf.Meaning, c.Formula}, "\n")), text) {
			out = append(out, leaf)
		}
	}
	return out
}

// Helpers tells which calculated measures only go into others: no limit reads them.
func (l *Library) Helpers() map[*fact.Leaf]bool {
	out := map[*fact.Leaf]bool{}
	for _, m := range l.Measures("") {
		for _, from := range m.From() {
			out[from] = from.Calculation != nil
		}
	}
	for _, one := range l.Limits() {
		for _, way := range one.Reads() {
			delete(out, way.Leaf)
		}
	}
	return out
}

// Measure finds a calculated measure by its name or its last parts.
func (l *Library) Measure(name string) (*fact.Leaf, error) {
	leaf := l.Shape.Leaf(name)
	if leaf != nil && leaf.Calculation == nil {
		return nil, fmt.Errorf("%s is recorded, not calculated", name)
	}
	if leaf != nil {
		return leaf, nil
	}
	var found []*fact.Leaf
	var names, ends []string
	for _, m := range l.Measures("") {
		names, ends = append(names, m.Path), append(ends, m.Name())
		if endsWith(m.Path, name) {
			found = append(found, m)
		}
	}
	switch len(found) {
	case 0:
		near := nearest.Of(name, names)
		if len(near) == 0 {
			near = nearest.Of(name, ends)
		}
		return nil, fmt.Errorf("there is no calculated measure %q%s", name, nearest.Hint(near))
	case 1:
		return found[0], nil
	}
	var candidates []string
	for _, m := range found {
		candidates = append(candidates, m.Path)
	}
	return nil, fmt.Errorf("%q can be %s; write it in full", name, orList(candidates))
}

// Calculate calculates one measure from values given by hand, with the same
// functions as in a job. An error is of type *NotCalculated.
func (l *Library) Calculate(measure *fact.Leaf, given []Given) (*Calculated, error) {
	d := fact.NewDecoder(l.Shape, nothingElsewhere{}, quantity.Options{DecimalComma: l.Firm != nil && l.Firm.DecimalComma})
	slots := d.Inputs(measure)
	values, mistakes := assign(slots, given)
	t := d.Try(measure, values)
	out := &NotCalculated{Measure: measure, Mistakes: append(mistakes, t.Mistakes...)}
	for _, k := range t.Lacks {
		out.Mistakes = append(out.Mistakes, fmt.Sprintf("%s is needed and cannot be given here; give the value that it goes into", k.Of.AddressOf(k.Leaf)))
	}
	if len(out.Mistakes) == 0 && t.Value.State == fact.Known {
		return &Calculated{measure, t.Value, t.Workings}, nil
	}
	for _, s := range t.Slots {
		out.Needs = append(out.Needs, Needed{s, shortestKey(t.Slots, s)})
	}
	for _, together := range t.Missing {
		routes := make([]string, len(together))
		for i, s := range together {
			routes[i] = s.Route
		}
		out.Missing = append(out.Missing, orList(routes))
	}
	if len(out.Mistakes) == 0 && len(t.Missing) == 0 {
		out.Reason, out.Tried = t.Value.More.Reason, t.Value.More.Tried
	}
	return nil, out
}

// assign finds for every key the value that it names.
func assign(slots []*fact.Slot, given []Given) (values map[string][]string, mistakes []string) {
	values = map[string][]string{}
	for _, g := range given {
		s, err := find(slots, g.Key)
		if err != nil {
			if m := err.Error(); !slices.Contains(mistakes, m) {
				mistakes = append(mistakes, m)
			}
			continue
		}
		values[s.Route] = append(values[s.Route], g.Value)
	}
	return values, mistakes
}

// find finds the value that a key names. A fact in full comes before the end of
// another; what goes into the measure itself before what goes into its inputs; and
// of what goes in equally far, a symbol before the end of a fact.
func find(slots []*fact.Slot, key string) (*fact.Slot, error) {
	var found []*fact.Slot
	for _, s := range slots {
		if s.Route == key {
			return s, nil
		}
		if !names(s, key) {
			continue
		}
		switch {
		case len(found) == 0 || rank(s, key) < rank(found[0], key):
			found = []*fact.Slot{s}
		case rank(s, key) == rank(found[0], key):
			found = append(found, s)
		}
	}
	switch len(found) {
	case 0:
		return nil, fmt.Errorf("nothing called %q goes into it%s", key, nearest.Hint(near(slots, key)))
	case 1:
		return found[0], nil
	}
	var candidates []string
	for _, s := range found {
		candidates = append(candidates, s.Route)
	}
	return nil, fmt.Errorf("%q can be %s; write more of it", key, orList(candidates))
}

// rank is smaller for what a key means rather: by level, then symbols first.
func rank(s *fact.Slot, key string) int {
	if slices.Contains(s.Symbols, key) {
		return 2 * s.Level
	}
	return 2*s.Level + 1
}

// shortestKey is the shortest key that names a value: its symbol, else the end of its fact.
func shortestKey(slots []*fact.Slot, s *fact.Slot) string {
	parts := strings.Split(s.Route, ".")
	keys := slices.Clone(s.Symbols)
	for i := range parts {
		keys = append(keys, strings.Join(parts[len(parts)-1-i:], "."))
	}
	for _, k := range keys {
		if found, err := find(slots, k); err == nil && found == s {
			return k
		}
	}
	return s.Route
}

// names tells whether the key is a symbol of the value, its fact, or an end of it.
func names(s *fact.Slot, key string) bool {
	return slices.Contains(s.Symbols, key) || endsWith(s.Route, key) || s.Leaf != nil && endsWith(s.Leaf.Path, key)
}

// near lists keys that a misspelt one was probably meant to be.
func near(slots []*fact.Slot, key string) []string {
	var full, short []string
	for _, s := range slots {
		full = append(full, s.Route)
		short = append(append(short, s.Symbols...), s.Route[strings.LastIndexByte(s.Route, '.')+1:])
	}
	if out := nearest.Of(key, full); len(out) > 0 {
		return out
	}
	slices.Sort(short)
	short = slices.Compact(short)
	if out := nearest.Of(key, short); len(out) > 0 {
		return out
	}
	return slices.DeleteFunc(short, func(s string) bool { return !strings.HasPrefix(s, key) })
}

// endsWith tells whether a path ends in these parts.
func endsWith(path, parts string) bool {
	return parts != "" && (path == parts || strings.HasSuffix(path, "."+parts))
}

func orList(names []string) string { return strings.Join(names, " or ") }

// nothingElsewhere has no products and no registers: their figures are given.
type nothingElsewhere struct{}

var errNothingElsewhere = errors.New("figures of datasheets and registers are given directly")

// Product finds nothing.
func (nothingElsewhere) Product(_, _ string) (*fact.Instance, error) {
	return nil, errNothingElsewhere
}

// Registered finds nothing.
func (nothingElsewhere) Registered(_, _ string) (*fact.Instance, bool, error) {
	return nil, false, errNothingElsewhere
}
