package review

import (
	"math"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/table"
)

// tables looks at the published tables: rows in order and once each, reviews
// that are due.
func tables(s *Subject) []Remark {
	var out []Remark
	for i := range s.Tables {
		t := &s.Tables[i]
		out = append(out, CheckTable(byKeys(t))...)
		at := fact.Origin{File: t.File, Line: t.Line}
		out = append(out, s.dates(reviewOf{name: "table " + t.Name, at: at, reviewed: t.Reviewed, by: t.ReviewBy})...)
	}
	return out
}

// byKeys reads the keys of every row: quantities in base units, words by the
// order in which they first stand, so that rows of one word have to stand
// together.
func byKeys(t *table.Table) Table {
	out := Table{Name: t.Name, At: fact.Origin{File: t.File, Line: t.Line}}
	for _, c := range t.Columns[:t.Keys()] {
		out.Keys = append(out.Keys, c.Name)
	}
	words := make([][]string, len(out.Keys))
	for _, r := range t.Rows {
		row := Row{At: fact.Origin{File: t.File, Line: r.Line}}
		for k := range out.Keys {
			if t.Columns[k].Unit == "" {
				if !slices.Contains(words[k], r.Cells[k]) {
					words[k] = append(words[k], r.Cells[k])
				}
				row.Key = append(row.Key, float64(slices.Index(words[k], r.Cells[k])))
				continue
			}
			if r.Cells[k] == "" { // the open end
				row.Key = append(row.Key, math.Inf(1))
				continue
			}
			if q, err := t.Columns[k].Read(r.Cells[k]); err == nil { // a table that is not whole is not loaded
				row.Key = append(row.Key, q.Base())
			}
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}
