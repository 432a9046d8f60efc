package jobfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refusal is one file that must be refused, with the first problem it gives.
type refusal struct {
	name string
	text string
	code string
	line int
	col  int    // 0: not known
	says string // part of message or mend
}

func checkRefusals(t *testing.T, file string, cases []refusal) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, problems := Read(file, []byte(c.text), Limits{})
			require.NotEmpty(t, problems)
			assert.Nil(t, f)
			p := problems[0]
			assert.Equal(t, c.code, p.Code, p.String())
			assert.Equal(t, Position{Line: c.line, Column: c.col}, p.Pos, p.String())
			assert.Contains(t, p.Message+"; "+p.Mend, c.says)
			assert.NotEmpty(t, p.Mend)
			for _, jargon := range []string{"yaml:", "go-yaml", "token", "scalar", "did not find", "block mapping", "context"} {
				assert.NotContains(t, p.String(), jargon)
			}
		})
	}
}

func TestBytesRefused(t *testing.T) {
	checkRefusals(t, "job.yaml", []refusal{
		{"invalid utf-8", "a: 1\nb: °x\xff\n", CodeInvalidUTF8, 2, 6, "0xFF"},
		{"cut-off character", "a: \xc2", CodeInvalidUTF8, 1, 4, "0xC2"},
		{"latin-1 degree sign", "air: 20 \xb0C\n", CodeInvalidUTF8, 1, 9, "Windows-1252"},
		{"utf-16 le with mark", "\xff\xfea\x00:\x00 \x001\x00", CodeEncoding, 0, 0, "UTF-16"},
		{"utf-16 be with mark", "\xfe\xff\x00a\x00:\x00 \x001", CodeEncoding, 0, 0, "UTF-16"},
		{"utf-16 le without mark", "a\x00:\x00 \x001\x00\n\x00", CodeEncoding, 0, 0, "UTF-16"},
		{"utf-16 be without mark", "\x00a\x00:\x00 \x001\x00\n", CodeEncoding, 0, 0, "UTF-16"},
		{"utf-32 le with mark", "\xff\xfe\x00\x00a\x00\x00\x00", CodeEncoding, 0, 0, "UTF-32"},
		{"utf-32 be without mark", "\x00\x00\x00a\x00\x00\x00:\x00\x00\x00 ", CodeEncoding, 0, 0, "UTF-32"},
		{"mark inside", "a: 1\nb: x\ufeffy\n", CodeStrayBOM, 2, 5, "byte order mark"},
		{"mark twice", "\ufeff\ufeffa: 1\n", CodeStrayBOM, 1, 1, "byte order mark"},
		{"nul", "a: 1\nbc: x\x00y\nd: 2\ne: 345678\n", CodeControl, 2, 6, "U+0000"},
		{"escape", "a: \x1b[31m\n", CodeControl, 1, 4, "U+001B"},
		{"del", "a: x\x7f\n", CodeControl, 1, 5, "U+007F"},
		{"c1", "a: x\u009by\n", CodeControl, 1, 5, "U+009B"},
		{"noncharacter", "a: x\ufffe\n", CodeControl, 1, 5, "U+FFFE"},
		{"lone cr", "a: 1\rb: 2\n", CodeLineBreak, 1, 5, "carriage return"},
		{"cr before crlf", "a: 1\r\r\n", CodeLineBreak, 1, 5, "carriage return"},
		{"nel", "a: 1\u0085b: 2\n", CodeLineBreak, 1, 5, "U+0085"},
		{"line separator", "a: 1\nb: °\u2028c: 2\n", CodeLineBreak, 2, 5, "U+2028"},
		{"paragraph separator", "a: 1\u2029\n", CodeLineBreak, 1, 5, "U+2029"},
		{"form feed", "a: 1\n\fb: 2\n", CodeLineBreak, 2, 1, "form feed"},
		{"vertical tab", "a: 1\v\n", CodeLineBreak, 1, 5, "vertical tab"},
		{"invisible", "wall\u200b_gap: 20 mm\n", CodeInvisible, 1, 5, "U+200B"},
		{"tab", "a:\n\tb: 1\n", CodeTab, 2, 1, "tab"},
		{"tab after spaces", "a:\n  \tb: 1\n", CodeTab, 2, 3, "tab"},
		{"tab on the first line", "\ta: 1\n", CodeTab, 1, 1, "tab"},
		{"tab in braces", "a: {\n\tb: 1}\n", CodeTab, 2, 1, "tab"},
		{"tab behind a dash", "a:\n  -\tb: 1\n    c: 2\n", CodeTab, 2, 4, "tab"},
		{"no-break space", "a:\n  b: 1\n\u00a0 c: 2\n", CodeOddIndent, 3, 1, "not the ordinary one"},
	})
	for _, r := range []rune{0x61c, 0x200e, 0x200f, 0x202a, 0x202b, 0x202c, 0x202d, 0x202e, 0x2066, 0x2067, 0x2068, 0x2069} {
		_, problems := Read("job.yaml", []byte("a: °\nnote: °x"+string(r)+"y\n"), Limits{})
		require.Len(t, problems, 1)
		assert.Equal(t, CodeBidi, problems[0].Code)
		assert.Equal(t, Position{Line: 2, Column: 9}, problems[0].Pos)
	}
}

