package table

import (
	"fmt"
	"strconv"

	"witnessmark.example/checks/quantity"
)

// Set is tables by name. It does not change and may be used by many goroutines;
// the zero value is empty.
type Set struct{ byName map[string]*Figures }

// NewSet reads tables once, so that no lookup parses text. It gives an error for
// a table that Check refuses, and for two of one name.
func NewSet(tables []Table) (*Set, error) {
	s := &Set{byName: make(map[string]*Figures, len(tables))}
	for i := range tables {
		f, err := New(&tables[i])
		if err != nil {
			return nil, err
		}
		if s.byName[f.name] != nil {
			return nil, fmt.Errorf("two tables have the name %s", f.name)
		}
		s.byName[f.name] = f
	}
	return s, nil
}

// Get gives the table of a name such as "us/nec-2023/310.16".
func (s *Set) Get(name string) (*Figures, error) {
	if f := s.byName[name]; f != nil {
		return f, nil
	}
	return nil, &Error{Reason: NoTable, Table: name, Text: "there is no table " + strconv.Quote(name)}
}

// Figures is one table, read and ready for lookups. It does not change. A
// lookup that finds its figure allocates nothing.
type Figures struct {
	name, cite, grade string
	columns           []column
	keys              int    // the first columns, which tell rows apart
	cells             []cell // row by row
}

// column is one column of a table that was read.
type column struct {
	name   string
	unit   quantity.Unit   // none for words
	system quantity.System // of the sizes in it; Neither for everything but sizes
}

// cell is a quantity, a word, or neither where the source has none. As the last
// key, neither is the open end.
type cell struct {
	quantity quantity.Quantity
	word     string
}

func (c *cell) empty() bool { return c.word == "" && c.quantity.IsZero() }

// New reads one table. Besides what Check refuses it refuses a column of sizes
// that mixes AWG and kcmil with mm².
func New(t *Table) (*Figures, error) {
	if line, err := t.Check(); err != nil {
		return nil, fmt.Errorf("table %s, line %d: %w", t.Name, line, err)
	}
	f := &Figures{name: t.Name, cite: t.Cite(), grade: t.Grade, keys: t.Keys()}
	for _, c := range t.Columns {
		unit, _ := quantity.UnitOf(c.Unit)
		f.columns = append(f.columns, column{name: c.Name, unit: unit})
	}
	for _, r := range t.Rows {
		for i, text := range r.Cells {
			value, err := f.read(&f.columns[i], &t.Columns[i], text)
			if err != nil {
				return nil, fmt.Errorf("table %s, line %d: %w", t.Name, r.Line, err)
			}
			f.cells = append(f.cells, value)
		}
	}
	return f, nil
}

// read reads one cell and keeps in mind in which system a column's sizes are.
func (f *Figures) read(c *column, from *Column, text string) (cell, error) {
	switch {
	case text == "":
		return cell{}, nil
	case c.unit.IsZero():
		return cell{word: text}, nil
	}
	q, err := from.Read(text)
	if err != nil {
		return cell{}, fmt.Errorf("%s: %w", c.name, err)
	}
	if q.IsZero() {
		return cell{}, fmt.Errorf("%s: %q is no quantity", c.name, text)
	}
	if from.Key && q.Kind() == quantity.Area {
		if c.system != quantity.Neither && c.system != q.Unit().System() {
			return cell{}, fmt.Errorf("%s: %s stands among sizes of the other system", c.name, text)
		}
		c.system = q.Unit().System()
	}
	return cell{quantity: q}, nil
}

// Name is the table's name, "us/nec-2023/310.16".
func (f *Figures) Name() string { return f.name }

// Cite names the table as a reader of a calculation knows it.
func (f *Figures) Cite() string { return f.cite }

// Grade tells how the figures are known, in the words of #Grade of the
// definitions ("copy", "memory").
func (f *Figures) Grade() string { return f.grade }

// row gives the cells of one row.
func (f *Figures) row(i int) []cell { return f.cells[i*len(f.columns) : (i+1)*len(f.columns)] }

// rows counts the rows.
func (f *Figures) rows() int { return len(f.cells) / len(f.columns) }
