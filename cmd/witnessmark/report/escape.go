package report

import (
	"strconv"
	"unicode/utf8"
)

// AppendShown appends text that came from a file, a path or a definition so that
// it cannot steer a terminal or a CI log: control characters, characters that
// reorder or hide text, line ends of every kind and bytes that are not UTF-8 are
// spelled out as \uXXXX (\xXX for a byte), and `::` and `##[`, which CI runners
// take for commands, are broken up. Nothing is dropped. The result is one line of
// valid UTF-8, and appending it again would change nothing more.
func AppendShown(dst []byte, s string) []byte {
	start := 0
	for i := 0; i < len(s); {
		c := s[i]
		if c >= 0x20 && c < 0x7f && c != ':' && c != '[' {
			i++
			continue
		}
		r, size := rune(c), 1
		if c >= utf8.RuneSelf {
			r, size = utf8.DecodeRuneInString(s[i:])
		}
		if !steers(r, size) && !opensCommand(s, i) {
			i += size
			continue
		}
		dst = append(dst, s[start:i]...)
		if r == utf8.RuneError && size == 1 {
			dst = append(dst, `\x`...)
			dst = appendHex(dst, rune(c), 2)
		} else {
			dst = appendMark(dst, r)
		}
		i += size
		start = i
	}
	return append(dst, s[start:]...)
}

// Shown is AppendShown to a string of its own.
func Shown(s string) string { return string(AppendShown(nil, s)) }

// AppendPath appends the path that begins a line. Beyond what AppendShown does,
// a colon at either end is spelled out, since the line goes on with a colon and
// must not begin with two.
func AppendPath(dst []byte, path string) []byte {
	const colon = `\u003a`
	if path == "" {
		return append(dst, '.')
	}
	if path[0] == ':' {
		dst, path = append(dst, colon...), path[1:]
	}
	if n := len(path) - 1; n >= 0 && path[n] == ':' {
		return append(AppendShown(dst, path[:n]), colon...)
	}
	return AppendShown(dst, path)
}

// AppendJSON appends s as a JSON string. Besides what JSON demands, the
// characters that AppendShown spells out are written as \uXXXX, and bytes that
// are not UTF-8 as \ufffd; `##[` is broken up by an escape, so that a report on
// standard output steers no CI log either and still reads back as it was.
func AppendJSON(dst []byte, s string) []byte {
	return append(appendJSONPart(append(dst, '"'), s), '"')
}

// appendJSONPart is AppendJSON without the quotes, for strings made of parts.
func appendJSONPart(dst []byte, s string) []byte {
	start := 0
	for i := 0; i < len(s); {
		c := s[i]
		if c >= 0x20 && c < 0x7f && c != '"' && c != '\\' && c != '[' {
			i++
			continue
		}
		r, size := rune(c), 1
		if c >= utf8.RuneSelf {
			r, size = utf8.DecodeRuneInString(s[i:])
		}
		quoted := c == '"' || c == '\\'
		if !quoted && !steers(r, size) && !(c == '[' && opensCommand(s, i)) {
			i += size
			continue
		}
		dst = append(dst, s[start:i]...)
		switch {
		case quoted:
			dst = append(dst, '\\', c)
		case r > 0xffff:
			dst = appendMark(dst, 0xd800+(r-0x10000)>>10)
			dst = appendMark(dst, 0xdc00+(r-0x10000)&0x3ff)
		default:
			dst = appendMark(dst, r)
		}
		i += size
		start = i
	}
	return append(dst, s[start:]...)
}

// steers tells whether a character may move the cursor, end the line, reorder or
// hide what is shown, or is no character at all.
func steers(r rune, size int) bool {
	switch {
	case r < 0x20, r >= 0x7f && r <= 0x9f: // C0, DEL, C1
		return true
	case r < 0x61c:
		return false
	case r == utf8.RuneError:
		return size == 1
	case r == 0x61c, r == 0x200e, r == 0x200f, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069: // bidi
		return true
	case r == 0x2028, r == 0x2029: // line and paragraph separator
		return true
	case r == 0x200b, r == 0x2060, r == 0xfeff, r >= 0xfff9 && r <= 0xfffb, r >= 0xe0000 && r <= 0xe007f: // no width at all
		return true
	}
	return false
}

// opensCommand tells whether the character at i completes `::` or `##[`.
func opensCommand(s string, i int) bool {
	return s[i] == ':' && i > 0 && s[i-1] == ':' || s[i] == '[' && i > 1 && s[i-1] == '#' && s[i-2] == '#'
}

// appendMark spells a character out.
func appendMark(dst []byte, r rune) []byte {
	if r > 0xffff {
		return appendHex(append(dst, `\U`...), r, 8)
	}
	return appendHex(append(dst, `\u`...), r, 4)
}

// appendHex appends a number in hexadecimal, with zeros before it.
func appendHex(dst []byte, r rune, digits int) []byte {
	start := len(dst)
	dst = append(dst, "00000000"[:digits]...)
	text := strconv.AppendInt(dst, int64(r), 16)
	written := len(text) - start - digits
	copy(text[start+digits-written:], text[start+digits:])
	return text[:start+digits]
}
