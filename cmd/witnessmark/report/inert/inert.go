// Package inert says what must hold of a report in each format, whatever stands in the
// files that it is about. It serves tests alone.
package inert

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"
)

// Invariant returns nil, or what is wrong with a report. Plain are reports of the same
// format about files with nothing but plain words in the same places, and others that
// are harmless; only pages need them.
type Invariant func(got []byte, plain ...[]byte) error

// Formats are the invariants by format. A format that is added needs a line here; the
// tests of the command say so.
var Formats = map[string]Invariant{
	"text": Text,
	"json": JSON,
	"csv":  CSV,

	"html":      HTML,
	"emergency": HTML,
	"owner":     HTML,
	"snags":     HTML,
	"labels":    HTML,

	"markdown":     Markdown,
	"summary":      Markdown,
	"annotations":  Annotations,
	"sarif":        SARIF,
	"sarif-audit":  SARIF,
	"junit":        XML,
	"code-quality": JSON,
}

// Steerless holds of every report and every text in one: it is UTF-8 and has no
// character that steers a terminal or reorders or hides text. Ends of lines are none.
func Steerless(got []byte) error {
	for i := 0; i < len(got); {
		r, size := utf8.DecodeRune(got[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			return fmt.Errorf("a byte that is no UTF-8 %s", around(got, i))
		case r < 0x20 && r != '\n', r >= 0x7f && r <= 0x9f:
			return fmt.Errorf("the control character %U %s", r, around(got, i))
		case r == 0x61c, r >= 0x200b && r <= 0x200f && r != 0x200c && r != 0x200d, r >= 0x2028 && r <= 0x202e, r >= 0x2060 && r <= 0x2069, r == 0xfeff, r >= 0xfff9 && r <= 0xfffb, r >= 0xe0000 && r <= 0xe007f:
			return fmt.Errorf("the character %U, which reorders or hides text %s", r, around(got, i))
		}
		i += size
	}
	return nil
}

// Text holds of a report for people: it steers nothing and has no line that a CI runner
// takes for a command.
func Text(got []byte, _ ...[]byte) error {
	if i := bytes.Index(got, []byte("##[")); i >= 0 {
		return fmt.Errorf("a command %s", around(got, i))
	}
	for line := range bytes.Lines(got) {
		if bytes.HasPrefix(bytes.TrimSpace(line), []byte("::")) {
			return fmt.Errorf("a command: %.80q", line)
		}
	}
	return Steerless(got)
}

// Harmless holds of text in which no command can begin, wherever a line is broken.
func Harmless(got []byte, _ ...[]byte) error {
	if i := bytes.Index(got, []byte("::")); i >= 0 {
		return fmt.Errorf("a command %s", around(got, i))
	}
	return Text(got)
}

// around shows where in a report something is.
func around(got []byte, i int) string {
	return fmt.Sprintf("in %q", got[max(0, i-60):min(len(got), i+60)])
}

// JSON holds of a report for programs: one document, and nothing behind it.
func JSON(got []byte, _ ...[]byte) error {
	if !json.Valid(got) {
		return fmt.Errorf("no JSON: %.200q", got)
	}
	return Text(got)
}

// aNumber is what a spreadsheet takes for a number and nothing else.
var aNumber = regexp.MustCompile(`^[+-]?[0-9]+([.,][0-9]+)?$`)

// CSV holds of a table: it is one, and no cell of it is computed.
func CSV(got []byte, _ ...[]byte) error {
	r := csv.NewReader(bytes.NewReader(got))
	rows, err := r.ReadAll()
	if err != nil {
		return err
	}
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@\t\r＝＋－＠", []rune(cell)[0]) && !aNumber.MatchString(cell) {
				return fmt.Errorf("a cell that is computed: %.80q", cell)
			}
		}
	}
	return Text(bytes.ReplaceAll(bytes.TrimPrefix(got, []byte("\ufeff")), []byte("\r\n"), []byte("\n")))
}
