package jobfile

import (
	"fmt"
	"strings"
)

// torn reports whether the comma between two fields, without space around it,
// looks like one inside a number: {set: 5,8 N·m}. The first field has the
// number's beginning as its value, or is itself a piece torn off.
func (r *reader) torn(before, piece *Field) bool {
	last, text := before.Value.Span.End, before.Value.Text
	if before.bare() {
		text = before.Key
	} else if before.Value.Kind != Scalar || before.Value.Style != Plain {
		return false
	}
	return r.commaBetween(last, piece.KeySpan.Start) && endsInDigit(text) && startsWithDigit(piece.Key)
}

// commaBetween reports whether exactly one comma stands between two offsets.
func (r *reader) commaBetween(from, to int) bool {
	return from >= 0 && to == from+1 && to < len(r.data) && r.data[from] == ','
}

func endsInDigit(s string) bool     { return s != "" && isDigit(s[len(s)-1]) }
func startsWithDigit(s string) bool { return s != "" && isDigit(s[0]) }

// commaInMapping refuses a value torn apart in { }. The first field has the
// value's beginning, the others are the pieces.
func (r *reader) commaInMapping(fields []Field) {
	const most = 8 // no number has more groups; the rest is not shown
	pieces := []string{fields[0].Value.Text}
	if fields[0].bare() {
		pieces[0] = fields[0].Key
	}
	for _, f := range fields[1:min(len(fields), most)] {
		pieces = append(pieces, f.Key)
	}
	key := ""
	if !fields[0].bare() {
		key = shown(fields[0].Key) + ": "
	}
	r.comma(fields[0].Value.Span.End, "{ }", key, pieces,
		fmt.Sprintf("%s was read as %s and a key %s", quoted(strings.Join(pieces, ",")), quoted(pieces[0]), quoted(pieces[1])))
}

// commaInList refuses two items of [ ] that look like one number with a unit:
// [5,8 N·m]. [5,8] stays a list of two.
func (r *reader) commaInList(a, b *Node) {
	if a.Style != Plain || b.Style != Plain || a.Type != Integer && a.Type != Number {
		return
	}
	if b.Type != Text || !startsWithDigit(b.Text) || !r.commaBetween(a.Span.End, b.Span.Start) {
		return
	}
	pieces := []string{a.Text, b.Text}
	r.comma(a.Span.End, "[ ]", "", pieces,
		fmt.Sprintf("%s was read as two items, %s and %s", quoted(a.Text+","+b.Text), quoted(a.Text), quoted(b.Text)))
}

// comma words the refusal, with both readings of the number where both make
// sense.
func (r *reader) comma(at int, brackets, key string, pieces []string, read string) {
	decimal, whole := key+shown(strings.Join(pieces, ".")), key+shown(strings.Join(pieces, ""))
	mend := fmt.Sprintf("write %s if the comma is a decimal sign, %s if it groups thousands", decimal, whole)
	switch {
	case len(pieces) < 3:
	case digits(pieces[1]) == len(pieces[1]):
		mend = fmt.Sprintf("write %s; commas like these can only group thousands", whole)
	default:
		mend = fmt.Sprintf("write %s if the commas are decimal signs", decimal)
	}
	r.probs.add(r.lines.position(at), CodeCommaInFlow, "a comma ends a value in "+brackets+": "+read, mend)
}
