package jobfile

import (
	"bytes"
	"strings"

	"go.yaml.in/yaml/v4"
)

// scalar converts a scalar: its type, its text, its bytes.
func (r *reader) scalar(n *Node, y *yaml.Node) {
	n.Text = y.Value
	if len(y.Value) > r.lim.ScalarBytes {
		r.tooLong(n.Pos)
	}
	if n.Span.Start < 0 { // behind an anchor or tag
		n.Kind, n.Type, n.Style = Scalar, Text, Plain
		return
	}
	n.Span, n.Style = r.measure(y, n.Span.Start)
	n.Kind, n.Type = Scalar, Text
	if n.Style != Plain {
		return
	}
	var code string
	n.Kind, n.Type, code = resolve(y.Value)
	if code != "" {
		message, mend := numberProblem(code, y.Value)
		r.probs.add(n.Pos, code, message, mend)
	}
}

func (r *reader) tooLong(at Position) {
	r.probs.add(at, CodeTooLong, "this value is longer than any field needs", "keep long texts in a document of their own and name it here")
}

// measure finds span and style of a scalar or key that starts at an offset. The
// span is nowhere if the bytes there do not agree with the value.
func (r *reader) measure(y *yaml.Node, start int) (Span, Style) {
	if start < 0 || start > len(r.data) {
		r.lost = true
		return nowhere(), Plain
	}
	end, style := -1, Plain
	switch {
	case y.Style == 0:
		return r.plain(y, start), Plain
	case y.Style&yaml.DoubleQuotedStyle != 0:
		end, style = r.doubleQuoted(start), DoubleQuoted
	case y.Style&yaml.SingleQuotedStyle != 0:
		end, style = r.singleQuoted(start), SingleQuoted
	case y.Style&yaml.LiteralStyle != 0:
		end, style = r.blockScalar(y, start), Literal
	case y.Style&yaml.FoldedStyle != 0:
		end, style = r.blockScalar(y, start), Folded
	}
	if end < 0 {
		r.lost = true
		return nowhere(), style
	}
	span := Span{Start: start, End: end}
	r.quotedLines(y, span, style)
	return span, style
}

// plain checks that a value without quotes stands in the bytes letter by
// letter. If not, YAML has joined several lines.
func (r *reader) plain(y *yaml.Node, start int) Span {
	value := y.Value
	end := start + len(value)
	if end <= len(r.data) && string(r.data[start:end]) == value {
		return Span{Start: start, End: end}
	}
	same := 0
	for start+same < len(r.data) && same < len(value) && r.data[start+same] == value[same] {
		same++
	}
	rest := bytes.TrimLeft(r.data[start+same:], " \t")
	if len(rest) == 0 || rest[0] != '\n' && rest[0] != '\r' {
		r.lost = true
		return nowhere()
	}
	r.probs.add(Position{Line: y.Line, Column: y.Column}, CodeMultiLinePlain, "this value goes on in the next line without quotes",
		"put it in quotes or begin it with > if the lines belong together; otherwise correct the indentation of the next line")
	return nowhere()
}

// doubleQuoted returns the offset behind the closing quote, -1 without one.
func (r *reader) doubleQuoted(start int) int {
	if start >= len(r.data) || r.data[start] != '"' {
		return -1
	}
	for i := start + 1; i < len(r.data); i++ {
		switch r.data[i] {
		case '"':
			return i + 1
		case '\\':
			i++
		}
	}
	return -1
}

// singleQuoted returns the offset behind the closing quote, -1 without one. A
// quote written twice stands for one.
func (r *reader) singleQuoted(start int) int {
	if start >= len(r.data) || r.data[start] != '\'' {
		return -1
	}
	for i := start + 1; i < len(r.data); i++ {
		if r.data[i] != '\'' {
			continue
		}
		if i+1 == len(r.data) || r.data[i+1] != '\'' {
			return i + 1
		}
		i++
	}
	return -1
}

// quotedLines looks at what only quoted and block scalars can have: escapes
// and several lines.
func (r *reader) quotedLines(y *yaml.Node, span Span, style Style) {
	raw := r.data[span.Start:span.End]
	pos := Position{Line: y.Line, Column: y.Column}
	if style == DoubleQuoted && bytes.IndexByte(raw, '\\') >= 0 {
		r.refuseRunes(y.Value, pos)
	}
	if bytes.IndexByte(raw, '\n') < 0 {
		return
	}
	r.multi = append(r.multi, span)
	if style != SingleQuoted && style != DoubleQuoted {
		return
	}
	for i, line := range bytes.Split(raw, []byte{'\n'}) {
		if i > 0 && looksLikeField(line) {
			r.probs.add(pos, CodeQuoteOverFields, "the quote opened here closes only some lines below and takes in what looks like fields",
				"close the quote on its line; begin a text of several lines with |")
			return
		}
	}
}

// looksLikeField matches "word: …", "word:" and "- …".
func looksLikeField(line []byte) bool {
	line = bytes.Trim(line, " \t\r")
	if bytes.HasPrefix(line, []byte("- ")) {
		return true
	}
	colon := bytes.IndexByte(line, ':')
	if colon < 1 || colon+1 < len(line) && line[colon+1] != ' ' {
		return false
	}
	return bytes.IndexAny(line[:colon], " \t\"'") < 0
}

// blockScalar returns the offset behind the last line that is not blank of a
// scalar begun by | or >. The indentation of its content is that of its first
// such line, less the blanks that line still has in the value.
func (r *reader) blockScalar(y *yaml.Node, start int) int {
	line := y.Line
	if c := r.data[start:]; len(c) == 0 || c[0] != '|' && c[0] != '>' {
		return -1
	}
	end := start + len(strings.TrimRight(string(r.data[start:r.lines.end(line)]), " \t\r"))
	indent := -1
	for line++; line <= r.lines.count(); line++ {
		text := r.lines.text(line)
		bare := strings.TrimLeft(text, " ")
		if strings.Trim(bare, "\t") == "" {
			continue
		}
		own := len(text) - len(bare)
		if indent < 0 {
			first := firstLine(y.Value)
			if first == "" {
				return end // no content: the line belongs to what follows
			}
			indent = own - (len(first) - len(strings.TrimLeft(first, " ")))
		}
		if own < indent {
			break
		}
		end = r.lines.start(line) + len(text)
	}
	return end
}

// firstLine returns the first line of a text that is not blank, "" if none.
func firstLine(s string) string {
	for line := range strings.Lines(s) {
		if strings.Trim(line, " \t\n") != "" {
			return line
		}
	}
	return ""
}

// skipBetween returns the first offset from at on that is neither white space
// nor comma nor comment: what may stand between two entries in flow style.
func (r *reader) skipBetween(at int) int {
	for at < len(r.data) {
		switch r.data[at] {
		case ' ', '\t', '\n', '\r', ',':
			at++
		case '#':
			next := bytes.IndexByte(r.data[at:], '\n')
			if next < 0 {
				return len(r.data)
			}
			at += next
		default:
			return at
		}
	}
	return at
}