func TestSyntaxRefused(t *testing.T) {
	checkRefusals(t, "job.yaml", []refusal{
		{"colon in value", "note: a: b\n", CodeColonInValue, 1, 8, "quotes"},
		{"colon behind list", "a: [b]: c\n", CodeColonInValue, 1, 7, "quotes"},
		{"indented too far", "a: 1\n  b: 2\n", CodeIndentation, 2, 3, "already has a value"},
		{"indented between", "a:\n    b: 1\n  c: 2\n", CodeIndentation, 3, 3, "none above"},
		{"item among keys", "a: 1\n- b\n", CodeIndentation, 2, 1, "list item"},
		{"key among items", "a:\n  - b\n  c: 1\n", CodeIndentation, 3, 3, "none above"},
		{"open bracket", "a: [1, 2\nb: 3\n", CodeUnclosedBracket, 1, 4, "line 2"},
		{"open bracket to the end", "a: [1, 2\n", CodeUnclosedBracket, 1, 4, "never closed"},
		{"open brace", "°: {x: 1\n", CodeUnclosedBracket, 1, 4, "never closed"},
		{"open double quote", "a: 1\n°b: \"x\nc\n", CodeUnclosedQuote, 2, 5, "never closed"},
		{"open single quote", "a: 'x\n", CodeUnclosedQuote, 1, 4, "never closed"},
		{"quote closed by the next", "a: \"x\nb: \"y\"\n", CodeTextAfterValue, 2, 5, "further up"},
		{"apostrophe", "a: 'it's'\n", CodeTextAfterValue, 1, 8, "twice"},
		{"text behind quote", "a: \"x\" y\n", CodeTextAfterValue, 1, 8, "end of a value"},
		{"bracket too many", "a: {x: 1}}\n", CodeTextAfterValue, 1, 10, "end of a value"},
		{"text behind root", "{a: 1}\nb: 2\n", CodeTextAfterValue, 2, 1, "mapping"},
		{"no comma", "a: {x: y z: 1}\n", CodeMissingComma, 1, 11, "comma"},
		{"no colon", "a: 1\nfoo\nb: 2\n", CodeMissingColon, 2, 1, "write key: value"},
		{"no space after colon", "a: 1\nfoo:2\nb: 2\n", CodeMissingColon, 2, 1, "space after the colon"},
		{"two commas", "a: {x: 1,, y: 2}\n", CodeMissingValue, 1, 10, "missing"},
		{"at sign", "by: @ro\n", CodeReserved, 1, 5, "@"},
		{"backtick", "by: `ro`\n", CodeReserved, 1, 5, "`"},
		{"item in the key's line", "a: - b\n", CodeListInLine, 1, 4, "line of its own"},
		{"escape", `a: "C:\q"` + "\n", CodeBadEscape, 1, 7, "backslash"},
		{"text behind bar", "a: | x\n  b\n", CodeBadBlockHeader, 1, 6, "next line"},
		{"star alone", "a: * b\n", CodeAlias, 1, 4, "*"},
		{"undefined alias", "a: *b\n", CodeAlias, 1, 4, "*"},
		{"broken tag", "a: !<b\n", CodeTag, 1, 4, "!"},
		{"question mark", "a: ? b\n", CodeComplexKey, 1, 4, "quotes"},
		{"comment without space", "a: \"x\"#y\n", CodeBadComment, 1, 7, "#"},
	})
}

