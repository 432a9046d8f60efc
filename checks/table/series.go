package table

import "witnessmark.example/checks/quantity"

// Series lists the values of a table's last key from the first row on, each
// once: the standard sizes, the standard ratings. With a column, only rows that
// have the word there; a column that the table does not have gives none.
func (f *Figures) Series(column, word string) []quantity.Quantity {
	at := -1
	if column != "" {
		if at = f.find(column); at < 0 {
			return nil
		}
	}
	var out []quantity.Quantity
	for i := range f.rows() {
		row := f.row(i)
		key := row[f.keys-1].quantity
		if key.IsZero() || at >= 0 && !hasWord(row[at].word, word) {
			continue
		}
		if n := len(out); n == 0 || quantity.Compare(out[n-1], key) != 0 {
			out = append(out, key)
		}
	}
	return out
}
