package limit

import (
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// Describe writes the constraint as a reader of a report needs it: every number
// with its unit (">= 12 mm and <= 19 mm"), words quoted. Second asks for the
// second printed value.
func (l *Compiled) Describe(second bool) string {
	return l.DescribeHere(second, "")
}

// DescribeHere is Describe with the number that a bound taken from a fact has here,
// before the fact: "<= 40 A (conductors.device_most_nec)". The number is left out
// where it is empty, and where several bounds are taken from facts, since it is not
// said which of them it is.
func (l *Compiled) DescribeHere(second bool, here string) string {
	p := &l.within
	if second && l.printed != nil {
		p = l.printed
	}
	if p.references() != 1 {
		here = ""
	}
	return p.describeHere(here)
}

// references counts the parts that take their bound from a fact.
func (p *predicate) references() int {
	n := 0
	if p.way != nil {
		n = 1
	}
	for i := range p.args {
		n += p.args[i].references()
	}
	return n
}

func (p *predicate) describe() string { return p.describeHere("") }

func (p *predicate) describeHere(here string) string {
	switch p.op {
	case Some, Every:
		return p.describeWords(here)
	case All, Any:
	default:
		return p.describeOne(here)
	}
	if text, ok := p.describeEach(here); ok {
		return text
	}
	word := " and "
	if p.op == Any {
		word = " or "
	}
	parts := make([]string, len(p.args))
	for i := range p.args {
		parts[i] = p.args[i].describeHere(here)
		if p.op == All && p.args[i].op == Any {
			parts[i] = "(" + parts[i] + ")"
		}
	}
	return strings.Join(parts, word)
}

func (p *predicate) describeOne(here string) string {
	sign := string(p.op) + " "
	switch {
	case p.op == Equals:
		sign = ""
	case p.op == Matches:
		sign = "matching "
	case p.op == DoesNotMatch:
		sign = "not matching "
	case p.op == Differs:
		sign = "not "
	}
	switch {
	case p.way != nil && (p.way.Leaf.Many || p.way.Leaf.Type == fact.Word || p.way.Leaf.Type == fact.Text):
		return p.describeAmong(here)
	case p.way != nil:
		s := p.way.Text
		if p.times.Coef != 1 || p.times.Exp != 0 {
			s = p.times.String() + " × " + s
		}
		if p.plus.Coef != 0 {
			s += " + " + p.leaf.Format(quantity.New(p.plus, p.unit), p.unit)
		}
		if area, inBrackets := strings.CutSuffix(here, ")"); inBrackets { // 4 AWG (21.15 mm²)
			return sign + area + "; " + s + ")"
		}
		if here != "" {
			return sign + here + " (" + s + ")"
		}
		return sign + s
	case p.what == fact.Quantity || p.what == fact.Count:
		return sign + p.leaf.Format(p.bound, p.unit)
	case p.what == fact.Truth:
		if p.truth {
			return sign + "yes"
		}
		return sign + "no"
	}
	return sign + `"` + p.text + `"`
}

// Bounds lists the constant numbers of the constraint, with their operators,
// of the main value or of the second printed one.
func (l *Compiled) Bounds(second bool) []Bound {
	if second {
		if l.printed == nil {
			return nil
		}
		return l.printed.bounds(nil)
	}
	return l.within.bounds(nil)
}

// Bound is one constant number of a constraint.
type Bound struct {
	Op     Op
	Number quantity.Quantity
}

func (p *predicate) bounds(out []Bound) []Bound {
	if (p.what == fact.Quantity || p.what == fact.Count) && p.way == nil && len(p.args) == 0 && p.op != All && p.op != Any {
		out = append(out, Bound{p.op, p.bound})
	}
	for i := range p.args {
		out = p.args[i].bounds(out)
	}
	return out
}
