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
	b = appendWire(b, c.Result)
	b = append(b, `,"calculations":[`...)
	for i, w := range c.Workings {
		b = appendWorking(append(comma(b, i), '\n'), w)
	}
	b = appendText(append(b, ']'), "caution", calculateCaution)
	return append(b, "}\n"...)
}

// NotCalculatedJSON writes why a measure was not calculated, with all that it takes.
func NotCalculatedJSON(n *checks.NotCalculated, tool string) []byte {
	b := calculateHead(tool)
	b = appendText(b, "measure", n.Measure.Path)
	b = appendText(b, "label", label(n.Measure))
	b = appendText(b, "formula", n.Measure.Calculation.Formula)
	b = appendTexts(b, "mistakes", n.Mistakes)
	b = appendTexts(b, "missing", n.Missing)
	b = appendSome(b, "reason", n.Reason)
	b = append(b, `,"needs":[`...)
	for i := range n.Needs {
		b = appendNeeded(append(comma(b, i), '\n'), &n.Needs[i])
	}
	return append(b, "]}\n"...)
}

func appendNeeded(b []byte, d *checks.Needed) []byte {
	b = AppendJSON(append(b, `{"fact":`...), d.Route)
	b = appendTexts(b, "symbols", d.Symbols)
	b = appendText(b, "label", neededLabel(d))
	b = appendText(b, "takes", neededUnit(d))
	b = appendText(b, "key", d.Key)
	b = appendText(b, "example", sampleOf(d))
	b = appendTruth(b, "optional", d.Optional)
	return append(appendTruth(b, "repeated", d.Repeated), '}')
}

// MeasuresJSON writes a list of what can be calculated. Helpers are those that only
// go into others.
func MeasuresJSON(measures []*fact.Leaf, helpers map[*fact.Leaf]bool, tool string) []byte {
	b := append(calculateHead(tool), `,"measures":[`...)
	for i, m := range measures {
		b = AppendJSON(append(comma(b, i), "\n{\"measure\":"...), m.Path)
		b = appendText(b, "unit", m.UnitName(m.Of))
		b = appendText(b, "label", label(m))
		b = appendText(b, "formula", m.Calculation.Formula)
		b = append(appendTruth(b, "helper", helpers[m]), '}')
	}
	return append(b, "]}\n"...)
}

func calculateHead(tool string) []byte {
	b := appendText([]byte(`{"tool":{"name":"witnessmark"`), "version", tool)
	return strconv.AppendInt(append(b, `},"format_version":`...), FormatVersion, 10)
}
