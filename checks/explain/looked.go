package explain

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// looks lists, as sentences, what looks at a fact beside the limits that bound it
// or ask for it and the measures that are calculated from it.
func (b *Book) looks(l *fact.Leaf) []string {
	out := append(b.passedBy(l), ofLink(l)...)
	out = append(out, ofValue(l)...)
	out = append(out, b.forOthers(l)...)
	out = append(out, b.ofDate(l)...)
	if s := readBy()[l.Path]; s != "" {
		out = append(out, s)
	}
	return out
}

// passedBy says which limits go through a link: on their way to a fact, to the
// entries of a list, or to the product whose datasheet states them.
func (b *Book) passedBy(l *fact.Leaf) []string {
	if l.Type != fact.Link {
		return nil
	}
	along, reached := 0, 0 // of what is looked for, and of the product
	for _, m := range b.limits() {
		switch {
		case through(b.reach(m), l):
			reached++
		case slices.ContainsFunc(b.pathsOf(m), func(path string) bool { return through(b.hops(path), l) }), tiesList(m.When, m.Scope, l):
			along++
		}
	}
	var out []string
	switch {
	case l.Target.List.IsElsewhere():
	case reached > 0:
		out = append(out, sentence(counted(reached, "limit of a datasheet reaches this entry along it", "limits of datasheets reach this entry along it")))
	case leadsToProduct(l.Target):
		out = append(out, "Limits of the datasheet of what it names reach this entry along it.")
	}
	if along > 0 {
		out = append(out, sentence(counted(along, "limit finds a fact along it", "limits find facts along it")))
	}
	if n := b.sumsAlong(l); n > 0 {
		out = append(out, sentence(counted(n, "measure finds what it is calculated from along it", "measures find what they are calculated from along it")))
	}
	return out
}

func through(hops []hop, l *fact.Leaf) bool {
	return slices.ContainsFunc(hops, func(h hop) bool { return h.link == l })
}

// pathsOf lists the facts that a limit names: measure, bounds and conditions.
func (b *Book) pathsOf(m *limit.Compiled) []string {
	out := []string{m.Measure}
	var bound func(c limit.Constraint)
	bound = func(c limit.Constraint) {
		if c.Operand != nil && c.Operand.Fact != "" {
			out = append(out, c.Operand.Fact)
		}
		for _, a := range c.Args {
			bound(a)
		}
	}
	var asked func(all []limit.Condition)
	asked = func(all []limit.Condition) {
		for _, c := range all {
			if c.Fact != "" {
				out = append(out, c.Fact)
			}
			if c.Is != nil {
				bound(*c.Is)
			}
			asked(c.Of)
		}
	}
	bound(m.Within)
	if m.Printed != nil {
		bound(m.Printed.Within)
	}
	asked(m.When)
	return out
}

// tiesList tells whether a link says which entries of a list of some or every
// belong to what a limit is judged for.
func tiesList(all []limit.Condition, sc *fact.Scope, l *fact.Leaf) bool {
	return slices.ContainsFunc(all, func(c limit.Condition) bool {
		return c.List != "" && (l.Scope == sc && l.Field.Link == c.List || l.Target == sc && l.Scope.List.Name == c.List)
	})
}

// sumsAlong counts the measures whose inputs, or tests of what is added, lie
// behind a link. Those it ties itself are counted as calculated from it.
func (b *Book) sumsAlong(l *fact.Leaf) int {
	n := 0
	for _, m := range b.Shape.Leaves {
		c := m.Calculation
		if c == nil {
			continue
		}
		found := slices.ContainsFunc(c.Inputs, func(i fact.Input) bool { return through(b.hops(i.Fact), l) })
		for _, path := range b.testsOf(c) {
			found = found || through(b.hops(path), l)
		}
		if found {
			n++
		}
	}
	return n
}

// testsOf lists the facts that say which entries a sum adds, by full names.
func (b *Book) testsOf(c *fact.Calculation) []string {
	terms := c.Terms()
	var out []string
	for _, t := range terms {
		list := t.Fact
		if leaf := b.Shape.Leaf(t.Fact); leaf != nil {
			list = leaf.Scope.List.Name
		}
		for _, test := range c.Where {
			out = append(out, strings.TrimPrefix(list+"."+test.Fact, "."))
		}
	}
	return out
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] + "." }
