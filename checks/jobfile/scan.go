package jobfile

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

// oddLine is a line whose indentation has something else than spaces. Whether
// that matters is known only after parsing: inside quotes and block scalars
// such lines are content.
type oddLine struct {
	line    int
	column  int  // of the first character that is not a space
	comment bool // only a comment follows, which needs no indentation
	tab     bool // a tab; otherwise another wide space
}

// scanner goes over the bytes before YAML sees them.
type scanner struct {
	data  []byte
	lines lineTable
	odd   []oddLine
	probs *problems

	// fatal is set by what shifts lines or stops the parser; direction controls
	// and their like are noted, and the parser still has its say.
	fatal bool

	controls, invalid int
}

// byteOrderMark is U+FEFF in UTF-8.
const byteOrderMark = "\xef\xbb\xbf"

// scan builds the table of lines and notes every character that is refused.
func scan(data []byte, probs *problems) *scanner {
	s := &scanner{data: data, probs: probs}
	first := 0
	if bytes.HasPrefix(data, []byte(byteOrderMark)) {
		first = len(byteOrderMark)
	}
	s.lines.data = data
	s.lines.starts = make([]uint32, 0, bytes.Count(data, []byte{'\n'})+1)
	for i := s.newLine(first); i < len(data); {
		c := data[i]
		switch {
		case c-' ' < 0x7f-' ': // printable ASCII; wraps around below the space
			i++
		case c == '\n':
			i = s.newLine(i + 1)
		case c == '\t' || c == '\r' && i+1 < len(data) && data[i+1] == '\n':
			i++
		case c < utf8.RuneSelf:
			s.control(i, c)
			i++
		default:
			i += s.wide(i)
		}
	}
	return s
}

// newLine enters the line that starts at an offset, looks at its indentation
// and returns the offset of the first character after the spaces.
func (s *scanner) newLine(start int) int {
	s.lines.starts = append(s.lines.starts, uint32(start)<<1)
	i := start
	for i < len(s.data) && s.data[i] == ' ' {
		i++
	}
	if i == len(s.data) {
		return i
	}
	if c := s.data[i]; c == '\t' || c >= utf8.RuneSelf {
		s.oddIndentation(start, i)
	}
	return i
}

// oddIndentation notes a line with a tab or a wide space before its text.
func (s *scanner) oddIndentation(start, at int) {
	tab := s.data[at] == '\t'
	if !tab {
		r, _ := utf8.DecodeRune(s.data[at:])
		if !wideSpace(r) {
			return
		}
	}
	rest := s.data[at:]
	if tab {
		rest = bytes.TrimLeft(rest, " \t")
		if len(rest) == 0 || rest[0] == '\n' || rest[0] == '\r' {
			return
		}
	}
	s.odd = append(s.odd, oddLine{
		line:    len(s.lines.starts),
		column:  at - start + 1,
		comment: rest[0] == '#',
		tab:     tab,
	})
}

// wideSpace reports a character that looks like a space and is none to YAML.
func wideSpace(r rune) bool {
	switch r {
	case 0xa0, 0x1680, 0x202f, 0x205f, 0x3000:
		return true
	}
	return r >= 0x2000 && r <= 0x200a
}

// here is the position of an offset in the line being read.
func (s *scanner) here(i int) Position {
	line := len(s.lines.starts)
	return Position{Line: line, Column: utf8.RuneCount(s.data[s.lines.start(line):i]) + 1}
}

// control notes an ASCII control character.
func (s *scanner) control(i int, c byte) {
	s.fatal = true
	switch c {
	case '\r':
		s.lineBreak(i, "a carriage return without line feed")
	case '\v':
		s.lineBreak(i, "a vertical tab")
	case '\f':
		s.lineBreak(i, "a form feed")
	default:
		s.controls++
		s.refuse(i, CodeControl, rune(c))
	}
}

func (s *scanner) lineBreak(i int, what string) {
	s.fatal = true
	if s.probs.room(CodeLineBreak) {
		s.probs.add(s.here(i), CodeLineBreak,
			what+" breaks the line in some programs and not in others",
			"save the file with ordinary line ends, LF or CRLF")
	}
}

// wide looks at one character outside ASCII and returns its length in bytes.
func (s *scanner) wide(i int) int {
	s.lines.starts[len(s.lines.starts)-1] |= 1
	r, size := utf8.DecodeRune(s.data[i:])
	switch {
	case r == utf8.RuneError && size == 1:
		s.notUTF8(i)
	case r == 0x85:
		s.lineBreak(i, "the character U+0085 (next line)")
	case r == 0x2028:
		s.lineBreak(i, "the character U+2028 (line separator)")
	case r == 0x2029:
		s.lineBreak(i, "the character U+2029 (paragraph separator)")
	case r >= 0xa0 && r < 0x61c && r != 0xad: // most letters and signs of units
	default:
		s.rare(i, r)
	}
	return size
}

func (s *scanner) notUTF8(i int) {
	s.fatal = true
	s.invalid++
	if s.probs.room(CodeInvalidUTF8) {
		s.probs.add(s.here(i), CodeInvalidUTF8,
			fmt.Sprintf("byte 0x%02X is not part of a UTF-8 character", s.data[i]),
			"save the file as UTF-8; it may be in Windows-1252 or Latin-1")
	}
}

// rare notes the refused characters outside ASCII that shift no line.
func (s *scanner) rare(i int, r rune) {
	code := refusedRune(r)
	if code == "" {
		return
	}
	if code == CodeControl && r > 0xa0 {
		s.fatal = true // the parser stops at U+FFFE and U+FFFF
	}
	s.refuse(i, code, r)
}

func (s *scanner) refuse(i int, code string, r rune) {
	if s.probs.room(code) {
		message, mend := refusedRuneText(code, r)
		s.probs.add(s.here(i), code, message, mend)
	}
}

// refusedRune returns the code under which a character is refused in a value
// or in the file, "" if it is not.
func refusedRune(r rune) string {
	switch {
	case r < ' ' && r != '\t' && r != '\n' && r != '\r', r >= 0x7f && r < 0xa0, r&0xfffe == 0xfffe:
		return CodeControl
	case r == 0x61c, r == 0x200e, r == 0x200f, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
		return CodeBidi
	case r == 0x2028, r == 0x2029:
		return CodeLineBreak
	case r == 0xad, r == 0x200b, r == 0x2060:
		return CodeInvisible
	case r == 0xfeff:
		return CodeStrayBOM
	}
	return ""
}

func refusedRuneText(code string, r rune) (message, mend string) {
	switch code {
	case CodeBidi:
		return fmt.Sprintf("the invisible character U+%04X changes the order in which the text is shown", r),
			"delete it"
	case CodeInvisible:
		return fmt.Sprintf("the invisible character U+%04X makes two different words look the same", r),
			"delete it"
	case CodeStrayBOM:
		return "a byte order mark (U+FEFF) stands inside the file", "delete it; it may have come from joining two files"
	case CodeLineBreak:
		return fmt.Sprintf("the character U+%04X breaks the line in some programs and not in others", r), "delete it"
	}
	return fmt.Sprintf("control character U+%04X", r), "delete it; most editors can show hidden characters"
}
