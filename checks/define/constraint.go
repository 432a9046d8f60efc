package define

import (
	"errors"
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/limit"
)

// factsPackage is where bounds that are facts are referred to.
const factsPackage = Module + "/facts"

// constraintTree is a constraint as read from CUE: nil Constraint for "anything
// of this type".
type constraintTree struct {
	*limit.Constraint
}

// readConstraint turns a CUE value into a constraint. It understands bounds,
// words, true and false, patterns, references to facts, what is asked of a list of
// words, and & and | of them.
// Everything else is refused: it would have to be evaluated job by job.
func readConstraint(v cue.Value) (*constraintTree, error) {
	c, err := constraintOf(v, 0)
	if err != nil {
		return nil, err
	}
	return &constraintTree{c}, nil
}

var errNotUnderstood = errors.New("the form is not understood; use bounds (<=, >=, <, >), words, true or false, patterns (=~), facts, [...x] and [a, b, ...] for a list of words, joined by & and |")

const deepestConstraint = 12

func constraintOf(v cue.Value, depth int) (*limit.Constraint, error) {
	if depth > deepestConstraint {
		return nil, errors.New("the constraint is nested too deeply")
	}
	if hasDefault(v) {
		return nil, errors.New("a default (*) has no place in a constraint")
	}
	if o, ok, err := reference(v); ok || err != nil {
		return equals(o), err
	}
	op, args := v.Expr()
	switch op {
	case cue.NoOp:
		if v.IncompleteKind() == cue.ListKind {
			return wordList(v, depth)
		}
		return constant(v)
	case cue.AndOp, cue.OrOp:
		return joined(op, args, depth)
	case cue.LessThanOp, cue.LessThanEqualOp, cue.GreaterThanOp, cue.GreaterThanEqualOp, cue.NotEqualOp,
		cue.RegexMatchOp, cue.NotRegexMatchOp:
		o, err := operand(args[0])
		if err != nil {
			return nil, err
		}
		return &limit.Constraint{Op: operators[op], Operand: o}, nil
	case cue.AddOp, cue.MultiplyOp:
		o, err := operand(v)
		return equals(o), err
	}
	return nil, errNotUnderstood
}

var operators = map[cue.Op]limit.Op{
	cue.LessThanOp: limit.Less, cue.LessThanEqualOp: limit.AtMost, cue.GreaterThanOp: limit.Greater,
	cue.GreaterThanEqualOp: limit.AtLeast, cue.NotEqualOp: limit.Differs,
	cue.RegexMatchOp: limit.Matches, cue.NotRegexMatchOp: limit.DoesNotMatch,
}

// hasDefault tells whether a value has a default that Expr does not show.
func hasDefault(v cue.Value) bool {
	d, ok := v.Default()
	return ok && d.IsConcrete() && !v.IsConcrete()
}

func equals(o *limit.Operand) *limit.Constraint {
	if o == nil {
		return nil
	}
	return &limit.Constraint{Op: limit.Equals, Operand: o}
}

// joined reads & and |. Parts that ask nothing (a type, _) are dropped from &.
func joined(op cue.Op, args []cue.Value, depth int) (*limit.Constraint, error) {
	out := &limit.Constraint{Op: limit.All}
	if op == cue.OrOp {
		out.Op = limit.Any
	}
	for _, a := range args {
		c, err := constraintOf(a, depth+1)
		if err != nil {
			return nil, err
		}
		switch {
		case c == nil && op == cue.OrOp:
			return nil, errors.New("one alternative allows everything")
		case c == nil:
		case c.Op == out.Op:
			out.Args = append(out.Args, c.Args...)
		default:
			out.Args = append(out.Args, *c)
		}
	}
	if op == cue.OrOp {
		out.Args = wordsTogether(out.Args)
	}
	switch len(out.Args) {
	case 0:
		return nil, nil
	case 1:
		return &out.Args[0], nil
	}
	return out, nil
}

// constant reads a value without an operator: a constant, or a bare type.
func constant(v cue.Value) (*limit.Constraint, error) {
	if v.IsConcrete() {
		o, err := operand(v)
		return equals(o), err
	}
	switch v.IncompleteKind() {
	case cue.StringKind, cue.BoolKind, cue.IntKind, cue.NumberKind, cue.TopKind:
		return nil, nil
	}
	return nil, errNotUnderstood
}

