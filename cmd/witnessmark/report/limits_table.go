package report

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"witnessmark.example/checks"
	"witnessmark.example/checks/limit"
)

// limitsTableColumns are the headings of the table.
func limitsTableColumns() []string {
	return []string{"limit", "measure", "constraint", "grade", "clause", "defined"}
}

// LimitsTable writes a selection of limits as a table for people: columns as wide
// as their widest cell, nothing cut off; then the problems of definitions, and
// what was shown of how much.
func LimitsTable(sel *checks.Selection, problems []checks.Problem, s Settings) []byte {
	t := &lines{paint: newPalette(s.Colour), path: s.pathOf()}
	if len(sel.Limits) > 0 {
		rows := make([][]string, len(sel.Limits))
		for i := range sel.Limits {
			rows[i] = t.row(&sel.Limits[i])
		}
		t.table(limitsTableColumns(), rows)
		t.end()
	}
	for i := range problems {
		t.problem(t.path(problems[i].File), &problems[i])
	}
	t.shown(sel)
	return t.b
}

// row makes the cells of one limit, ready to be shown.
func (t *lines) row(l *checks.Listed) []string {
	constraint := l.Describe(false)
	if l.Printed != nil {
		constraint += " (as printed also " + l.Describe(true) + ")"
	}
	grade := string(l.Grade)
	if len(l.PromotedBy) > 0 {
		grade += ", promoted"
	}
	return []string{
		string(AppendPath(nil, l.FullName)), Shown(l.Measure), Shown(constraint), Shown(grade), Shown(l.Clause),
		Shown(t.path(l.At.File)) + ":" + strconv.Itoa(l.At.Line),
	}
}

// table writes aligned columns, widths counted in characters. A cell that is much
// longer than most goes on below itself, so that it does not push the next column
// out of sight.
func (t *lines) table(head []string, rows [][]string) {
	cells := make([][][]string, len(rows))
	width := make([]int, len(head))
	for i, name := range head {
		width[i] = utf8.RuneCountInString(name)
	}
	for n, row := range rows {
		for i, cell := range row {
			parts := wrap(cell)
			for _, part := range parts {
				width[i] = max(width[i], utf8.RuneCountInString(part))
			}
			cells[n] = append(cells[n], parts)
		}
	}
	t.b = append(t.b, t.paint.strong.on...)
	t.columns(head, width)
	t.b = append(t.b, t.paint.strong.off...)
	t.end()
	for _, row := range cells {
		for n, more := 0, true; more; n++ {
			line := make([]string, len(row))
			more = false
			for i, parts := range row {
				if n < len(parts) {
					line[i] = parts[n]
				}
				more = more || n+1 < len(parts)
			}
			t.columns(line, width)
			t.end()
		}
	}
}

// columns writes one line of cells, without spaces at its end.
func (t *lines) columns(cells []string, width []int) {
	const gap = 2
	spaces := 0
	for i, cell := range cells {
		if cell != "" {
			t.b = append(t.b, strings.Repeat(" ", spaces)...)
			t.b, spaces = append(t.b, cell...), 0
		}
		spaces += width[i] + gap - utf8.RuneCountInString(cell)
	}
}

// wrap breaks a long cell at spaces.
func wrap(cell string) []string {
	const most = 60
	var out []string
	line := ""
	for _, word := range strings.Split(cell, " ") {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > most:
			out, line = append(out, line), word
		default:
			line += " " + word
		}
	}
	return append(out, line)
}

// shown closes the table: how many of how many, how many of them decide, and what
// the filter left out because it has no place on the time line.
func (t *lines) shown(sel *checks.Selection) {
	n, blocking, promoted := len(sel.Limits), 0, 0
	sets, grades := map[string]bool{}, map[limit.Grade]int{}
	for i := range sel.Limits {
		l := &sel.Limits[i]
		sets[l.Source.Name], grades[l.Grade] = true, grades[l.Grade]+1
		if l.Blocking {
			blocking++
		}
		if l.Blocking && !l.Grade.Blocks() {
			promoted++
		}
	}
	if n == 0 {
		t.own("No limit is selected: none of ", plural(sel.Of, "limit", "limits"), " fits the filter")
	} else {
		t.own(strconv.Itoa(n), " of ", plural(sel.Of, "limit", "limits"), " shown; ", strconv.Itoa(blocking), " blocking")
		if promoted > 0 {
			t.own(" (", strconv.Itoa(promoted), " by the firm's policy)")
		}
		t.own(", ", strconv.Itoa(n-blocking), " advisory; from ", plural(len(sets), "source", "sources"))
	}
	for _, g := range limit.Grades() {
		if grades[g] > 0 {
			t.own("; ", string(g), ": ", strconv.Itoa(grades[g]))
		}
	}
	if sel.Undated > 0 {
		t.own("; ", strconv.Itoa(sel.Undated), " left out, since nobody has to record ", choose(sel.Undated == 1, "its measure", "their measures"), " at any stage")
	}
	t.own(".").end()
}

func choose(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}
