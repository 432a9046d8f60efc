package boundary

import (
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// suggestions lists values to try for a field, the likeliest first.
func suggestions(l *fact.Leaf) []string {
	switch l.Type {
	case fact.Truth:
		return []string{quantity.No, quantity.Yes}
	case fact.Word:
		return l.Words
	case fact.Count:
		return []string{"4", "1", "2", "3"}
	case fact.Quantity:
	case fact.Date:
		return []string{firstDay}
	case fact.Link, fact.Key:
		return nil
	default:
		return []string{"x"}
	}
	var out []string
	add := func(texts ...string) {
		for _, text := range texts {
			if _, err := quantity.Parse(text, l.Of, quantity.Options{}); err == nil && plain(text) {
				out = append(out, text)
			}
		}
	}
	add(l.Example)
	switch l.Of.Kind() {
	case quantity.Temperature:
		add("30 °C", "75 °C", "90 °C", "60 °C", "70 °C")
	case quantity.Area:
		add("6 AWG", "10 mm²", "1/0 AWG", "70 mm²")
	case quantity.Current:
		add("40 A", "10 A", "100 A", "1 kA")
	case quantity.Ratio:
		add("95 %", "50 %", "1 %")
	case quantity.Duration:
		add("1 s", "0.2 s", "0.05 s", "1 h")
	}
	add("10 "+l.Unit, "1 "+l.Unit, "100 "+l.Unit, "0.1 "+l.Unit, "1000 "+l.Unit)
	return out
}

// plain tells that a text is one number with its unit, without an uncertainty.
func plain(text string) bool { return !strings.Contains(text, "±") && !strings.Contains(text, "+/-") }
