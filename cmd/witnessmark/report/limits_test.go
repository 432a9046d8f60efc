package report

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/limit"
)

// Cells are inert in a spreadsheet, and what is harmless stays as it is.
func TestCell(t *testing.T) {
	for given, want := range map[string]string{
		"":               "",
		"plain":          "plain",
		"=1+1":           "'=1+1",
		"+1":             "'+1",
		"-5 °C":          "'-5 °C",
		"@sum":           "'@sum",
		"\tx":            `'\u0009x`,
		"\rx":            `'\u000dx`,
		"＝1":             "'＝1",
		" =1":            "' =1",
		"\u00a0=1":       "'\u00a0=1",
		"\u3000＋1":       "'\u3000＋1",
		"\"=1":           "'\"=1",
		"'=1":            "''=1",
		"“-1":            "'“-1",
		"a;=1":           "a;'=1",
		"a; -1;b":        "a;' -1;b",
		"a;b=1":          "a;b=1",
		"\ufeff=1":       `\ufeff=1`,
		";":              ";",
		">= -5 °C":       ">= -5 °C",
		"a\x1b[31m":      `a\u001b[31m`,
		"a::error::b":    `a:\u003aerror:\u003ab`,
		"two\nlines":     `two\u000alines`,
		"not UTF-8 \xff": `not UTF-8 \xff`,
	} {
		assert.Equal(t, want, cell(given), "%q", given)
	}
}

func TestLimitsTargets(t *testing.T) {
	formats := []string{"table", "json", "csv"}
	got, err := LimitsTargets(nil, formats)
	require.NoError(t, err)
	assert.Equal(t, "table", got[0].Format.Name)
	got, err = LimitsTargets([]string{"json:-", "csv:a:b.csv"}, formats)
	require.NoError(t, err)
	assert.Empty(t, got[0].Path)
	assert.Equal(t, "a:b.csv", got[1].Path)
	for text, want := range map[string]string{
		"tabel":              `did you mean "table"`,
		"json:":              "the path behind",
		"text":               "formats are table, json, csv",
		"json csv":           "only one report can go to standard output",
		"json:x.a csv:./x.a": "two reports cannot go to the same file",
	} {
		_, err := LimitsTargets(strings.Fields(text), formats)
		assert.ErrorContains(t, err, want, text)
	}
}

// A constraint keeps its form, and its numbers are numbers of JSON however the
// definition writes them.
func TestConstraintAsJSON(t *testing.T) {
	no := false
	c := limit.Constraint{Op: limit.Any, Args: []limit.Constraint{
		{Op: limit.AtMost, Operand: &limit.Operand{Number: "1_000.50"}},
		{Op: limit.Less, Operand: &limit.Operand{Number: "-.5"}},
		{Op: limit.Equals, Operand: &limit.Operand{Text: "a \"b\"\x1b"}},
		{Op: limit.Equals, Operand: &limit.Operand{Truth: &no}},
		{Op: limit.AtLeast, Operand: &limit.Operand{Fact: "stacks.modules", Times: "1.25", Plus: "-2"}},
	}}
	text := appendConstraint(nil, &c)
	var back map[string]any
	require.NoError(t, json.Unmarshal(text, &back), "%s", text)
	assert.Contains(t, string(text), `{"op":"any","of":[`)
	assert.Contains(t, string(text), `{"op":"=","text":"a \"b\"\u001b"}`)
	assert.Contains(t, string(text), `{"op":"=","truth":false}`)
	assert.Contains(t, string(text), `{"op":">=","fact":"stacks.modules","times":1.25,"plus":-2}`)
}

// A table without rows says so and still counts.
func TestEmptySelection(t *testing.T) {
	text := string(LimitsTable(&checks.Selection{Of: 72, Undated: 1}, nil, Settings{}))
	assert.Equal(t, "No limit is selected: none of 72 limits fits the filter; 1 left out, since nobody has to record its measure at any stage.\n", text)
	assert.Equal(t, "[]\n", string(LimitsJSON(&checks.Selection{Of: 72})))
	csv, err := LimitsCSV(&checks.Selection{Of: 72})
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(string(csv), "\r\n"), "the names of the columns only")
}

// Problems stand in the table with what mends them.
func TestTableWithProblems(t *testing.T) {
	text := string(LimitsTable(&checks.Selection{Of: 1}, []checks.Problem{{File: "::a.cue", Message: "broken\x07", Mend: "mend it"}}, Settings{}))
	assert.Contains(t, text, "\\u003a:a.cue: problem: broken\\u0007\n  mend        mend it\n")
}
