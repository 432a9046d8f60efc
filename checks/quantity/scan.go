package quantity

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// scanner walks over one text. It lives on the stack; only errors allocate.
type scanner struct {
	text      string
	pos       int
	comma     bool     // a comma is the decimal sign
	multibyte bool     // the text has bytes beyond ASCII
	negative  bool     // the number read last had a minus
	lastUnit  unitText // the unit of the ± part
}

// plusMinusSign is ± as the single character.
const plusMinusSign = "\u00b1"

// maxText is the longest text looked at, in bytes.
const maxText = 200

// check refuses texts that cannot be a quantity whatever they say.
func (s *scanner) check() *Error {
	if len(s.text) > maxText {
		return s.fail(TooLong, "is too long for a quantity")
	}
	for i := 0; i < len(s.text); {
		c := s.text[i]
		if c < utf8.RuneSelf {
			if c < ' ' || c == 0x7f {
				return s.fail(ControlCharacter, "holds a control character")
			}
			i++
			continue
		}
		s.multibyte = true
		r, size := utf8.DecodeRuneInString(s.text[i:])
		if r == utf8.RuneError {
			return s.fail(ControlCharacter, "is not valid UTF-8")
		}
		if !harmless(r) {
			return s.fail(ControlCharacter, "holds an invisible or control character")
		}
		i += size
	}
	s.spaces()
	if s.done() {
		s.pos = 0
		return s.fail(Empty, "is empty where a quantity belongs")
	}
	s.pos = 0
	return nil
}

// harmless refuses control, invisible and direction characters, which make a
// text read differently from what it says.
func harmless(r rune) bool {
	const firstLatin, lastLatin, softHyphen = 0xa0, 0x24f, 0xad
	if r >= firstLatin && r <= lastLatin { // most signs in units
		return r != softHyphen
	}
	return !unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}

func (s *scanner) done() bool { return s.pos >= len(s.text) }

// at gives the byte at the position, 0 at the end.
func (s *scanner) at() byte { return s.ahead(0) }

func (s *scanner) ahead(n int) byte {
	if s.pos+n < len(s.text) {
		return s.text[s.pos+n]
	}
	return 0
}

// spaces skips spaces of all kinds and tells whether there were any.
func (s *scanner) spaces() bool {
	start := s.pos
	for s.pos < len(s.text) {
		if s.text[s.pos] == ' ' {
			s.pos++
			continue
		}
		if s.text[s.pos] < utf8.RuneSelf {
			break
		}
		r, size := utf8.DecodeRuneInString(s.text[s.pos:])
		if !isSpace(r) {
			break
		}
		s.pos += size
	}
	return s.pos > start
}

// skip steps over a literal text if it stands here.
func (s *scanner) skip(literal string) bool {
	if strings.HasPrefix(s.text[s.pos:], literal) {
		s.pos += len(literal)
		return true
	}
	return false
}

// minus reads a sign, U+2212 included, and tells whether it was a minus.
func (s *scanner) minus() bool {
	if s.skip("-") || s.multibyte && s.skip("\u2212") {
		return true
	}
	if s.at() == '+' && s.ahead(1) != '/' && s.ahead(1) != '-' {
		s.pos++
	}
	return false
}

// plusMinus reads a ± in any of its forms.
func (s *scanner) plusMinus() bool {
	switch s.at() {
	case '+':
		return s.skip("+/-") || s.skip("+-") || s.skip("+/\u2212") || s.skip("+\u2212")
	case plusMinusSign[0]:
		return s.skip(plusMinusSign)
	}
	return false
}

// fail makes an error about the whole text.
func (s *scanner) fail(p Problem, detail string, suggestions ...string) *Error {
	return &Error{Text: s.text, Problem: p, Detail: detail, Suggestions: suggestions}
}

// replaced gives the text with the part from start to end exchanged.
func (s *scanner) replaced(start, end int, with string) string {
	return s.text[:start] + with + s.text[end:]
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
