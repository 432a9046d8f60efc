package report

import (
	_ "embed"
	"strconv"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// CalculateSchema is the JSON Schema (2020-12) of what calculate writes as JSON.
//
//go:embed calculate.schema.json
var CalculateSchema []byte

// CalculatedJSON writes a measure that was calculated from values given by hand,
// with its calculations in the form of the lint report.
func CalculatedJSON(c *checks.Calculated, tool string) []byte {
	b := calculateHead(tool)
	b = appendText(b, "measure", c.Measure.Path)
	b = appendText(b, "label", label(c.Measure))
	b = appendValue(b, "value", c.Result, c.Measure, c.Measure.Of)
	b = appendText(b, "unit", c.Measure.UnitName(c.Measure.Of))
	b = append(b, `,"calculations":[`...)
	for i, w := range c.Workings {
		b = appendWorking(append(comma(b, i), '\n'), w)
	}
	b = appendText(append(b, ']'), "caution", calculateCaution)
	return append(b, "}\n"...)
}

// MeasuresJSON writes a list of what can be calculated.
func MeasuresJSON(measures []*fact.Leaf, tool string) []byte {
	b := append(calculateHead(tool), `,"measures":[`...)
	for i, m := range measures {
		b = AppendJSON(append(comma(b, i), "\n{\"measure\":"...), m.Path)
		b = appendText(b, "unit", m.UnitName(m.Of))
		b = appendText(b, "label", label(m))
		b = appendText(b, "formula", m.Calculation.Formula)
		b = append(b, '}')
	}
	return append(b, "]}\n"...)
}

func calculateHead(tool string) []byte {
	b := appendText([]byte(`{"tool":{"name":"witnessmark"`), "version", tool)
	return strconv.AppendInt(append(b, `},"format_version":`...), FormatVersion, 10)
}