func TestStrictRefused(t *testing.T) {
	checkRefusals(t, "job.yaml", []refusal{
		{"nothing", "", CodeEmpty, 0, 0, "empty"},
		{"blank lines", "\n \n", CodeEmpty, 0, 0, "empty"},
		{"comments", "# a\n# b\n", CodeEmpty, 0, 0, "only comments"},
		{"only a mark", "\ufeff", CodeEmpty, 0, 0, "empty"},
		{"only three dashes", "---\n", CodeEmpty, 0, 0, "empty"},
		{"two documents", "a: 1\n---\nb: 2\n", CodeSeveralDocuments, 2, 1, "second document"},
		{"empty second document", "a: 1\n---\n", CodeSeveralDocuments, 2, 1, "second document"},
		{"document behind dots", "a: 1\n...\nb: 2\n", CodeSeveralDocuments, 3, 1, "second document"},
		{"list", "- a\n", CodeRoot, 1, 1, "list"},
		{"one value", "a:b\n", CodeRoot, 1, 1, "space after the colon"},
		{"directive", "# c\n%YAML 1.1\n---\na: 1\n", CodeDirective, 2, 1, "%"},
		{"duplicate", "a: 1\nb: 2\na: 3\n", CodeDuplicateKey, 3, 1, "line 1"},
		{"duplicate in quotes", "°: {a: 1, \"a\": 2}\n", CodeDuplicateKey, 1, 11, "line 1"},
		{"anchor", "a: &x 1\n", CodeAnchor, 1, 4, "&"},
		{"anchor of a mapping", "a: &x\n  b: 1\n", CodeAnchor, 1, 4, "&"},
		{"alias as key", "a: &x 1\n*x : 2\n", CodeAnchor, 1, 4, "&"},
		{"merge", "a: {b: 1}\n<<: {c: 1}\n", CodeMergeKey, 2, 1, "<<"},
		{"tag", "a: !!str 1\n", CodeTag, 1, 4, "!"},
		{"bare tag", "a: ! 1\n", CodeTag, 1, 4, "!"},
		{"tag on a key", "!!str a: 1\n", CodeTag, 1, 1, "!"},
		{"list as key", "? [a]\n: 1\n", CodeComplexKey, 1, 3, "one word"},
		{"mapping as key", "{a: 1}: 1\n", CodeComplexKey, 1, 1, "one word"},
		{"question mark key", "? a\n: 1\n", CodeComplexKey, 1, 3, "? "},
		{"bar as key", "? |\n  a\n: 1\n", CodeComplexKey, 1, 3, "one word"},
		{"key on two lines", "? \"a\n  b\"\n: 1\n", CodeComplexKey, 1, 3, "one line"},
		{"no key", "a: 1\n: 2\n", CodeNullKey, 2, 1, "no key"},
		{"tilde key", "~: 2\n", CodeNullKey, 1, 1, "~"},
		{"null key", "null: 2\n", CodeNullKey, 1, 1, "null"},
		{"value on two lines", "a: b\n  c\n", CodeMultiLinePlain, 1, 4, "next line"},
		{"item slipped", "a:\n  - b\n   - c\n", CodeMultiLinePlain, 2, 5, "indentation"},
		{"quote over a field", "a: 1\nb: 'x\nc: y'\n", CodeQuoteOverFields, 2, 4, "fields"},
		{"escaped control", `a: "\e[31m"` + "\n", CodeControl, 1, 4, "U+001B"},
		{"escaped bidi", `a: "x\u202e"` + "\n", CodeBidi, 1, 4, "U+202E"},
		{"escape in a key", `"a\0": 1` + "\n", CodeControl, 1, 1, "U+0000"},
		{"key without value", "a: {b, c: 1}\n", CodeKeyWithoutValue, 1, 5, "no value"},
		{"key without space", "a: {b:1}\n", CodeKeyWithoutValue, 1, 5, "space after the colon"},
		{"no number torn", "a: {b: x,5}\n", CodeKeyWithoutValue, 1, 10, "no value"},
		{"pair in list", "a: [b: 1]\n", CodePairInList, 1, 5, "[ ]"},
	})
}

