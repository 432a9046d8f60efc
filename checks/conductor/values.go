package conductor

import (
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// aboveZero gives an input in base units. Zero and less is an error: with a length
// or a current of nothing every drop would be within every limit.
func aboveZero(name string, a quantity.Argument) (float64, error) {
	return a.Quantity.Base(), positive(name, a.Quantity)
}

// sideBySide is how many conductors share the current of one pole. Where it is not
// recorded there is one, the careful assumption: it carries all of the current.
func sideBySide(a quantity.Argument, steps *quantity.Steps) (float64, error) {
	if !a.Known {
		steps.Note("one conductor per pole, since no number in parallel is recorded")
		return 1, nil
	}
	return whole("conductors in parallel", a.Quantity)
}

// isAmerican tells a size in AWG, kcmil or the like from one in mm².
func isAmerican(size quantity.Quantity) bool { return size.Unit().System() == quantity.US }

func written(q quantity.Quantity) string { return q.Format(q.Unit()) }

// figure looks up an exact row of a table and tells the step.
func figure(t *table.Set, name, column, symbol string, steps *quantity.Steps, keys ...table.Key) (quantity.Quantity, error) {
	figures, err := t.Get(name)
	if err != nil {
		return quantity.Quantity{}, err
	}
	q, err := figures.At(column, keys...)
	if err == nil {
		steps.Value(symbol, q, figures.Cite())
	}
	return q, err
}

// upTo is figure for a table whose rows hold up to their last key.
func upTo(t *table.Set, name, column, symbol string, steps *quantity.Steps, keys ...table.Key) (quantity.Quantity, error) {
	figures, err := t.Get(name)
	if err != nil {
		return quantity.Quantity{}, err
	}
	q, err := figures.UpTo(column, keys...)
	if err == nil {
		steps.Value(symbol, q, figures.Cite())
	}
	return q, err
}
