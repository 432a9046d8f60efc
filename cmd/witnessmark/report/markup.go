package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"html"
	"strconv"
)

// markup gathers HTML. own takes markup and words of this program, text everything
// else: what AppendShown spells out, and then what HTML gives a meaning.
type markup struct{ b []byte }

// own appends markup of this program.
func (m *markup) own(parts ...string) *markup {
	for _, s := range parts {
		m.b = append(m.b, s...)
	}
	return m
}

// text appends text from elsewhere. It is as safe between tags as in the quotes of
// an attribute.
func (m *markup) text(s string) *markup {
	m.b = AppendHTML(m.b, s)
	return m
}

// number appends a whole number.
func (m *markup) number(n int) *markup {
	m.b = strconv.AppendInt(m.b, int64(n), 10)
	return m
}

// element appends one element with text from elsewhere.
func (m *markup) element(name, text string) *markup {
	return m.own("<", name, ">").text(text).own("</", name, ">")
}

// AppendHTML appends text from elsewhere so that it is shown and means nothing: what
// AppendShown spells out, and the characters that HTML gives a meaning in text and in
// quoted attributes.
func AppendHTML(dst []byte, s string) []byte {
	start := len(dst)
	dst = AppendShown(dst, s)
	if !bytes.ContainsAny(dst[start:], `&<>"'`) {
		return dst
	}
	return append(dst[:start], html.EscapeString(string(dst[start:]))...)
}

// anchor is a short name for something inside the page, made of its kind and a digest
// of its own name, so that no name from elsewhere can be mistaken for another.
func anchor(kind, name string) string {
	sum := sha256.Sum256([]byte(name))
	return kind + "-" + hex.EncodeToString(sum[:6])
}
