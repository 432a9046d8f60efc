package report

import (
	"encoding/csv"
	"io"
	"strings"
)

// newCSV writes rows as RFC 4180 has it, with its line ends.
func newCSV(w io.Writer) *csv.Writer {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	return out
}

// cell makes text inert: it can steer no terminal, and no spreadsheet computes it. A
// spreadsheet takes for a formula what begins with one of a few signs, some also
// behind blanks or quotes, and some split a cell at a semicolon, since their users'
// decimal sign is the comma: an apostrophe before such a sign, or before the blanks,
// makes it text.
func cell(s string) string {
	if !strings.ContainsAny(s, "=+-@\t\r\n;＝＋－＠﹦﹢﹣﹫") {
		return Shown(s)
	}
	var out strings.Builder
	for i, part := range strings.Split(s, ";") {
		if i > 0 {
			out.WriteByte(';')
		}
		if beginsFormula(part) {
			out.WriteByte('\'')
		}
		out.WriteString(part)
	}
	return Shown(out.String())
}

// beginsFormula tells whether a spreadsheet might compute the text. A tab or line end
// at its beginning counts, which some drop.
func beginsFormula(s string) bool {
	rest := strings.TrimLeft(s, " \u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\"'`‘’“”«»")
	if rest == "" {
		return false
	}
	return strings.ContainsRune("=+-@\t\r\n＝＋－＠﹦﹢﹣﹫", []rune(rest)[0])
}