// operand reads what a value is compared with: a constant, or k*fact + c.
func operand(v cue.Value) (*limit.Operand, error) {
	if o, ok, err := reference(v); ok || err != nil {
		return o, err
	}
	switch op, args := v.Expr(); op {
	case cue.MultiplyOp, cue.AddOp:
		return combined(op, args)
	case cue.NoOp:
	default:
		if !v.IsConcrete() {
			return nil, errors.New("a bound is a constant, a fact, k*fact or fact + c; write <=(2*x) with brackets")
		}
	}
	if !v.IsConcrete() {
		return nil, errNotUnderstood
	}
	switch v.Kind() {
	case cue.StringKind:
		s, err := v.String()
		return &limit.Operand{Text: s}, err
	case cue.BoolKind:
		b, err := v.Bool()
		return &limit.Operand{Truth: &b}, err
	case cue.IntKind, cue.FloatKind, cue.NumberKind:
		n, err := number(v)
		return &limit.Operand{Number: n}, err
	}
	return nil, errNotUnderstood
}

// combined reads k*fact and fact + c.
func combined(op cue.Op, args []cue.Value) (*limit.Operand, error) {
	if len(args) != 2 {
		return nil, errNotUnderstood
	}
	a, err := operand(args[0])
	if err != nil {
		return nil, err
	}
	b, err := operand(args[1])
	if err != nil {
		return nil, err
	}
	if a.Fact == "" {
		a, b = b, a
	}
	switch {
	case a.Fact == "" || b.Number == "":
		return nil, errors.New("a bound that is calculated is k*fact or fact + c")
	case op == cue.MultiplyOp && a.Times == "" && a.Plus == "":
		a.Times = b.Number
	case op == cue.AddOp && a.Plus == "":
		a.Plus = b.Number
	default:
		return nil, errors.New("a bound that is calculated is k*fact or fact + c, nothing longer")
	}
	return a, nil
}

// reference reads a reference into package facts. Other references (hidden
// constants) are followed by CUE itself.
func reference(v cue.Value) (*limit.Operand, bool, error) {
	root, path := v.ReferencePath()
	if !root.Exists() || len(path.Selectors()) == 0 {
		return nil, false, nil
	}
	inst := root.BuildInstance()
	if inst == nil || inst.ImportPath != factsPackage {
		return nil, false, nil
	}
	var parts []string
	for _, s := range path.Selectors() {
		if s.Type() != cue.StringLabel {
			return nil, true, fmt.Errorf("%s is no fact", path)
		}
		parts = append(parts, s.Unquoted())
	}
	return &limit.Operand{Fact: strings.Join(parts, ".")}, true, nil
}

// number writes a number exactly as the author's decimal. AppendFloat must not
// be used here: it corrupts digits.
func number(v cue.Value) (string, error) {
	var m big.Int
	exp, err := v.MantExp(&m)
	if err != nil {
		return "", errors.New("the number is not finite")
	}
	if exp == 0 {
		return m.String(), nil
	}
	if exp > 0 {
		return m.String() + "e" + strconv.Itoa(exp), nil
	}
	digits, sign := m.String(), ""
	if strings.HasPrefix(digits, "-") {
		digits, sign = digits[1:], "-"
	}
	if need := -exp + 1 - len(digits); need > 0 {
		digits = strings.Repeat("0", need) + digits
	}
	cut := len(digits) + exp
	return sign + digits[:cut] + "." + digits[cut:], nil
}

// wordsOrPattern reads the constraint of a text field: a list of words, or one
// pattern, or nothing.
func (c *constraintTree) wordsOrPattern() (words []string, pattern string, err error) {
	if c.Constraint == nil {
		return nil, "", nil
	}
	args := []limit.Constraint{*c.Constraint}
	if c.Op == limit.Any {
		args = c.Args
	}
	for _, a := range args {
		switch {
		case a.Op == limit.Equals && a.Operand.Text != "":
			words = append(words, a.Operand.Text)
		case a.Op == limit.Matches && len(args) == 1:
			return nil, a.Operand.Text, nil
		default:
			return nil, "", errors.New("a text field is free, or held to one pattern, or one of several words")
		}
	}
	return words, "", nil
}

// least reads the constraint of a whole number: nothing, or one lower bound.
func (c *constraintTree) least() (int, error) {
	switch {
	case c.Constraint == nil:
		return 0, nil
	case c.Op == limit.AtLeast && c.Operand.Number != "":
		return strconv.Atoi(c.Operand.Number)
	}
	return 0, errors.New("a whole number is free, or int & >=n")
}
