package report

import (
	"witnessmark.example/checks"
	"witnessmark.example/checks/define"
)

// FirmJSON writes for machines where a firm's repository is and what it keeps.
func FirmJSON(l *checks.Library) []byte {
	f, h := l.Firm, l.Holdings()
	b := AppendJSON([]byte(`{"name":`), f.Name)
	b = appendText(b, "root", l.Root)
	b = AppendJSON(append(appendKey(b, "folders"), `{"jobs":`...), f.Jobs)
	for _, folder := range [][2]string{{"equipment", f.Equipment}, {"rules", f.Rules}, {"registers", f.RegisterFolder}} {
		b = appendText(b, folder[0], folder[1])
	}
	b = appendNumber(append(b, '}'), "jobs", h.Jobs)
	b = appendNumber(b, "products", h.Products)
	b = appendNumber(b, "revisions", h.Revisions)
	b = appendTexts(b, "rule_sets", h.RuleSets)
	b = append(appendKey(b, "registers"), '[')
	n := 0
	for _, name := range define.RegisterNames() {
		if count, kept := h.Registers[name]; kept {
			b = AppendJSON(append(comma(b, n), `{"register":`...), name)
			b = append(appendNumber(b, "entries", count), '}')
			n++
		}
	}
	b = appendTruth(append(b, ']'), "decimal_comma", f.DecimalComma)
	b = appendText(b, "time_zone", f.TimeZone)
	b = appendTexts(b, "languages", f.Languages)
	b = append(appendKey(b, "contacts"), '[')
	for i := range f.Contacts {
		c := &f.Contacts[i]
		b = AppendJSON(append(comma(b, i), `{"for":`...), c.For)
		b = appendText(b, "says", c.Says)
		b = appendText(b, "telephone", c.Telephone)
		b = appendText(b, "address", c.Address)
		b = append(appendText(b, "hours", c.Hours), '}')
	}
	b = append(appendKey(append(b, ']'), "required"), '[')
	for i := range f.Required {
		r := &f.Required[i]
		b = AppendJSON(append(comma(b, i), `{"region":`...), r.Region)
		b = appendTexts(b, "occupancies", r.Occupancies)
		b = appendText(b, "from", r.From.String())
		b = appendText(b, "until", r.Until.String())
		b = appendTexts(b, "rule_sets", r.RuleSets)
		b = appendText(b, "why", r.Why)
		b = appendText(b, "file", r.At.File)
		b = append(appendNumber(b, "line", r.At.Line), '}')
	}
	return append(b, "]}\n"...)
}
