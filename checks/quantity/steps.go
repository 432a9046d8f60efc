package quantity

// Steps records what a calculation did between its inputs and its result: the
// table it looked a figure up in, the factor it took, what it assumed. A nil
// *Steps records nothing and costs nothing, so that a Function may say its steps
// whether somebody will read them or not. The zero value is ready for use.
type Steps struct{ list []Step }

// Step is one intermediate value, or a remark where Symbol is empty.
type Step struct {
	Symbol string   // as the formula has it, "I_table"; empty for a remark
	Value  Quantity // zero for a remark
	From   string   // where the value comes from, or the remark
}

// Value records an intermediate value under its symbol, and where it comes from:
// the citation of a table, a rule, a formula.
func (s *Steps) Value(symbol string, q Quantity, from string) {
	if s != nil {
		s.list = append(s.list, Step{Symbol: symbol, Value: q, From: from})
	}
}

// Base records an intermediate value that is given in base units, to be read in
// unit. One that is no number is left out, since the result will say so.
func (s *Steps) Base(symbol string, base float64, unit, from string) {
	if s == nil {
		return
	}
	if q, err := Calculated(base, MustUnit(unit)); err == nil {
		s.Value(symbol, q, from)
	}
}

// Note records a remark, such as an assumption.
func (s *Steps) Note(remark string) {
	if s != nil {
		s.list = append(s.list, Step{From: remark})
	}
}

// Wanted tells whether somebody will read the steps; text that costs something
// to make is made only then.
func (s *Steps) Wanted() bool { return s != nil }

// All returns the steps in the order they were taken.
func (s *Steps) All() []Step {
	if s == nil {
		return nil
	}
	return s.list
}
