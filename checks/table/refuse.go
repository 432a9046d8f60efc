package table

import (
	"fmt"
	"strconv"
	"strings"

	"witnessmark.example/checks/quantity"
)

// fail makes the error of a lookup.
func (f *Figures) fail(r Reason, format string, args ...any) error {
	return &Error{Reason: r, Table: f.name, Text: fmt.Sprintf(format, args...)}
}

// find gives the place of a column, or -1.
func (f *Figures) find(name string) int {
	for i := range f.columns {
		if f.columns[i].name == name {
			return i
		}
	}
	return -1
}

func (f *Figures) noColumn(name string) error {
	return f.fail(NoColumn, "%s has no such column as %s", f.cite, strconv.Quote(name))
}

// figureColumn finds a column of figures: one with a unit, behind the keys.
func (f *Figures) figureColumn(name string) (int, error) {
	at := f.find(name)
	if at < f.keys || f.columns[at].unit.IsZero() {
		return 0, f.noColumn(name)
	}
	return at, nil
}

// checkSearched is checkKeys for lookups that search by the last key, which has
// to be a quantity then.
func (f *Figures) checkSearched(keys []Key) error {
	if last := f.columns[f.keys-1]; last.unit.IsZero() {
		return f.fail(BadKey, "%s of %s is a word, which has no larger and smaller", last.name, f.cite)
	}
	return f.checkKeys(keys, f.keys)
}

// checkKeys sees to it that there are n keys and that each is what its column
// holds: a word, or a quantity of the kind and, for a size, of the system.
func (f *Figures) checkKeys(keys []Key, n int) error {
	if len(keys) != n {
		return f.fail(BadKey, "%s is asked with %d keys where it takes %d", f.cite, len(keys), n)
	}
	for i, k := range keys {
		c := f.columns[i]
		switch {
		case c.unit.IsZero() && (k.word == "" || !k.quantity.IsZero()):
			return f.fail(BadKey, "%s of %s is a word; it is asked with %s", c.name, f.cite, k)
		case c.unit.IsZero():
		case k.quantity.IsZero() || k.quantity.Kind() != c.unit.Kind():
			return f.fail(BadKey, "%s of %s is a quantity in %s; it is asked with %s", c.name, f.cite, c.unit, k)
		case c.system != quantity.Neither && k.quantity.Unit().System() != c.system:
			return f.wrongSystem(k, c.system)
		}
	}
	return nil
}

func (f *Figures) wrongSystem(k Key, system quantity.System) error {
	if system == quantity.US {
		return f.fail(WrongSystem, "%s is a metric size and %s is in AWG and kcmil; no size is converted", k, f.cite)
	}
	return f.fail(WrongSystem, "%s is not a metric size and %s is in mm²; no size is converted", k, f.cite)
}

// figure gives the figure of a row, or says that the document has none there.
func (f *Figures) figure(row []cell, at int) (quantity.Quantity, error) {
	if !row[at].empty() {
		return row[at].quantity, nil
	}
	key := row[f.keys-1]
	name := f.columns[f.keys-1].name
	switch {
	case key.empty():
		return quantity.Quantity{}, f.fail(NoFigure, "%s has no figure for %s in its last row", f.cite, f.columns[at].name)
	case key.word != "":
		return quantity.Quantity{}, f.fail(NoFigure, "%s has no figure for %s at %s %s", f.cite, f.columns[at].name, name, key.word)
	}
	return quantity.Quantity{}, f.fail(NoFigure, "%s has no figure for %s at %s", f.cite, f.columns[at].name, Quantity(key.quantity))
}

// notThere says which key is not in the table, and what stands next to it.
func (f *Figures) notThere(keys []Key) error {
	known := 0 // keys that some row begins with
	for known < len(keys) && f.some(keys[:known+1]) {
		known++
	}
	if known == len(keys) {
		return f.fail(NoFigure, "%s has no figure", f.where(keys))
	}
	c, k := f.columns[known], keys[known]
	if c.unit.IsZero() {
		return f.fail(NoRow, "%s has no %s %s; it has %s", f.where(keys[:known]), c.name, k, strings.Join(f.words(keys[:known]), ", "))
	}
	below, above := f.around(keys[:known], k.quantity)
	switch {
	case below.IsZero() && above.IsZero():
		return f.fail(NoRow, "%s has no rows", f.where(keys[:known]))
	case below.IsZero():
		return f.fail(Beyond, "%s has no %s %s: it begins at %s", f.where(keys[:known]), c.name, k, Quantity(above))
	case above.IsZero():
		return f.fail(Beyond, "%s has no %s %s: it ends at %s", f.where(keys[:known]), c.name, k, Quantity(below))
	}
	return f.fail(NoRow, "%s has no %s %s: next to it are %s and %s", f.where(keys[:known]), c.name, k, Quantity(below), Quantity(above))
}

// beyond says that a value lies before or behind the rows of a table.
func (f *Figures) beyond(keys []Key) error {
	last := len(keys) - 1
	if last > 0 && !f.some(keys[:last]) {
		return f.notThere(keys[:last])
	}
	below, above := f.around(keys[:last], keys[last].quantity)
	where := f.where(keys[:last])
	switch {
	case !below.IsZero():
		return f.fail(Beyond, "%s ends at %s, before %s: nothing is extrapolated", where, Quantity(below), keys[last])
	case !above.IsZero():
		return f.fail(Beyond, "%s begins at %s, behind %s: nothing is extrapolated", where, Quantity(above), keys[last])
	}
	return f.fail(NoRow, "%s has no rows", where)
}

// some tells whether any row begins with these keys.
func (f *Figures) some(keys []Key) bool {
	for i := range f.rows() {
		if matches(f.row(i), keys) {
			return true
		}
	}
	return false
}

// around gives the keys next to a value among the rows that begin with keys.
func (f *Figures) around(keys []Key, value quantity.Quantity) (below, above quantity.Quantity) {
	for i := range f.rows() {
		row := f.row(i)
		if !matches(row, keys) || row[len(keys)].empty() {
			continue
		}
		q := row[len(keys)].quantity
		switch order := quantity.Compare(q, value); {
		case order <= 0 && (below.IsZero() || quantity.Compare(q, below) > 0):
			below = q
		case order >= 0 && (above.IsZero() || quantity.Compare(q, above) < 0):
			above = q
		}
	}
	return below, above
}

// words lists the words of the column behind keys.
func (f *Figures) words(keys []Key) []string {
	var out []string
	seen := map[string]bool{}
	for i := range f.rows() {
		row := f.row(i)
		if word := row[min(len(keys), len(row)-1)].word; matches(row, keys) && !seen[word] {
			seen[word] = true
			out = append(out, word)
		}
	}
	return out
}

// where names the part of a table that keys choose: "…, Table B.52.4, PVC".
func (f *Figures) where(keys []Key) string {
	var b strings.Builder
	b.WriteString(f.cite)
	for _, k := range keys {
		b.WriteString(", ")
		if k.word != "" {
			b.WriteString(k.word)
		} else {
			b.WriteString(k.String())
		}
	}
	return b.String()
}
