package boundary

import (
	"fmt"
	"math/big"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// rule is a constraint on a number with its bounds worked out, in base units.
type rule struct {
	op    limit.Op
	parts []rule
	bound *big.Rat
}

// numbers works out the bounds of a constraint written in unit u. refer gives
// the value of a fact that a bound is taken from, in base units.
func numbers(c limit.Constraint, u quantity.Unit, refer func(path string) (*big.Rat, error)) (rule, error) {
	r := rule{op: c.Op}
	for _, a := range c.Args {
		part, err := numbers(a, u, refer)
		if err != nil {
			return r, err
		}
		r.parts = append(r.parts, part)
	}
	if c.Op == limit.All || c.Op == limit.Any {
		return r, nil
	}
	s, err := scaleOf(u)
	if err != nil {
		return r, err
	}
	if c.Operand.Fact == "" {
		r.bound = s.base(rat(c.Operand.Number))
		return r, nil
	}
	value, err := refer(c.Operand.Fact)
	if err != nil {
		return r, fmt.Errorf("bound %s: %w", c.Operand, err)
	}
	n := s.number(value)
	if c.Operand.Times != "" {
		n.Mul(n, rat(c.Operand.Times))
	}
	if c.Operand.Plus != "" {
		n.Add(n, rat(c.Operand.Plus))
	}
	r.bound = s.base(n)
	return r, nil
}

// bounds lists the different bounds of a rule.
func (r *rule) bounds(out []*big.Rat) []*big.Rat {
	for i := range r.parts {
		out = r.parts[i].bounds(out)
	}
	if r.bound == nil {
		return out
	}
	for _, b := range out {
		if b.Cmp(r.bound) == 0 {
			return out
		}
	}
	return append(out, r.bound)
}

// accepts tells whether a number is within the rule.
func (r *rule) accepts(x *big.Rat) bool {
	switch r.op {
	case limit.All:
		for i := range r.parts {
			if !r.parts[i].accepts(x) {
				return false
			}
		}
		return true
	case limit.Any:
		for i := range r.parts {
			if r.parts[i].accepts(x) {
				return true
			}
		}
		return false
	}
	c := x.Cmp(r.bound)
	switch r.op {
	case limit.Less:
		return c < 0
	case limit.AtMost:
		return c <= 0
	case limit.Greater:
		return c > 0
	case limit.AtLeast:
		return c >= 0
	case limit.Equals:
		return c == 0
	}
	return c != 0
}

// acceptsAll tells whether a rule accepts every number from low to high. Of
// alternatives one alone has to accept them all: a reading that may lie on either
// side of a gap is not safely within.
func (r *rule) acceptsAll(low, high *big.Rat) bool {
	switch r.op {
	case limit.All:
		for i := range r.parts {
			if !r.parts[i].acceptsAll(low, high) {
				return false
			}
		}
		return true
	case limit.Any:
		for i := range r.parts {
			if r.parts[i].acceptsAll(low, high) {
				return true
			}
		}
		return false
	case limit.Differs:
		return high.Cmp(r.bound) < 0 || low.Cmp(r.bound) > 0
	}
	return r.accepts(low) && r.accepts(high)
}

// HasNumber tells whether a limit bounds a number, by one of its own or that of a
// fact. All others bound words.
func HasNumber(l *limit.Compiled) bool {
	return l.Way.Leaf.Type == fact.Quantity || l.Way.Leaf.Type == fact.Count
}
