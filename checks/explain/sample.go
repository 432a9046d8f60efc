package explain

import (
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
)

// sample is a value of the right form for a field, as its author would write it.
func sample(l *fact.Leaf) string {
	switch {
	case l.Type == fact.Link && inJob(l.Target):
		return keyOf(l.Target)
	case l.Type == fact.Key:
		return keyOf(l.Scope)
	case l.Example != "":
		return l.Example
	case len(l.Words) > 0:
		return l.Words[0]
	}
	switch l.Type {
	case fact.Truth:
		return "true"
	case fact.Date:
		return "2026-03-11"
	case fact.Count:
		return strconv.Itoa(max(4, l.Least))
	case fact.Quantity:
		return "22 " + l.Unit
	case fact.Link:
		if l.Target.List.IsEquipment() {
			return "morvane@B"
		}
		return "ro"
	}
	if text := matching(l.Pattern); l.Pattern != "" && text != "" {
		return text
	}
	return "as it is printed"
}

// keyOf is a key for an entry of a list: one that its shape gives, else the
// beginning of the list's name with a number.
func keyOf(sc *fact.Scope) string {
	for _, l := range sc.Leaves {
		if l.Type != fact.Key {
			continue
		}
		if l.Example != "" {
			return l.Example
		}
		if len(l.Words) > 0 {
			return l.Words[0]
		}
		if l.Name() != "id" && l.Pattern != "" {
			return "1"
		}
	}
	switch name := sc.List.Name[strings.LastIndexByte(sc.List.Name, '.')+1:]; name {
	case "stacks":
		return "A"
	case "slots":
		return "1"
	default:
		return name[:1] + "1"
	}
}

// decimals writes the numbers of a quantity as the firm does.
func (b *Book) decimals(l *fact.Leaf, text string) string {
	if !b.Comma || l.Type != fact.Quantity {
		return text
	}
	out := []byte(text)
	for i := 1; i+1 < len(out); i++ {
		if out[i] == '.' && isDigit(out[i-1]) && isDigit(out[i+1]) {
			out[i] = ','
		}
	}
	return string(out)
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// scalar writes one value so that it reads back as it is. Inside braces and
// brackets a comma would end it.
func scalar(text string, inFlow bool) string {
	special := text == "" || strings.TrimSpace(text) != text || strings.Contains(text, ": ") || strings.HasSuffix(text, ":") || strings.Contains(text, " #") ||
		inFlow && strings.ContainsAny(text, ",[]{}") || strings.ContainsAny(text[:min(1, len(text))], "?:,[]{}#&*!|>'\"%@`") || looksTyped(text)
	if text != "" && text[0] == '-' && (len(text) == 1 || text[1] == ' ') {
		special = true
	}
	for _, r := range text {
		special = special || r < 0x20 || r == 0x7f || r >= 0x80 && r < 0xa0 || r == 0xfeff || r == 0x2028 || r == 0x2029
	}
	if special {
		return strconv.Quote(text)
	}
	return text
}

// looksTyped tells what the strict reader refuses or takes for something else
// than text: a number with a leading zero or with underscores, a clock time, null.
func looksTyped(text string) bool {
	if text == "~" || text == "null" {
		return true
	}
	if len(text) < 2 || strings.Trim(text, "0123456789_:xobXO") != "" || !isDigit(text[0]) {
		return false
	}
	return text[0] == '0' || strings.ContainsAny(text, "_:")
}
