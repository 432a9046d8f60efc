package quantity

import "fmt"

// Function is one calculation of a physics room: pure, on typed quantities,
// with no limits inside. Its description (formula in words and signs, source,
// validity) stands in the definitions under the measure that uses it.
type Function struct {
	Name       string // room and function, "stack.NameplateEnergy"
	Parameters []Parameter
	Result     Kind
	// Of calculates the result and tells its steps, which may be nil. It keeps no
	// reference to in.
	Of func(in []Argument, steps *Steps) (Quantity, error)
}

// Parameter is one input of a Function. Kind None means a word (an enumeration,
// or Yes and No for a fact that is true or false) rather than a quantity. An Optional input may be unknown; the function says
// by an *Absent error when it needs it after all.
type Parameter struct {
	Name     string
	Kind     Kind
	Optional bool
}

// Argument is the value of one Parameter; Known is false where nothing is
// recorded.
type Argument struct {
	Known    bool
	Quantity Quantity
	Word     string
}

// Yes and No are the words by which a Function is told a fact that is true or
// false.
const (
	Yes = "true"
	No  = "false"
)

// Absent says that a Function could not be evaluated because the input with
// this index, optional in other cases, is not known here.
type Absent struct{ Input int }

// Error names the input by its place; callers name it by its fact.
func (a *Absent) Error() string { return fmt.Sprintf("input %d is not known", a.Input+1) }

// Need returns an *Absent error for the first of the inputs that is not known.
func Need(in []Argument, inputs ...int) error {
	for _, i := range inputs {
		if !in[i].Known {
			return &Absent{Input: i}
		}
	}
	return nil
}

// CalculatedIn makes a quantity from a calculation whose result is a number of
// units u; otherwise like Calculated.
func CalculatedIn(value float64, u Unit) (Quantity, error) {
	if u.IsZero() || u.OrderReversed() {
		return Calculated(value, u)
	}
	r := u.row()
	return Calculated(r.toBase(value+r.offset), u)
}
