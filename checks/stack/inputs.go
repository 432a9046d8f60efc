package stack

import (
	"fmt"

	"witnessmark.example/checks/quantity"
)

// positive gives the base value of an input, and an error unless it is above zero.
// The name is what the reader calls it.
func positive(name string, a quantity.Argument) (float64, error) {
	if x := a.Quantity.Base(); x > 0 {
		return x, nil
	}
	return 0, fmt.Errorf("the %s is %s; it has to be above zero", name, a.Quantity)
}

// efficiency gives a share that is above 0 and not above 100 %.
func efficiency(name string, a quantity.Argument) (float64, error) {
	if x := a.Quantity.Base(); x > 0 && x <= 1 {
		return x, nil
	}
	return 0, fmt.Errorf("the %s is %s; it has to be above 0 %% and not above 100 %%", name, a.Quantity)
}

// share gives a share from 0 to 100 %.
func share(name string, a quantity.Argument) (float64, error) {
	if x := a.Quantity.Base(); x >= 0 && x <= 1 {
		return x, nil
	}
	return 0, fmt.Errorf("the %s is %s; it has to be from 0 %% to 100 %%", name, a.Quantity)
}

// calculated makes a result in unit u with half the width of its band, both in the
// base unit; no band where that is 0.
func calculated(base, spread float64, u string) (quantity.Quantity, error) {
	q, err := quantity.Calculated(base, quantity.MustUnit(u))
	if err != nil {
		return q, err
	}
	return q.WithSpread(spread)
}

// unknownArchitecture is the reason why nothing is calculated where the datasheet
// names an architecture that this room does not know.
func unknownArchitecture(word string) error {
	return fmt.Errorf("the architecture %q is not known", word)
}