func TestCommaInFlow(t *testing.T) {
	cases := []struct {
		name, text string
		col        int
		says       []string
	}{
		{"decimal", "t: {set: 5,8 N·m}", 11, []string{"set: 5.8 N·m", "set: 58 N·m", `"5,8 N·m"`}},
		{"three digits", "t: {a: 1,100 mm}", 9, []string{"a: 1.100 mm", "a: 1100 mm"}},
		{"negative, more fields", "°: {low: -6,5 °C, high: 3 °C}", 12, []string{"low: -6.5 °C"}},
		{"bare number", "t: {a: 5,8}", 9, []string{"a: 5.8", "a: 58"}},
		{"groups", "t: {a: 1,100,000 mm}", 9, []string{"a: 1100000 mm", "only group thousands"}},
		{"reading with band", "t: {built: 22,5 mm ± 0,5 mm}", 14, []string{"built: 22.5 mm ± 0.5 mm"}},
		{"list", "t: [5,8 N·m, 3 N·m]", 6, []string{"5.8 N·m", "58 N·m", "two items"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, problems := Read("job.yaml", []byte(c.text), Limits{})
			require.Len(t, problems, 1)
			assert.Equal(t, CodeCommaInFlow, problems[0].Code)
			assert.Equal(t, Position{Line: 1, Column: c.col}, problems[0].Pos)
			for _, s := range c.says {
				assert.Contains(t, problems[0].String(), s)
			}
		})
	}
	for _, fine := range []string{"t: [1,2,3]", "t: [1, 2 mm]", "t: {a: 1, b: 2}", "a: 5,8 N·m"} {
		f, problems := Read("job.yaml", []byte(fine), Limits{})
		assert.NotNil(t, f, "%s: %v", fine, problems)
	}
	_, problems := Read("job.yaml", []byte("a: {b: 5,8, c: 1,100 mm, d: 1, 2}"), Limits{})
	require.Len(t, problems, 3, "each has its own message")
	assert.Equal(t, CodeKeyWithoutValue, problems[2].Code, "with a space a list may be meant")
}

func TestSeveralProblems(t *testing.T) {
	text := "a: 010\na: 2\nb: &x 1\nc: {d: 5,8}\ne: 1\u202e\n"
	_, problems := Read("job.yaml", []byte(text), Limits{})
	var codes []string
	for _, p := range problems {
		codes = append(codes, p.Code)
	}
	assert.Equal(t, []string{CodeLeadingZero, CodeDuplicateKey, CodeAnchor, CodeCommaInFlow, CodeBidi}, codes, "in order of position")

	_, problems = Read("job.yaml", []byte("a: \u202e\nb: [1\n"), Limits{})
	require.Len(t, problems, 2, "direction controls do not hide a syntax error")
	assert.Equal(t, CodeUnclosedBracket, problems[1].Code)

	_, problems = Read("job.yaml", []byte("a: 1\n"+strings.Repeat("\xb0", 25)), Limits{})
	require.Len(t, problems, perCode)
	assert.Contains(t, problems[perCode-1].Message, "15 more")
}

func TestBinary(t *testing.T) {
	_, problems := Read("job.yaml", []byte("PK\x03\x04\x14\x01\x02\x08"+strings.Repeat("\x9c\x01\xf3\x02q", 200)), Limits{})
	require.Len(t, problems, 1)
	assert.Equal(t, CodeBinary, problems[0].Code)
}

func TestMessagesAreHarmless(t *testing.T) {
	_, problems := Read("job.yaml", []byte(`{"\e[2J": 5,8 mm, "x`+strings.Repeat("y", 200)+`": 1, "x`+strings.Repeat("y", 200)+`": 2}`), Limits{})
	require.NotEmpty(t, problems)
	for _, p := range problems {
		assert.NotContains(t, p.String(), "\x1b")
		assert.Less(t, len(p.String()), 400)
	}
}
