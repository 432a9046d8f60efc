package table

import "witnessmark.example/checks/quantity"

// PrecedingOf is the other side of NextOf: the largest last key that is not above
// the value, which is the last of keys, among the rows that have the word in a
// column: the largest standard rating of a "breaker" at or below an ampacity.
// Errors are of type *Error.
func (f *Figures) PrecedingOf(column, word string, keys ...Key) (quantity.Quantity, error) {
	at := f.find(column)
	if at < 0 || !f.columns[at].unit.IsZero() {
		return quantity.Quantity{}, f.noColumn(column)
	}
	if err := f.checkSearched(keys); err != nil {
		return quantity.Quantity{}, err
	}
	last, found := f.keys-1, quantity.Quantity{}
	value := keys[last].quantity
	for i := range f.rows() {
		row := f.row(i)
		if !matches(row, keys[:last]) || row[last].empty() || !hasWord(row[at].word, word) {
			continue
		}
		if quantity.Compare(row[last].quantity, value) <= 0 {
			found = row[last].quantity
		}
	}
	if found.IsZero() {
		return found, f.fail(Beyond, "%s has no %s at or below %s for a %s", f.where(keys[:last]), f.columns[last].name, keys[last], word)
	}
	return found, nil
}
