package report

import (
	"bytes"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// limitsColumn is one column of the CSV listing.
type limitsColumn struct {
	name string
	of   func(l *checks.Listed) string
}

func limitsColumns() []limitsColumn {
	return []limitsColumn{
		{"limit", func(l *checks.Listed) string { return l.FullName }},
		{"rule_set", func(l *checks.Listed) string { return l.Source.Name }},
		{"title", func(l *checks.Listed) string { return l.Source.Title }},
		{"edition", func(l *checks.Listed) string { return l.Source.Edition }},
		{"kind", func(l *checks.Listed) string { return string(l.Source.Kind) }},
		{"measure", func(l *checks.Listed) string { return l.Measure }},
		{"label", func(l *checks.Listed) string { return label(l.Way.Leaf) }},
		{"within", func(l *checks.Listed) string { return l.Describe(false) }},
		{"unit", func(l *checks.Listed) string { return l.Way.Leaf.UnitName(l.Of) }},
		{"printed", func(l *checks.Listed) string {
			if l.Printed == nil {
				return ""
			}
			return l.Describe(true)
		}},
		{"when", func(l *checks.Listed) string { return strings.Join(l.Conditions(), "; ") }},
		{"from", func(l *checks.Listed) string { return l.From.String() }},
		{"until", func(l *checks.Listed) string { return l.Until.String() }},
		{"selected_by", func(l *checks.Listed) string { return l.Source.SelectedBy }},
		{"replaces", func(l *checks.Listed) string { return strings.Join(l.Replaces, " ") }},
		{"hands_over_to", func(l *checks.Listed) string { return l.HandsOverTo }},
		{"scope", func(l *checks.Listed) string { return l.Judges() }},
		{"due", func(l *checks.Listed) string { return dueText(l.Due()) }},
		{"clause", func(l *checks.Listed) string { return l.Clause }},
		{"grade", func(l *checks.Listed) string { return string(l.Grade) }},
		{"blocking", func(l *checks.Listed) string { return strconv.FormatBool(l.Blocking) }},
		{"promoted_by", func(l *checks.Listed) string { return strings.Join(l.PromotedBy, " ") }},
		{"reviewed", func(l *checks.Listed) string { return l.Reviewed }},
		{"review_by", func(l *checks.Listed) string { return l.ReviewBy }},
		{"decided_by", func(l *checks.Listed) string { return l.Source.DecidedBy }},
		{"address", func(l *checks.Listed) string { return addressOf(l) }},
		{"why", func(l *checks.Listed) string { return l.Why }},
		{"file", func(l *checks.Listed) string { return l.At.File }},
		{"line", func(l *checks.Listed) string { return strconv.Itoa(l.At.Line) }},
	}
}

// LimitsCSV writes a selection of limits as RFC 4180 has it, with a row of names
// first. A cell that a spreadsheet would take for a formula begins with an
// apostrophe.
func LimitsCSV(sel *checks.Selection) ([]byte, error) {
	columns := limitsColumns()
	row := make([]string, len(columns))
	for i, c := range columns {
		row[i] = c.name
	}
	var out bytes.Buffer
	w := newCSV(&out)
	if err := w.Write(row); err != nil {
		return nil, err
	}
	for n := range sel.Limits {
		for i, c := range columns {
			row[i] = cell(c.of(&sel.Limits[n]))
		}
		if err := w.Write(row); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

// addressOf is the page that was read for a limit, else that of its source.
func addressOf(l *checks.Listed) string {
	if l.Address != "" {
		return l.Address
	}
	return l.Source.Address
}

// dueText is a due date as definitions write it; empty for what nobody has to
// record.
func dueText(d fact.Due) string {
	if d.At == fact.Never {
		return ""
	}
	return d.String()
}
