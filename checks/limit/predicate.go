package limit

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// Truth is a verdict in three values. The zero value is Unknown.
type Truth uint8

// The three values.
const (
	Unknown Truth = iota
	No
	Yes
)

// predicate is a Constraint with its names resolved and its numbers read.
type predicate struct {
	op    Op
	args  []predicate
	bound quantity.Quantity // constant number
	unit  quantity.Unit
	text  string
	truth bool
	re    *regexp.Regexp
	way   *fact.Way // bound taken from a fact: a number, or a list of words
	times quantity.Decimal
	plus  quantity.Decimal
	leaf  *fact.Leaf
	what  fact.Type

	stated *fact.Value // of a limit of a datasheet: the list that way leads to, as the datasheet states it
}

// compilePredicate reads a constraint on a leaf. Numbers are in unit u.
func compilePredicate(c *fact.Compiled, con Constraint, l *fact.Leaf, u quantity.Unit) (predicate, error) {
	if l.Many {
		return compileList(c, con, l)
	}
	return compileSingle(c, con, l, u)
}

// compileSingle reads a constraint on one value: the fact itself, or one word of
// a list of words.
func compileSingle(c *fact.Compiled, con Constraint, l *fact.Leaf, u quantity.Unit) (predicate, error) {
	p := predicate{op: con.Op, unit: u, leaf: l, what: l.Type}
	if con.Op == Some || con.Op == Every {
		return p, fmt.Errorf("%s is a single value; the brackets [ ] are for a fact that is a list of words", l.Path)
	}
	if con.Op == All || con.Op == Any {
		for _, a := range con.Args {
			arg, err := compileSingle(c, a, l, u)
			if err != nil {
				return p, err
			}
			p.args = append(p.args, arg)
		}
		if len(p.args) == 0 {
			return p, fmt.Errorf("an empty list of alternatives")
		}
		return p, nil
	}
	if con.Operand == nil {
		return p, fmt.Errorf("operator %q has nothing to compare with", con.Op)
	}
	switch l.Type {
	case fact.Quantity, fact.Count:
		return p, p.number(c, con.Operand)
	case fact.Truth:
		if con.Operand.Truth == nil || con.Op != Equals && con.Op != Differs {
			return p, fmt.Errorf("%s is true or false and cannot be %s %s", l.Path, con.Op, con.Operand)
		}
		p.truth = *con.Operand.Truth
	case fact.Date:
		return p, fmt.Errorf("%s is a date; limits on dates are not understood", l.Path)
	default:
		return p, p.words(c, con, l)
	}
	return p, nil
}

func (p *predicate) number(c *fact.Compiled, o *Operand) error {
	switch p.op {
	case Matches, DoesNotMatch:
		return fmt.Errorf("a number cannot be matched against a pattern")
	}
	if o.Fact == "" {
		n, err := quantity.ParseDecimal(o.Number)
		if err != nil || o.Number == "" {
			return fmt.Errorf("%s is no number", o)
		}
		p.bound = quantity.New(n, p.unit)
		return nil
	}
	w, err := c.Way(o.Fact)
	if err != nil {
		return err
	}
	if w.Leaf.Many {
		return fmt.Errorf("%s is a list of words and cannot bound a number", o.Fact)
	}
	if w.Leaf.Of.Kind() != p.unit.Kind() {
		return fmt.Errorf("%s is a %s and cannot bound a %s", o.Fact, w.Leaf.Of.Kind(), p.unit.Kind())
	}
	p.way, p.times = &w, quantity.Decimal{Coef: 1}
	if o.Times != "" {
		if p.times, err = quantity.ParseDecimal(o.Times); err != nil {
			return err
		}
	}
	if o.Plus != "" {
		if p.plus, err = quantity.ParseDecimal(o.Plus); err != nil {
			return err
		}
	}
	return nil
}

func (p *predicate) words(c *fact.Compiled, con Constraint, l *fact.Leaf) error {
	o := con.Operand
	if o.Fact != "" {
		return p.wordsOf(c, con, l)
	}
	if o.Number != "" || o.Truth != nil {
		return fmt.Errorf("%s is a %s and cannot be %s %s", l.Path, l.Type, con.Op, o)
	}
	p.text = o.Text
	switch con.Op {
	case Equals, Differs:
		if l.Type == fact.Word && !slices.Contains(l.Words, o.Text) {
			return fmt.Errorf("%s is never %q; it is one of %s", l.Path, o.Text, strings.Join(l.Words, ", "))
		}
	case Matches, DoesNotMatch:
		re, err := regexp.Compile(o.Text)
		if err != nil {
			return fmt.Errorf("pattern %q is not understood", o.Text)
		}
		p.re = re
	default:
		return fmt.Errorf("%s is a %s and cannot be %s %q", l.Path, l.Type, con.Op, o.Text)
	}
	return nil
}

// String writes the operand as in a definition.
func (o *Operand) String() string {
	switch {
	case o.Fact != "":
		s := o.Fact
		if o.Times != "" {
			s = o.Times + "*" + s
		}
		if o.Plus != "" {
			s += " + " + o.Plus
		}
		return s
	case o.Truth != nil:
		return fmt.Sprint(*o.Truth)
	case o.Number != "":
		return o.Number
	}
	return fmt.Sprintf("%q", o.Text)
}

// String writes the constraint as in a definition, without units.
func (c Constraint) String() string {
	switch {
	case c.Op == Some && len(c.Args) == 1:
		return "[" + c.Args[0].String() + ", ...]"
	case c.Op == Every && len(c.Args) == 1:
		return "[..." + c.Args[0].String() + "]"
	}
	if c.Op != All && c.Op != Any {
		if c.Op == Equals {
			return c.Operand.String()
		}
		return string(c.Op) + c.Operand.String()
	}
	parts := make([]string, len(c.Args))
	for i, a := range c.Args {
		parts[i] = a.String()
		if len(c.Args) > 1 && (a.Op == All || a.Op == Any) {
			parts[i] = "(" + parts[i] + ")"
		}
	}
	if c.Op == All {
		return strings.Join(parts, " & ")
	}
	return strings.Join(parts, " | ")
}

// way list: facts that the predicate's bounds are taken from.
func (p *predicate) ways(out []*fact.Way) []*fact.Way {
	if p.way != nil {
		out = append(out, p.way)
	}
	for i := range p.args {
		out = p.args[i].ways(out)
	}
	return out
}
