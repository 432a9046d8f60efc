package report

import (
	"encoding/csv"
	"strconv"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/limit"
	"witnessmark.example/cmd/witnessmark/since"
)

// builtInSet stands for the rule set of built-in checks, as in the counts of a run.
const builtInSet = "record"

// measure is one row of the table. Empty is what does not apply.
type measure struct {
	job, premises, status, stage string
	file                         string // of the job
	at                           jobfile.Position
	list, entry, fact, label     string
	number                       string // the value where it is one, with a point
	text                         string // the value where it is none
	unit, written, planned       string
	limit, ruleSet               string
	within, bound, margin        string // bound and margin are numbers
	outcome, blocking, strictest string
	grade, title, edition        string
	clause, decidedBy, address   string
	reason, waitsOn, formula     string
	state, inBase                string // beside the base of --since; empty without
}

// measureColumn is one column. What a number column has is written as it is, so that
// a margin below zero stays a number; everything else goes through cell.
type measureColumn struct {
	name   string
	number bool
	of     func(m *measure) string
}

func measureColumns() []measureColumn {
	return []measureColumn{
		{"job", false, func(m *measure) string { return m.job }},
		{"premises", false, func(m *measure) string { return m.premises }},
		{"status", false, func(m *measure) string { return m.status }},
		{"stage", false, func(m *measure) string { return m.stage }},
		{"file", false, func(m *measure) string { return m.file }},
		{"line", true, func(m *measure) string { return positive(m.at.Line) }},
		{"column", true, func(m *measure) string { return positive(m.at.Column) }},
		{"list", false, func(m *measure) string { return m.list }},
		{"entry", false, func(m *measure) string { return m.entry }},
		{"fact", false, func(m *measure) string { return m.fact }},
		{"label", false, func(m *measure) string { return m.label }},
		{"value", true, func(m *measure) string {
			if m.number != "" {
				return m.number
			}
			return cell(m.text)
		}},
		{"unit", false, func(m *measure) string { return m.unit }},
		{"written", false, func(m *measure) string { return m.written }},
		{"planned", false, func(m *measure) string { return m.planned }},
		{"limit", false, func(m *measure) string { return m.limit }},
		{"rule_set", false, func(m *measure) string { return m.ruleSet }},
		{"within", false, func(m *measure) string { return m.within }},
		{"bound", true, func(m *measure) string { return m.bound }},
		{"margin", true, func(m *measure) string { return m.margin }},
		{"outcome", false, func(m *measure) string { return m.outcome }},
		{"blocking", false, func(m *measure) string { return m.blocking }},
		{"strictest", false, func(m *measure) string { return m.strictest }},
		{"grade", false, func(m *measure) string { return m.grade }},
		{"title", false, func(m *measure) string { return m.title }},
		{"edition", false, func(m *measure) string { return m.edition }},
		{"clause", false, func(m *measure) string { return m.clause }},
		{"decided_by", false, func(m *measure) string { return m.decidedBy }},
		{"address", false, func(m *measure) string { return m.address }},
		{"reason", false, func(m *measure) string { return m.reason }},
		{"waits_on", false, func(m *measure) string { return m.waitsOn }},
		{"formula", false, func(m *measure) string { return m.formula }},
		{"state", false, func(m *measure) string { return m.state }},
		{"in_base", false, func(m *measure) string { return m.inBase }},
	}
}

// of takes over what a limit says of itself.
func (m *measure) of(l *limit.Planned, second bool) {
	m.limit, m.ruleSet, m.within = l.FullName, l.Source.Name, l.Describe(second)
	m.grade, m.title, m.edition, m.clause = string(l.Grade), l.Source.Title, l.Source.Edition, l.Clause
	m.decidedBy, m.address = l.Source.DecidedBy, l.Address
	if m.address == "" {
		m.address = l.Source.Address
	}
}

func truth(is bool) string { return strconv.FormatBool(is) }

// positive writes a number that counts from 1; nothing for none.
func positive(n int) string {
	if n <= 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// table gathers rows behind what is there already.
type table struct {
	b       []byte
	out     *csv.Writer
	columns []measureColumn
	cells   []string
}

func newTable(dst []byte) *table {
	t := &table{b: dst, columns: measureColumns()}
	t.cells = make([]string, len(t.columns))
	t.out = newCSV(t)
	return t
}

// Write takes what the library makes of rows; it never fails.
func (t *table) Write(p []byte) (int, error) {
	t.b = append(t.b, p...)
	return len(p), nil
}

func (t *table) row(m *measure) {
	for i, c := range t.columns {
		t.cells[i] = c.of(m)
		if !c.number {
			t.cells[i] = cell(t.cells[i])
		}
	}
	_ = t.out.Write(t.cells) // fails only where Write does
}

// done returns all there is.
func (t *table) done() []byte {
	t.out.Flush()
	return t.b
}

// beside takes over what a finding is beside the base.
func (m *measure) beside(v since.Verdict) {
	m.state = string(v.State)
	if v.Was == nil {
		return
	}
	m.inBase = v.Was.Kind.String()
	if v.Was.Value != "" {
		m.inBase += ", " + v.Was.Value
	}
}
