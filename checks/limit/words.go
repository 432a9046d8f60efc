package limit

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
)

// wordsOf reads a bound that is a word or a list of words: the word must be that or
// one of them, or with != none of them. The fact may be one of the job or of a datasheet.
func (p *predicate) wordsOf(c *fact.Compiled, con Constraint, l *fact.Leaf) error {
	o := con.Operand
	w, err := c.Way(o.Fact)
	switch {
	case err != nil:
		return err
	case o.Times != "" || o.Plus != "" || con.Op != Equals && con.Op != Differs:
		return fmt.Errorf("%s is a %s; of a list of words it can only be one (within: facts.f) or none (!=facts.f)", l.Path, l.Type)
	case w.Leaf.Type != fact.Word && w.Leaf.Type != fact.Text:
		return fmt.Errorf("%s is no word and no list of words, and %s can only be such a word", o.Fact, l.Path)
	case len(l.Words) > 0 && len(w.Leaf.Words) > 0 && !slices.ContainsFunc(l.Words, func(word string) bool { return slices.Contains(w.Leaf.Words, word) }):
		return fmt.Errorf("no word of %s is one that %s can have", o.Fact, l.Path)
	}
	p.way = &w
	return nil
}

// compileList reads a constraint on a list of words. What is written without
// brackets has to be met by one of the words, by itself.
func compileList(c *fact.Compiled, con Constraint, l *fact.Leaf) (predicate, error) {
	p := predicate{op: con.Op, leaf: l, what: l.Type}
	var inside func(Constraint) (predicate, error)
	args := con.Args
	switch {
	case con.Op == Some || con.Op == Every:
		if len(args) != 1 {
			return p, fmt.Errorf("nothing is asked of the words of %s", l.Path)
		}
		if con.Op == Some && args[0].negates() {
			return p, anotherWord(l)
		}
		inside = func(a Constraint) (predicate, error) { return compileSingle(c, a, l, l.Of) }
	case con.Brackets():
		inside = func(a Constraint) (predicate, error) { return compileList(c, a, l) }
	case con.negates():
		return p, anotherWord(l)
	default:
		p.op, args = Some, []Constraint{con}
		inside = func(a Constraint) (predicate, error) { return compileSingle(c, a, l, l.Of) }
	}
	for _, a := range args {
		one, err := inside(a)
		if err != nil {
			return p, err
		}
		p.args = append(p.args, one)
	}
	return p, nil
}

// anotherWord refuses what any other word of a list would meet.
func anotherWord(l *fact.Leaf) error {
	return fmt.Errorf("%s is a list of words, and one that is another word would be enough; write [...!=\"…\"] for none of its words", l.Path)
}

// Brackets tells whether a part of the constraint says of which words of a list it
// is asked.
func (c Constraint) Brackets() bool {
	return c.Op == Some || c.Op == Every || slices.ContainsFunc(c.Args, Constraint.Brackets)
}

// negates tells whether a part of the constraint is met by any other word.
func (c Constraint) negates() bool {
	return c.Op == Differs || c.Op == DoesNotMatch || slices.ContainsFunc(c.Args, Constraint.negates)
}

// among judges a word by the list of words that a fact is.
func (p *predicate) among(v *fact.Value, in *fact.Instance) Verdict {
	list, of, leaf, broken := p.way.Value(in)
	if list == nil || broken || list.State != fact.Known {
		return Verdict{Lacks: fact.LacksOf(list, of, leaf)}
	}
	out := plain(p.isOneOf(v.Text, list) == (p.op == Equals))
	out.From, out.At = list, fact.Lack{Of: of, Leaf: leaf}
	return out
}

// isOneOf tells whether a word stands in a list, or is the one word that a fact is. A
// product is named in a list with its revision, or without for every revision.
func (p *predicate) isOneOf(word string, list *fact.Value) bool {
	if !p.way.Leaf.Many {
		return word == list.Text
	}
	if list.More == nil {
		return false
	}
	product := p.leaf.Type == fact.Link && p.leaf.Target.List.IsEquipment()
	for i := range list.More.List {
		one := list.More.List[i].Text
		if one == word || product && strings.HasPrefix(word, one) && strings.HasPrefix(word[len(one):], "@") {
			return true
		}
	}
	return false
}

// ofWords judges a list of words: one of them, or every one, meets what is asked.
// A word known to decide beats one that is not known.
func (p *predicate) ofWords(v *fact.Value, in *fact.Instance) Verdict {
	decisive, rest := Yes, No
	if p.op == Every {
		decisive, rest = No, Yes
	}
	out := plain(rest == Yes)
	for i := 0; v.More != nil && i < len(v.More.List); i++ {
		word := &v.More.List[i]
		one := p.args[0].evaluate(word, word.Quantity, in)
		if one.Holds == decisive {
			return one
		}
		out.Holds, out.Guard = join(out.Holds, one.Holds, decisive), join(out.Guard, one.Guard, decisive)
		out.From, out.At = one.From, one.At
		out.Lacks = append(out.Lacks, one.Lacks...)
	}
	if out.Holds == Unknown {
		out.Signed = 0
	}
	return out
}

