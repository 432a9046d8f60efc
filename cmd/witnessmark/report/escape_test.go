package report

import (
	"encoding/json"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/cmd/witnessmark/report/inert"
)

func TestShown(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"plain text stays", "22 mm ± 1 mm, N·m, é, 漢", "22 mm ± 1 mm, N·m, é, 漢"},
		{"colour sequence", "\x1b[31mred\x1b[0m", `\u001b[31mred\u001b[0m`},
		{"line ends and tab", "a\r\nb\tc", `a\u000d\u000ab\u0009c`},
		{"DEL and C1", "a\x7fb\u0085c\u009b", `a\u007fb\u0085c\u009b`},
		{"bidi", "\u061c\u200e\u200f\u202a\u202e\u2066\u2069", `\u061c\u200e\u200f\u202a\u202e\u2066\u2069`},
		{"separators", "\u2028\u2029", `\u2028\u2029`},
		{"invisible", "a\u200bb\ufeffc\U000e0041", `a\u200bb\ufeffc\U000e0041`},
		{"bytes that are not UTF-8", "a\xffb\xc3", `a\xffb\xc3`},
		{"the replacement character itself", "\ufffd", "\ufffd"},
		{"workflow command", "::error file=x::y", `:\u003aerror file=x:\u003ay`},
		{"three colons", ":::", `:\u003a\u003a`},
		{"old command", "##[error]x", `##\u005berror]x`},
		{"one colon", "a: b", "a: b"},
		{"empty", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, Shown(c.in)) })
	}
}

func TestPathBeginsNoCommand(t *testing.T) {
	for in, want := range map[string]string{
		"jobs/a.yaml":   "jobs/a.yaml",
		":error x:":     `\u003aerror x\u003a`,
		"::error x":     `\u003a:error x`,
		":":             `\u003a`,
		"":              ".",
		"##[group]a":    `##\u005bgroup]a`,
		"a\n::error::x": `a\u000a:\u003aerror:\u003ax`,
	} {
		got := string(AppendPath(nil, in))
		assert.Equal(t, want, got)
		assert.NotContains(t, got+":1:1: outside", "::")
	}
}

func TestJSONString(t *testing.T) {
	for in, want := range map[string]string{
		"a\"b\\c":      `"a\"b\\c"`,
		"\x00\n\x1b":   `"\u0000\u000a\u001b"`,
		"\u0085\u202e": `"\u0085\u202e"`,
		"\xff":         `"\ufffd"`,
		"##[x":         `"##\u005bx"`,
		"\U000e0041":   `"\udb40\udc41"`,
		"a::b é":       `"a::b é"`,
	} {
		assert.Equal(t, want, string(AppendJSON(nil, in)))
	}
}

// Text of several pieces must not form a command where they meet.
func TestPiecesDoNotJoin(t *testing.T) {
	l := &lines{}
	l.from("a:").from(":error").from(" ##").from("[group]").own(" b:").from(":x").own(" ##").own("[y").from(":").own(": z")
	assert.NotContains(t, string(l.b), "::")
	assert.NotContains(t, string(l.b), "##[")
}

func FuzzShown(f *testing.F) {
	for _, s := range []string{"22 mm", "\x1b[2J", "::error::x", "##[group]", "a\u202eb", "\xff\xfe", ":", "\U000e0001", "\u2028"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := Shown(s)
		require.NoError(t, inert.Harmless([]byte(got)))
		assert.Equal(t, got, Shown(got), "escaping twice changes nothing")
		assert.Equal(t, s == "", got == "", "nothing is dropped")
		require.NoError(t, inert.Harmless([]byte(string(AppendPath(nil, s))+":1:2: outside")))

		quoted := AppendJSON(nil, s)
		require.NoError(t, inert.Steerless([]byte(string(quoted))))
		var back string
		require.NoError(t, json.Unmarshal(quoted, &back))
		if utf8.ValidString(s) {
			assert.Equal(t, s, back, "valid text reads back as it was")
		}
	})
}
