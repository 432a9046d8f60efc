package define

import (
	"fmt"
	"io/fs"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/table"
)

// readTables reads the tables of figures that ship.
func readTables(l *loader, own fs.FS) ([]table.Table, error) {
	if _, err := fs.Stat(own, "tables"); err != nil {
		return nil, nil // a module of a test may do without
	}
	v, err := l.ownPackage("tables")
	if err != nil {
		return nil, fmt.Errorf("package tables: %w", err)
	}
	all := v.LookupPath(cue.ParsePath("#tables"))
	if err := all.Validate(); err != nil {
		return nil, fmt.Errorf("package tables: %w", err)
	}
	it, err := all.Fields()
	if err != nil {
		return nil, fmt.Errorf("package tables: %w", err)
	}
	var out []table.Table
	for it.Next() {
		t, err := readTable(it.Value(), it.Selector().Unquoted())
		if err != nil {
			return nil, fmt.Errorf("%s: table %s: %w", at(it.Value().Pos()), it.Selector().Unquoted(), err)
		}
		if line, err := t.Check(); err != nil {
			if line == 0 {
				line = t.Line
			}
			return nil, fmt.Errorf("%s:%d: table %s: %w", t.File, line, t.Name, err)
		}
		if _, err := table.New(&t); err != nil {
			return nil, fmt.Errorf("%s: %w", t.File, err)
		}
		out = append(out, t)
	}
	return out, nil
}

func readTable(v cue.Value, name string) (table.Table, error) {
	where := origin(v.LookupPath(cue.ParsePath("title")))
	t := table.Table{Name: name, Title: text(v, "title"), Document: text(v, "document"), Edition: text(v, "edition"), Clause: text(v, "clause"),
		Grade: text(v, "grade"), Address: text(v, "address"), Reviewed: text(v, "reviewed"), ReviewBy: text(v, "review_by"), Note: text(v, "note"),
		File: where.File, Line: where.Line}
	columns, err := v.LookupPath(cue.ParsePath("columns")).List()
	if err != nil {
		return t, fmt.Errorf("columns are no list")
	}
	for columns.Next() {
		c := columns.Value()
		t.Columns = append(t.Columns, table.Column{Name: text(c, "name"), Unit: text(c, "unit"), Key: truth(c, "key"), Open: truth(c, "open")})
	}
	rows, err := v.LookupPath(cue.ParsePath("rows")).List()
	if err != nil {
		return t, fmt.Errorf("rows are no list")
	}
	for rows.Next() {
		row := table.Row{Line: origin(rows.Value()).Line}
		cells, err := rows.Value().List()
		if err != nil {
			return t, fmt.Errorf("a row is no list")
		}
		for cells.Next() {
			cell, err := readCell(cells.Value())
			if err != nil {
				return t, fmt.Errorf("line %d: %w", row.Line, err)
			}
			row.Cells = append(row.Cells, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}

// readCell keeps a figure as it is written: the author's digits, never a float's.
func readCell(v cue.Value) (string, error) {
	switch v.Kind() {
	case cue.NullKind:
		return "", nil
	case cue.StringKind:
		return v.String()
	}
	return number(v)
}
