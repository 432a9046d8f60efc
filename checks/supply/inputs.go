package supply

import (
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// aboveZero gives an input in base units. Zero and less is an error: a device of
// no current would protect everything.
func aboveZero(name string, a quantity.Argument) (float64, error) {
	x := a.Quantity.Base()
	if !(x > 0) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("the %s is %s and has to be above zero", name, written(a.Quantity))
	}
	return x, nil
}

// notBelowZero gives an input in base units that may be nothing at all.
func notBelowZero(name string, a quantity.Argument) (float64, error) {
	x := a.Quantity.Base()
	if !(x >= 0) || math.IsInf(x, 0) {
		return 0, fmt.Errorf("the %s is %s and cannot be below zero", name, written(a.Quantity))
	}
	return x, nil
}

func written(q quantity.Quantity) string { return q.Format(q.Unit()) }

// result makes the calculated quantity from base units, with the uncertainty in
// base units where there is one.
func result(base, spread float64, unit string) (quantity.Quantity, error) {
	q, err := quantity.Calculated(base, quantity.MustUnit(unit))
	if err != nil {
		return q, err
	}
	return q.WithSpread(spread)
}

// nothing is zero of a unit: a source that does not count where it was asked.
func nothing(unit string) (quantity.Quantity, error) {
	return quantity.Calculated(0, quantity.MustUnit(unit))
}

// kept gives an input as a calculated quantity, with its uncertainty.
func kept(name string, a quantity.Argument, unit string) (quantity.Quantity, error) {
	x, err := notBelowZero(name, a)
	if err != nil {
		return quantity.Quantity{}, err
	}
	return result(x, a.Quantity.BaseUncertainty(), unit)
}

// is tells whether a fact that is true or false is known to be this.
func is(a quantity.Argument, word string) bool { return a.Known && a.Word == word }

// figure looks up the row of a word and tells the step.
func figure(t *table.Set, name, column, symbol string, steps *quantity.Steps, key string) (float64, error) {
	figures, err := t.Get(name)
	if err != nil {
		return 0, err
	}
	q, err := figures.At(column, table.Word(key))
	if err != nil {
		return 0, err
	}
	steps.Value(symbol, q, figures.Cite())
	return q.Base(), nil
}
