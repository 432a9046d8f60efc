package fact

import (
	"errors"
	"fmt"
	"slices"

	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// run is a Calculation made ready: ways instead of names.
type run struct {
	function *quantity.Function
	inputs   []runInput
	fold     fold
	terms    []runTerm
	where    []runTest
}

// fold is how the values of several entries become one.
type fold uint8

const (
	total    fold = iota // added up
	number               // the entries are counted
	least                // the smallest
	greatest             // the largest
	distinct             // different words or texts are counted
	span                 // days from the first date to the last
)

func foldOf(c *Calculation) fold {
	switch {
	case c.Count != nil:
		return number
	case len(c.Least) > 0:
		return least
	case len(c.Greatest) > 0:
		return greatest
	case c.Distinct != nil:
		return distinct
	case c.Span != nil:
		return span
	}
	return total
}

type runInput struct {
	symbol string
	way    Way
}

// Over lists the facts that a measure over entries is taken over; none for other
// leaves, and for entries that are counted.
func (l *Leaf) Over() []*Leaf {
	var out []*Leaf
	if l.run != nil {
		for i := range l.run.terms {
			if t := &l.run.terms[i]; t.leaf != nil {
				out = append(out, t.leaf)
			}
		}
	}
	return out
}

// From lists the measures and facts that a calculated measure is worked out
// from, each as often as it is named.
func (l *Leaf) From() []*Leaf {
	out := l.Over()
	if l.run != nil {
		for i := range l.run.inputs {
			out = append(out, l.run.inputs[i].way.Leaf)
		}
	}
	return out
}

// runTerm adds up a leaf of the entries of scope. The entries are all of the
// job (link nil), those that link from the sum's entry names, or those whose
// link, or that of the entry they stand in (above), names the sum's entry (toHere).
type runTerm struct {
	scope  *Scope
	leaf   *Leaf // nil when entries are counted
	link   *Leaf
	toHere bool
	above  bool
}

type runTest struct {
	path  string
	words []string
	ways  map[*Scope]Way
}

// compileCalculations resolves names to ways and functions and orders the
// calculated leaves so that inputs come first.
func (c *Compiled) compileCalculations(functions []quantity.Function) error {
	known := map[string]*quantity.Function{}
	names := make([]string, len(functions))
	for i := range functions {
		known[functions[i].Name], names[i] = &functions[i], functions[i].Name
	}
	for _, l := range c.Leaves {
		if l.Calculation == nil {
			continue
		}
		r, err := c.compileRun(l, known, names)
		if err != nil {
			return fmt.Errorf("%s: measure %s: %w", l.At, l.Path, err)
		}
		l.run = r
	}
	state := map[*Leaf]int{}
	for _, l := range c.Leaves {
		if err := c.visit(l, state); err != nil {
			return err
		}
	}
	return nil
}

func (c *Compiled) compileRun(l *Leaf, known map[string]*quantity.Function, names []string) (*run, error) {
	calc, r := l.Calculation, &run{}
	switch {
	case calc.Function != "":
		r.function = known[calc.Function]
		if r.function == nil {
			return nil, fmt.Errorf("there is no function %q%s", calc.Function, nearest.Hint(nearest.Of(calc.Function, names)))
		}
		return r, c.compileInputs(l, r)
	case calc.Ways() == 0:
		return nil, errors.New("it names neither a function nor what is taken over several entries")
	}
	r.fold = foldOf(calc)
	for _, t := range calc.Terms() {
		if err := c.compileTerm(l, r, t); err != nil {
			return nil, err
		}
	}
	return r, c.compileWhere(calc, r)
}

func (c *Compiled) compileInputs(l *Leaf, r *run) error {
	f := r.function
	if len(f.Parameters) != len(l.Calculation.Inputs) {
		return fmt.Errorf("%s takes %d inputs, not %d", f.Name, len(f.Parameters), len(l.Calculation.Inputs))
	}
	if f.Result != l.Of.Kind() {
		return fmt.Errorf("%s gives a %s, which %q is no unit of", f.Name, f.Result, l.Unit)
	}
	for i, in := range l.Calculation.Inputs {
		w, err := c.Way(in.Fact)
		if err != nil {
			return fmt.Errorf("input %s: %w", in.Symbol, err)
		}
		if !w.Covers(l.Scope) {
			return fmt.Errorf("input %s: %s cannot be reached from %s", in.Symbol, in.Fact, l.Path)
		}
		if want := f.Parameters[i].Kind; want != w.Leaf.Of.Kind() || (want == quantity.None) != (w.Leaf.Type == Word || w.Leaf.Type == Truth) {
			return fmt.Errorf("input %s: %s is a %s, but %s takes a %s there", in.Symbol, in.Fact, kindOf(w.Leaf), f.Name, nameKind(want))
		}
		r.inputs = append(r.inputs, runInput{in.Symbol, w})
	}
	return nil
}

func nameKind(k quantity.Kind) string {
	if k == quantity.None {
		return "word"
	}
	return k.String()
}

func kindOf(l *Leaf) string {
	if l.Of.Kind() != quantity.None {
		return l.Of.Kind().String()
	}
	return l.Type.String()
}

func (c *Compiled) compileTerm(l *Leaf, r *run, t Term) error {
	term := runTerm{}
	if r.fold == number {
		if term.scope = c.byName[t.Fact]; term.scope == nil {
			return fmt.Errorf("there is no list %q to count", t.Fact)
		}
	} else {
		term.leaf = c.byPath[t.Fact]
		if term.leaf == nil {
			return c.unknownPath(t.Fact)
		}
		if err := r.fits(term.leaf, l); err != nil {
			return err
		}
		term.scope = term.leaf.Scope
	}
	if t.Over != "" {
		term.link = c.byPath[t.Over]
		switch {
		case term.link == nil || term.link.Type != Link:
			return fmt.Errorf("%q is no link", t.Over)
		case term.link.Scope == l.Scope && term.link.Target == term.scope:
		case term.link.Scope == term.scope && term.link.Target == l.Scope:
			term.toHere = true
		case term.link.Scope == term.scope.Parent && term.link.Target == l.Scope:
			term.toHere, term.above = true, true
		default:
			return fmt.Errorf("%q does not tie %s to %s", t.Over, term.scope.List.Name, l.Path)
		}
	} else if l.Scope != c.Root && term.scope.Parent != l.Scope {
		return fmt.Errorf("%s needs the link that ties %s to it", l.Path, t.Fact)
	}
	r.terms = append(r.terms, term)
	return nil
}

// fits tells what keeps the leaf of an entry from going into the measure.
func (r *run) fits(of, l *Leaf) error {
	switch {
	case r.fold == distinct && of.Type != Word && of.Type != Text && of.Type != Link:
		return fmt.Errorf("%s is a %s: only words, texts and links are told apart", of.Path, kindOf(of))
	case r.fold == span && (of.Type != Date || l.Type != Count):
		return fmt.Errorf("%s is a %s: a span lies between dates and is counted in calendar days", of.Path, kindOf(of))
	case r.fold != distinct && r.fold != span && of.Of.Kind() != l.Of.Kind():
		return fmt.Errorf("%s is a %s and cannot go into %s, a %s", of.Path, kindOf(of), l.Path, kindOf(l))
	}
	return nil
}

func (c *Compiled) compileWhere(calc *Calculation, r *run) error {
	for _, t := range calc.Where {
		test := runTest{path: t.Fact, words: t.Words, ways: map[*Scope]Way{}}
		for _, term := range r.terms {
			w, err := c.From(term.scope, t.Fact)
			if err != nil {
				return fmt.Errorf("where: %w", err)
			}
			for _, word := range t.Words {
				if !takes(w.Leaf, word) {
					return fmt.Errorf("where: %s is never %q%s", t.Fact, word, nearest.Hint(nearest.Of(word, w.Leaf.Words)))
				}
			}
			test.ways[term.scope] = w
		}
		r.where = append(r.where, test)
	}
	return nil
}

// What stands among the words of a condition for no word of the fact. NotRecorded: an
// entry of which nobody recorded the fact counts as well. Recorded: such an entry does
// not count; alone it lets in whatever is recorded.
const (
	NotRecorded = "not recorded"
	Recorded    = "recorded"
)

// takes tells whether the fact can be the word of a condition.
func takes(l *Leaf, word string) bool {
	if word == NotRecorded || word == Recorded {
		return true
	}
	if l.Type == Truth {
		return word == quantity.Yes || word == quantity.No
	}
	return l.Type == Word && slices.Contains(l.Words, word)
}

// visit puts the leaf into the order of calculation after all it needs, and
// makes it due when its latest input is.
func (c *Compiled) visit(l *Leaf, state map[*Leaf]int) error {
	if l.run == nil || state[l] == 2 {
		return nil
	}
	if state[l] == 1 {
		return fmt.Errorf("%s: measure %s is calculated from itself", l.At, l.Path)
	}
	state[l] = 1
	for _, need := range l.run.needs() {
		if err := c.visit(need, state); err != nil {
			return err
		}
		l.DueAt = l.DueAt.Later(need.DueAt)
		l.DueOnSite = l.DueOnSite.Later(need.DueOnSite)
	}
	state[l] = 2
	c.order = append(c.order, l)
	return nil
}

// needs lists the leaves the calculation reads.
func (r *run) needs() []*Leaf {
	var out []*Leaf
	for _, in := range r.inputs {
		out = append(out, in.way.leaves()...)
	}
	for _, t := range r.terms {
		if t.leaf != nil {
			out = append(out, t.leaf)
		}
		if t.link != nil {
			out = append(out, t.link)
		}
	}
	for _, t := range r.where {
		for _, w := range t.ways {
			out = append(out, w.leaves()...)
		}
	}
	return out
}

// leaves lists the links and the leaf a way reads.
func (w *Way) leaves() []*Leaf {
	var out []*Leaf
	for _, h := range w.hops {
		out = append(out, h.link)
	}
	return append(out, w.Leaf)
}
