// Package table holds published tables of figures as data, for the rooms of
// physics to look figures up in. Nothing is extrapolated: a key that the table
// does not have, or a cell that it leaves empty, is an error that says so.
package table

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/quantity"
)

// Table is one published table. Figures are kept as the definitions write them.
type Table struct {
	Name     string   `json:"name"` // "us/nec-2023/240.6"
	Title    string   `json:"title"`
	Document string   `json:"document"`
	Edition  string   `json:"edition"`
	Clause   string   `json:"clause"`
	Grade    string   `json:"grade"`
	Address  string   `json:"address,omitempty"`
	Reviewed string   `json:"reviewed"`
	ReviewBy string   `json:"review_by"`
	Note     string   `json:"note,omitempty"`
	Columns  []Column `json:"columns"`
	Rows     []Row    `json:"rows"`
	File     string   `json:"file"` // where it is defined
	Line     int      `json:"line"`
}

// Column is one column: a quantity in a unit, or words where the unit is empty.
// The keys come first and tell rows apart. The last of them may be open: its last
// row has no key and holds for everything behind the others ("above 35 mm²").
type Column struct {
	Name string `json:"name"`
	Unit string `json:"unit,omitempty"`
	Key  bool   `json:"key,omitempty"`
	Open bool   `json:"open,omitempty"`
}

// Row is one row: a cell for each column, empty where the source has none.
type Row struct {
	Cells []string `json:"cells"`
	Line  int      `json:"line"`
}

// Cite names the table as a reader of a calculation knows it.
func (t *Table) Cite() string {
	return fmt.Sprintf("%s %s, %s", t.Document, t.Edition, t.Clause)
}

// Keys counts the columns that tell rows apart.
func (t *Table) Keys() int {
	n := 0
	for n < len(t.Columns) && t.Columns[n].Key {
		n++
	}
	return n
}

// Check tells what keeps a table from being used: columns without names, keys
// behind other columns, units that are none, rows of another length, cells that
// are no quantity of their column's unit. Line is where; 0 for the table itself.
func (t *Table) Check() (line int, err error) {
	if t.Keys() == 0 {
		return 0, fmt.Errorf("it has no key: mark the columns that tell rows apart")
	}
	for i, c := range t.Columns {
		switch {
		case c.Key && i >= t.Keys():
			return 0, fmt.Errorf("the key %q stands behind a column that is none", c.Name)
		case c.Open && (i != t.Keys()-1 || c.Unit == ""):
			return 0, fmt.Errorf("column %q is open; only the last key can be, and only with a unit", c.Name)
		case c.Unit != "":
			if _, ok := quantity.UnitOf(c.Unit); !ok {
				return 0, fmt.Errorf("column %q: %q is no unit", c.Name, c.Unit)
			}
		}
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		if len(r.Cells) != len(t.Columns) {
			return r.Line, fmt.Errorf("row %d has %d cells, the table %d columns", i+1, len(r.Cells), len(t.Columns))
		}
		for k, cell := range r.Cells {
			switch {
			case cell == "" && t.Columns[k].Key && !t.Columns[k].Open:
				return r.Line, fmt.Errorf("row %d has no %s, which is a key", i+1, t.Columns[k].Name)
			case cell == "" || t.Columns[k].Unit == "":
			default:
				if _, err := t.Columns[k].Read(cell); err != nil {
					return r.Line, fmt.Errorf("row %d, %s: %w", i+1, t.Columns[k].Name, err)
				}
			}
		}
	}
	return 0, nil
}

// Read reads a cell of a column with a unit: a plain number in that unit, or a
// quantity with a unit of its own.
func (c Column) Read(cell string) (quantity.Quantity, error) {
	unit := quantity.MustUnit(c.Unit)
	if strings.IndexFunc(cell, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != '-' }) < 0 {
		d, err := quantity.ParseDecimal(cell)
		if err != nil {
			return quantity.Quantity{}, err
		}
		return quantity.New(d, unit), nil
	}
	return quantity.Parse(cell, unit, quantity.Options{})
}
