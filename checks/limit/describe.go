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
	if second && l.printed != nil {
		return l.printed.describe()
	}
	return l.within.describe()
}

func (p *predicate) describe() string {
	if p.op != All && p.op != Any {
		return p.describeOne()
	}
	word := " and "
	if p.op == Any {
		word = " or "
	}
	parts := make([]string, len(p.args))
	for i := range p.args {
		parts[i] = p.args[i].describe()
		if p.op == All && p.args[i].op == Any {
			parts[i] = "(" + parts[i] + ")"
		}
	}
	return strings.Join(parts, word)
}

func (p *predicate) describeOne() string {
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
	case p.way != nil:
		s := p.way.Text
		if p.times.Coef != 1 || p.times.Exp != 0 {
			s = p.times.String() + " × " + s
		}
		if p.plus.Coef != 0 {
			s += " + " + p.leaf.Format(quantity.New(p.plus, p.unit), p.unit)
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
