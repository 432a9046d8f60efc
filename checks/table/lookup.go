package table

import (
	"strings"

	"witnessmark.example/checks/quantity"
)

// At gives the figure of the row with exactly these keys. A size matches only
// sizes of its own system: none is converted. Errors are of type *Error.
func (f *Figures) At(column string, keys ...Key) (quantity.Quantity, error) {
	at, err := f.figureColumn(column)
	if err != nil {
		return quantity.Quantity{}, err
	}
	if err := f.checkKeys(keys, f.keys); err != nil {
		return quantity.Quantity{}, err
	}
	for i := range f.rows() {
		row := f.row(i)
		if matches(row, keys) {
			return f.figure(row, at)
		}
	}
	return quantity.Quantity{}, f.notThere(keys)
}

// UpTo is for tables whose rows hold up to and including their last key, from
// the row above on: the figure of the first row whose last key is not below the
// value, which is the last of keys. Below the first row the first row holds. An
// open last row holds for everything behind the others; without one, a value
// behind the end is an error. Errors are of type *Error.
func (f *Figures) UpTo(column string, keys ...Key) (quantity.Quantity, error) {
	at, last, err := f.band(column, keys)
	if err != nil {
		return quantity.Quantity{}, err
	}
	value := keys[last].quantity
	for i := range f.rows() {
		row := f.row(i)
		if matches(row, keys[:last]) && (row[last].empty() || quantity.Compare(row[last].quantity, value) >= 0) {
			return f.figure(row, at)
		}
	}
	return quantity.Quantity{}, f.beyond(keys)
}

// From is for tables whose rows hold from their last key on, up to the next row,
// and the last of them without end: the figure of the last row whose last key is
// not above the value, which is the last of keys. Before the first row is an
// error. Errors are of type *Error.
func (f *Figures) From(column string, keys ...Key) (quantity.Quantity, error) {
	at, last, err := f.band(column, keys)
	if err != nil {
		return quantity.Quantity{}, err
	}
	value, found := keys[last].quantity, -1
	for i := range f.rows() {
		row := f.row(i)
		if matches(row, keys[:last]) && !row[last].empty() && quantity.Compare(row[last].quantity, value) <= 0 {
			found = i
		}
	}
	if found < 0 {
		return quantity.Quantity{}, f.beyond(keys)
	}
	return f.figure(f.row(found), at)
}

// Next gives the smallest last key that is not below the value, which is the
// last of keys: the next standard rating. Errors are of type *Error.
func (f *Figures) Next(keys ...Key) (quantity.Quantity, error) {
	return f.next(-1, "", keys)
}

// NextOf is Next among the rows that have the word in a column: the next rating
// of a "breaker" by the column "device". A cell such as "fuse and breaker" has
// both words.
func (f *Figures) NextOf(column, word string, keys ...Key) (quantity.Quantity, error) {
	at := f.find(column)
	if at < 0 || !f.columns[at].unit.IsZero() {
		return quantity.Quantity{}, f.noColumn(column)
	}
	return f.next(at, word, keys)
}

func (f *Figures) next(at int, word string, keys []Key) (quantity.Quantity, error) {
	if err := f.checkSearched(keys); err != nil {
		return quantity.Quantity{}, err
	}
	last := f.keys - 1
	value := keys[last].quantity
	for i := range f.rows() {
		row := f.row(i)
		switch {
		case !matches(row, keys[:last]) || row[last].empty() || at >= 0 && !hasWord(row[at].word, word):
		case quantity.Compare(row[last].quantity, value) >= 0:
			return row[last].quantity, nil
		}
	}
	return quantity.Quantity{}, f.beyond(keys)
}

// Smallest gives the last key of the first row whose figure in the column is at
// least the value: the smallest size that has the area or carries the current.
// Keys are those before the last. Empty cells are passed over. Errors are of
// type *Error.
func (f *Figures) Smallest(column string, atLeast quantity.Quantity, keys ...Key) (quantity.Quantity, error) {
	at, err := f.figureColumn(column)
	if err != nil {
		return quantity.Quantity{}, err
	}
	if err := f.checkKeys(keys, f.keys-1); err != nil {
		return quantity.Quantity{}, err
	}
	if atLeast.IsZero() || atLeast.Kind() != f.columns[at].unit.Kind() {
		return quantity.Quantity{}, f.fail(BadKey, "%s of %s is asked for by something that is no %s", column, f.cite, f.columns[at].unit.Kind())
	}
	some := false
	for i := range f.rows() {
		row := f.row(i)
		if !matches(row, keys) || row[at].empty() || row[f.keys-1].quantity.IsZero() {
			continue
		}
		some = true
		if quantity.Compare(row[at].quantity, atLeast) >= 0 {
			return row[f.keys-1].quantity, nil
		}
	}
	if !some {
		return quantity.Quantity{}, f.notThere(keys)
	}
	return quantity.Quantity{}, f.fail(Beyond, "no %s of %s has %s of at least %s: nothing is extrapolated",
		f.columns[f.keys-1].name, f.where(keys), column, atLeast.Format(atLeast.Unit()))
}

// band checks what UpTo and From are given.
func (f *Figures) band(column string, keys []Key) (at, last int, err error) {
	if at, err = f.figureColumn(column); err != nil {
		return 0, 0, err
	}
	return at, f.keys - 1, f.checkSearched(keys)
}

// matches tells whether a row begins with these keys. An open end matches none.
func matches(row []cell, keys []Key) bool {
	for k := range keys {
		switch {
		case row[k].empty() || row[k].word != keys[k].word:
			return false
		case row[k].word == "" && quantity.Compare(row[k].quantity, keys[k].quantity) != 0:
			return false
		}
	}
	return true
}

// hasWord tells whether a cell, "fuse and breaker", has a word.
func hasWord(cell, word string) bool {
	for more := true; more; {
		var one string
		if one, cell, more = strings.Cut(cell, " and "); one == word {
			return true
		}
	}
	return false
}
