package conductor

import (
	"errors"
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// Names of the tables that several calculations by the NEC look into.
const (
	ampacityTable = "us/nec-2023/310.16"
	ambientTable  = "us/nec-2023/310.15-ambient"
	countTable    = "us/nec-2023/310.15-count"
	roofTable     = "us/nec-2023/310.15-roof"
	parallelTable = "us/nec-2023/310.10-parallel"
)

// bothEnds is how many terminals of a conductor have to be known before the
// lowest of them can govern.
const bothEnds = 2

// insulationColumn names the column of Table 310.16 for an insulation: the table
// has 60, 75 and 90 °C and nothing between.
func insulationColumn(rating quantity.Quantity) (int, error) {
	celsius := quantity.MustUnit("°C")
	for _, column := range []int{60, 75, 90} {
		if quantity.Compare(rating, degrees(column)) == 0 {
			return column, nil
		}
	}
	return 0, fmt.Errorf("the insulation is rated %s and the tables of the NEC have 60, 75 and 90 °C: write the rating it has by Table 310.4", rating.Format(celsius))
}

// terminalColumn names the column of Table 310.16 that the terminals allow, by
// 110.14(C): the lowest of both ends, of the conductor as well, and never above
// 75 °C, since no fact says that the equipment as a whole is listed for more: a
// connector marked 90 °C in equipment marked 75 °C is good for 75 °C.
func terminalColumn(lowest, ends quantity.Quantity, insulation int) (int, error) {
	celsius := quantity.MustUnit("°C")
	if ends.Base() < bothEnds {
		return 0, errors.New("only one end is recorded and the lower of both governs (110.14(C)): record the terminal at the other end as well")
	}
	column := 0
	for _, c := range []int{60, 75} {
		if c <= insulation && quantity.Compare(lowest, degrees(c)) >= 0 {
			column = c
		}
	}
	if column == 0 {
		return 0, fmt.Errorf("a terminal is rated %s and the tables of the NEC begin at 60 °C", lowest.Format(celsius))
	}
	return column, nil
}

func degrees(celsius int) quantity.Quantity {
	return quantity.New(quantity.Decimal{Coef: int64(celsius)}, quantity.MustUnit("°C"))
}

// ampacityAt looks one cell of Table 310.16 up.
func ampacityAt(t *table.Set, material string, column int, size quantity.Quantity) (quantity.Quantity, *table.Figures, error) {
	figures, err := t.Get(ampacityTable)
	if err != nil {
		return quantity.Quantity{}, nil, err
	}
	if material == CopperCladAluminium {
		return quantity.Quantity{}, nil, fmt.Errorf("%s, as it was read, gives copper and aluminium; copper-clad aluminium has no figure here", figures.Cite())
	}
	q, err := figures.At(fmt.Sprintf("%s %d", material, column), table.Quantity(size))
	var wrong *table.Error
	if errors.As(err, &wrong) && wrong.Reason == table.NoFigure {
		err = fmt.Errorf("%s has no ampacity for %s of %s: it is too thin", figures.Cite(), material, size.Format(size.Unit()))
	}
	return q, figures, err
}
