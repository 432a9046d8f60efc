package report

import (
	_ "embed"
	"strconv"

	"witnessmark.example/checks"
)

// LimitsCheckSchema is the JSON Schema (2020-12) of what LimitsCheckJSON writes.
//
//go:embed limits_check.schema.json
var LimitsCheckSchema []byte

// LimitsCheckJSON writes what is to mend in definitions for programs, one remark
// on each line. Places count from the root.
func LimitsCheckJSON(r *checks.Review, version string) []byte {
	b := appendText([]byte(`{"tool":{"name":"witnessmark"`), "version", version)
	b = append(b, `},"format_version":`...)
	b = strconv.AppendInt(b, FormatVersion, 10)
	b = appendText(b, "as_of", r.AsOf.String())
	b = append(b, `,"remarks":[`...)
	for i := range r.Remarks {
		x := &r.Remarks[i]
		b = AppendJSON(append(comma(b, i), "\n{\"file\":"...), x.At.File)
		if x.At.Line > 0 {
			b = appendNumber(b, "line", x.At.Line)
		}
		b = appendText(b, "code", x.Code)
		b = appendTruth(b, "breaks", x.Breaks)
		b = appendText(b, "message", x.Message)
		b = append(appendText(b, "mend", x.Mend), '}')
	}
	b = append(b, "\n],\n\"looked_at\":{\"limits\":"...)
	b = strconv.AppendInt(b, int64(r.Limits), 10)
	b = appendNumber(b, "rule_sets", r.RuleSets)
	b = appendNumber(b, "shipped_rule_sets", r.Shipped)
	b = appendNumber(b, "tables", r.Tables)
	b = appendNumber(b, "products", r.Products)
	b = appendNumber(b, "revisions", r.Revisions)
	b = appendNumber(b, "required_entries", r.Entries)
	b = append(b, "},\n\"not_looked_at\":{\"examples\":"...)
	b = strconv.AppendInt(b, int64(r.Unchecked), 10)
	b = appendTexts(b, "notes", r.Notes)
	return append(b, "}}\n"...)
}
