package conductor

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// Names of the tables that several calculations by the NEC look into.
const (
	ampacityTable = "us/nec-2023/310.16"
	ambientTable  = "us/nec-2023/310.15-ambient"
	countTable    = "us/nec-2023/310.15-count"
	roofTable     = "us/nec-2023/310.15-roof"
	roofTable2020 = "us/nec-2020/310.15-roof"
	columnsTable  = "us/nec-2023/110.14-columns"
	parallelTable = "us/nec-2023/310.10-parallel"
)

// bothEnds is how many terminals of a conductor have to be known before the
// lowest of them can govern.
const bothEnds = 2

// insulationColumn gives the column of Table 310.16 for an insulation, as its
// temperature: the table has 60, 75 and 90 °C and nothing between.
func insulationColumn(t *table.Set, rating quantity.Quantity) (quantity.Quantity, error) {
	figures, err := t.Get(columnsTable)
	if err != nil {
		return quantity.Quantity{}, err
	}
	column, err := figures.At("insulation", table.Quantity(rating))
	if err != nil {
		return column, fmt.Errorf("the insulation is rated %s and the tables of the NEC have columns for 60, 75 and 90 °C: write the rating it has by Table 310.4", celsius(rating))
	}
	return column, nil
}

// terminalColumn gives the column of Table 310.16 that the terminals allow, by
// 110.14(C): the lowest of both ends, and of the conductor as well. A connector
// marked 90 °C in equipment marked 75 °C is good for 75 °C; the table that this
// looks into never gives more.
func terminalColumn(t *table.Set, lowest, ends, insulation quantity.Quantity) (quantity.Quantity, error) {
	if ends.Base() < bothEnds {
		return quantity.Quantity{}, errors.New("only one end is recorded and the lower of both governs (110.14(C)): record the terminal at the other end as well")
	}
	figures, err := t.Get(columnsTable)
	if err != nil {
		return quantity.Quantity{}, err
	}
	column, err := figures.From("terminal", table.Quantity(lowest))
	if err != nil {
		return column, fmt.Errorf("a terminal is rated %s and the tables of the NEC begin at 60 °C", celsius(lowest))
	}
	return lower(column, insulation), nil
}

// celsius writes a temperature in °C.
func celsius(q quantity.Quantity) string { return q.Format(quantity.MustUnit("°C")) }

// columnName is how the tables name the column of a temperature.
func columnName(column quantity.Quantity) string {
	return strconv.Itoa(int(math.Round(column.In(quantity.MustUnit("°C")))))
}

// ampacityAt looks one cell of Table 310.16 up.
func ampacityAt(t *table.Set, material string, column, size quantity.Quantity) (quantity.Quantity, *table.Figures, error) {
	figures, err := t.Get(ampacityTable)
	if err != nil {
		return quantity.Quantity{}, nil, err
	}
	if material == CopperCladAluminium {
		return quantity.Quantity{}, nil, fmt.Errorf("%s, as it was read, gives copper and aluminium; copper-clad aluminium has no figure here", figures.Cite())
	}
	q, err := figures.At(material+" "+columnName(column), table.Quantity(size))
	var wrong *table.Error
	if errors.As(err, &wrong) && wrong.Reason == table.NoFigure {
		err = fmt.Errorf("%s has no ampacity for %s of %s: it is too thin", figures.Cite(), material, size.Format(size.Unit()))
	}
	return q, figures, err
}
