package quantity

import (
	"strconv"
	"strings"
)

// Problem says what is wrong with a text. The zero value is not a problem.
type Problem uint8

// The problems.
const (
	_                 Problem = iota
	Empty                     // nothing written
	TooLong                   // far longer than any quantity
	ControlCharacter          // a control, direction or invisible character, or bad UTF-8
	MalformedNumber           // no number where one belongs, or more than one value
	TooManyDigits             // more than 18 digits
	AbsurdExponent            // an exponent beyond ±30
	NotFinite                 // NaN or infinity
	DecimalComma              // a decimal comma where the point is used
	GroupedNumber             // a comma, point or space that may group thousands
	BadFraction               // a fraction that is no exact decimal
	MissingUnit               // a number alone
	UnknownUnit               // no such unit
	WrongCase                 // a unit in the wrong upper or lower case
	WrongKind                 // a unit of another kind than the field's
	PlainTemperature          // "5 °C" where a difference belongs
	BadUncertainty            // a ± part that cannot be read or makes no sense
	BelowAbsoluteZero         // a temperature below 0 K
	NoSuchSize                // an AWG number that is not in the table
	problemEnd
)

// problemNames is indexed by Problem.
var problemNames = [problemEnd]string{
	Empty: "empty", TooLong: "too long", ControlCharacter: "control character",
	MalformedNumber: "malformed number", TooManyDigits: "too many digits",
	AbsurdExponent: "absurd exponent", NotFinite: "not finite", DecimalComma: "decimal comma",
	GroupedNumber: "grouped number", BadFraction: "bad fraction", MissingUnit: "missing unit",
	UnknownUnit: "unknown unit", WrongCase: "wrong case", WrongKind: "wrong kind",
	PlainTemperature: "plain temperature", BadUncertainty: "bad uncertainty",
	BelowAbsoluteZero: "below absolute zero", NoSuchSize: "no such size",
}

// String names the problem in a few words.
func (p Problem) String() string {
	if p == 0 || p >= problemEnd {
		return "no problem"
	}
	return problemNames[p]
}

// Error says why a text is not a quantity.
type Error struct {
	Text        string   // what was written, unchanged; print it only through Error or quoted
	Problem     Problem  // what kind of trouble it is
	Detail      string   // what is wrong with the text, continuing "the text …"; safe to print
	Suggestions []string // texts that would be read, nearest first; may be empty
}

// maxQuoted is how much of a wrong text an error shows.
const maxQuoted = 60

// Error is one sentence fragment without a full stop. The text in it is quoted,
// so that nothing in a file can steer what it is shown on.
func (e *Error) Error() string {
	var b strings.Builder
	if e.Text != "" {
		b.WriteString(quoted(e.Text))
		b.WriteByte(' ')
	}
	b.WriteString(e.Detail)
	if len(e.Suggestions) > 0 {
		b.WriteString("; write ")
		b.WriteString(alternatives(e.Suggestions))
	}
	return b.String()
}

// quoted shows a text safely and shortened.
func quoted(text string) string {
	if len(text) > maxQuoted {
		cut := maxQuoted
		for cut > 0 && text[cut]&0xc0 == 0x80 { // not inside a rune
			cut--
		}
		text = text[:cut] + "…"
	}
	return strconv.Quote(text)
}

// alternatives joins texts as "a", "a or b", "a, b or c".
func alternatives(texts []string) string {
	last := len(texts) - 1
	if last == 0 {
		return texts[0]
	}
	return strings.Join(texts[:last], ", ") + " or " + texts[last]
}