// toldApart lists the words of an enumeration that predicates tell apart: those that
// they name and one that they do not, or all of them where there is a pattern.
func toldApart(l *fact.Leaf, ps []*predicate) []string {
	var named []string
	for _, p := range ps {
		if p.matches() {
			return slices.Clone(l.Words)
		}
		for _, w := range p.candidates(nil) {
			named = append(named, w.text)
		}
	}
	named = slices.DeleteFunc(named, func(w string) bool { return !slices.Contains(l.Words, w) }) // a datasheet may name others
	if i := slices.IndexFunc(l.Words, func(w string) bool { return !slices.Contains(named, w) }); i >= 0 {
		named = append(named, l.Words[i])
	}
	return named
}

// mostListed is up to how many words all lists of them are tried.
const mostListed = 9

// lists gives every list that can be made of words, as samples. None is empty but
// for a datasheet or register, where one may state that there are none; an empty
// list of a job says nothing. ok is false for more words than can be tried.
func lists(l *fact.Leaf, words []string) (out []sample, ok bool) {
	slices.Sort(words)
	words = slices.Compact(words)
	if len(words) > mostListed {
		return nil, false
	}
	first := 1
	if l.Scope.List.IsElsewhere() {
		first = 0
	}
	for set := first; set < 1<<len(words); set++ {
		v := fact.Value{State: fact.Known, More: &fact.More{}}
		for i, w := range words {
			if set&(1<<i) != 0 {
				v.More.List = append(v.More.List, fact.Value{State: fact.Known, Text: w})
			}
		}
		out = append(out, sample{list: &v})
	}
	return out, true
}

// may tells whether a predicate on words can accept a value and whether it can
// refuse it, whatever words the lists have that it takes from facts. Lists of the
// limit's own datasheet are known.
func (p *predicate) may(v *fact.Value) (accept, refuse bool) {
	switch {
	case p.op == All || p.op == Any:
		for i := range p.args {
			a, r := p.args[i].may(v)
			if i == 0 {
				accept, refuse = a, r
			} else if p.op == All {
				accept, refuse = accept && a, refuse || r
			} else {
				accept, refuse = accept || a, refuse && r
			}
		}
		return accept, refuse
	case (p.op == Some || p.op == Every) && p.refers():
		return true, true
	case p.way != nil && p.stated == nil:
		return true, true
	case p.way != nil:
		in := p.isOneOf(v.Text, p.stated) == (p.op == Equals)
		return in, !in
	}
	in := p.evaluate(v, v.Quantity, nil).Holds == Yes
	return in, !in
}

// maySample is may for a sample. A predicate on numbers has no bound from a fact.
func (p *predicate) maySample(s sample) (accept, refuse bool) {
	switch {
	case p.isNumber():
		accept = p.acceptsBase(s.number)
		return accept, !accept
	case s.list != nil:
		return p.may(s.list)
	}
	return p.may(&fact.Value{State: fact.Known, Text: s.word.text, Truth: s.word.truth})
}

func (p *predicate) isNumber() bool { return p.what == fact.Quantity || p.what == fact.Count }

// readOwn gives a limit of a datasheet the lists of words that the datasheet states.
func (p *predicate) readOwn(figures *fact.Instance, along string) {
	if p.way != nil && p.way.Leaf.Many && p.way.Leaf.Scope == figures.Scope && strings.TrimSuffix(p.way.Text, "."+p.way.Leaf.Inside()) == along {
		if v := figures.Get(p.way.Leaf); v.State == fact.Known {
			p.stated = v
		}
	}
	for i := range p.args {
		p.args[i].readOwn(figures, along)
	}
}

// describeAmong writes a bound that is a word or a list of words, with what it has here.
func (p *predicate) describeAmong(here string) string {
	if !p.way.Leaf.Many {
		same := "the same as "
		if p.op == Differs {
			same = "another than "
		}
		if here != "" {
			return same + here + " (" + p.way.Text + ")"
		}
		return same + p.way.Text
	}
	of := "one of "
	if p.op == Differs {
		of = "none of "
	}
	if here != "" {
		return of + here + " (" + p.way.Text + ")"
	}
	return of + p.way.Text
}

// describeWords writes what is asked of a list of words.
func (p *predicate) describeWords(here string) string {
	one := p.args[0].describeHere(here)
	switch word := &p.args[0]; {
	case p.op == Some:
		return one + " among them"
	case word.op == Differs && word.way == nil:
		return `no "` + word.text + `" among them`
	}
	return "each of them " + one
}

// describeEach writes several words that must all be in a list in one phrase; ok is
// false where the parts ask anything else.
func (p *predicate) describeEach(here string) (text string, ok bool) {
	parts := make([]string, len(p.args))
	for i := range p.args {
		if p.op != All || p.args[i].op != Some {
			return "", false
		}
		word := &p.args[i].args[0]
		if parts[i] = word.describeHere(here); word.op == Any || word.op == All {
			parts[i] = "(" + parts[i] + ")"
		}
	}
	return strings.Join(parts, " and ") + " among them", len(parts) > 0
}

// WordsOf writes the words of a list as a reader needs them beside a limit.
func WordsOf(list *fact.Value) string {
	if list.More == nil || len(list.More.List) == 0 {
		return "none"
	}
	words := make([]string, len(list.More.List))
	for i := range list.More.List {
		words[i] = `"` + list.More.List[i].Text + `"`
	}
	return strings.Join(words, ", ")
}
