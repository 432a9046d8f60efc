package review

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// Table is a table of figures as data, for looking at its rows.
type Table struct {
	Name string
	Keys []string // the columns that tell rows apart, the first counting most
	Rows []Row
	At   fact.Origin
}

// Row is one row of a table: its values in the columns of the keys.
type Row struct {
	Key []float64
	At  fact.Origin
}

// CheckTable looks for rows that are out of order and rows with the same keys:
// keys have to ascend strictly, the first column first. A row without all keys
// is reported too.
func CheckTable(t Table) []Remark {
	var out []Remark
	for i, r := range t.Rows {
		if len(r.Key) != len(t.Keys) {
			out = append(out, Remark{At: r.At, Code: "table-row", Message: fmt.Sprintf("row %d of %s has %d of %d keys (%s)", i+1, t.Name, len(r.Key), len(t.Keys), strings.Join(t.Keys, ", ")), Mend: "complete the row"})
			continue
		}
		same := slices.IndexFunc(t.Rows[:i], func(o Row) bool { return slices.Equal(o.Key, r.Key) })
		switch {
		case same >= 0:
			out = append(out, Remark{At: r.At, Code: "table-row-twice", Message: fmt.Sprintf("row %d of %s has the keys of row %d (at %s): %s", i+1, t.Name, same+1, t.Rows[same].At, keys(t, r)), Mend: "keep one of the two"})
		case i > 0 && slices.Compare(t.Rows[i-1].Key, r.Key) > 0:
			out = append(out, Remark{At: r.At, Code: "table-order", Message: fmt.Sprintf("row %d of %s (%s) stands behind a row with larger keys", i+1, t.Name, keys(t, r)), Mend: "sort the rows by " + strings.Join(t.Keys, ", ")})
		}
	}
	return out
}

func keys(t Table, r Row) string {
	out := make([]string, len(r.Key))
	for i, k := range r.Key {
		out[i] = fmt.Sprintf("%s %g", t.Keys[i], k)
	}
	return strings.Join(out, ", ")
}

// series looks at limits that are rows of one printed table: one source and
// measure, conditions alike but for the range of one number. Rows have to stand
// in the order of their ranges, and between two of them no value may fall into
// neither.
func series(s *Subject) []Remark {
	var out []Remark
	for _, set := range s.groups() {
		for _, rows := range limit.Series(set.Limits) {
			t := Table{Name: "the limits on " + rows[0].Limit.Measure + " of " + set.Source.Name, Keys: []string{rows[0].Fact}, At: rows[0].Limit.At}
			for _, r := range rows {
				t.Rows = append(t.Rows, Row{Key: []float64{r.Low}, At: r.Limit.At})
			}
			out = append(out, orderOnly(CheckTable(t))...)
			out = append(out, holes(rows)...)
		}
	}
	return out
}

// orderOnly keeps what is out of order: that two rows of limits begin at the same
// number may be meant, since the strictest decides.
func orderOnly(all []Remark) []Remark {
	return slices.DeleteFunc(all, func(r Remark) bool { return r.Code != "table-order" })
}

// holes looks for values between two rows that belong to neither.
func holes(rows []limit.Row) []Remark {
	sorted := slices.Clone(rows)
	slices.SortStableFunc(sorted, func(a, b limit.Row) int {
		switch {
		case a.Low < b.Low:
			return -1
		case a.Low > b.Low:
			return 1
		}
		return 0
	})
	var out []Remark
	reach := sorted[0]
	for _, next := range sorted[1:] {
		if reach.LeavesHole(next) {
			out = append(out, Remark{At: next.Limit.At, Code: "table-gap", Message: fmt.Sprintf("a value of %s between %s (%s) and %s (%s, at %s) belongs to neither", next.Fact, next.Limit.FullName, next.Asked, reach.Limit.FullName, reach.Asked, reach.Limit.At),
				Mend: "let one of them begin where the other ends"})
		}
		if next.Reaches(reach) {
			reach = next
		}
	}
	return out
}
