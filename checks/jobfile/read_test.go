package jobfile

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
)

// read is Read of a file that must be accepted and hold together.
func read(t testing.TB, name, text string) *File {
	t.Helper()
	f, problems := Read(name, []byte(text), Limits{})
	require.Empty(t, problems)
	require.NotNil(t, f)
	checkFile(t, f)
	return f
}

// checkFile holds a tree against the bytes it came from.
func checkFile(t testing.TB, f *File) {
	t.Helper()
	require.Equal(t, Mapping, f.Root.Kind)
	var ps problems
	table := scan(f.Source, &ps).lines
	checkNode(t, f, &table, f.Root, Span{0, len(f.Source)})
}

func checkNode(t testing.TB, f *File, lines *lineTable, n *Node, within Span) {
	t.Helper()
	require.NotZero(t, n.Kind)
	require.NotZero(t, n.Style)
	require.True(t, within.Start <= n.Span.Start && n.Span.Start <= n.Span.End && n.Span.End <= within.End,
		"%v outside %v", n.Span, within)
	require.Equal(t, lines.position(n.Span.Start), n.Pos)
	require.Equal(t, n.Kind == Scalar, n.Type != 0)
	raw := f.Raw(n.Span)
	switch n.Style {
	case Plain:
		require.Equal(t, raw, n.Text)
	case SingleQuoted, DoubleQuoted:
		require.Equal(t, n.Text, reparse(t, raw))
	case Literal, Folded:
		if header, _, _ := strings.Cut(raw, "\n"); !strings.ContainsAny(header, "123456789") {
			require.Equal(t, strings.TrimRight(n.Text, " \t\n"), strings.TrimRight(reparse(t, "k: "+raw+"\n"), " \t\n"))
		}
	}
	last := Position{}
	for i := range n.Fields {
		k := &n.Fields[i]
		require.True(t, last.before(k.KeyPos), "keys in order")
		last = k.KeyPos
		require.Equal(t, lines.position(k.KeySpan.Start), k.KeyPos)
		require.LessOrEqual(t, k.KeySpan.End, k.Value.Span.Start)
		if rawKey := f.Raw(k.KeySpan); rawKey != k.Key {
			require.Equal(t, k.Key, reparse(t, rawKey))
		}
		checkNode(t, f, lines, k.Value, n.Span)
	}
	for _, item := range n.Items {
		checkNode(t, f, lines, item, n.Span)
	}
}

// reparse loads a scalar, alone or behind the key k.
func reparse(t testing.TB, raw string) string {
	t.Helper()
	if strings.HasPrefix(raw, "k: ") {
		var out struct{ K string }
		require.NoError(t, yaml.Load([]byte(raw), &out))
		return out.K
	}
	var out string
	require.NoError(t, yaml.Load([]byte(raw), &out))
	return out
}

func TestSampleJob(t *testing.T) {
	data := sample(t)
	f := read(t, "jobs/net-loft.yaml", string(data))
	sum := sha256.Sum256(data)
	assert.Equal(t, hex.EncodeToString(sum[:]), f.Digest)
	assert.Equal(t, "jobs/net-loft.yaml", f.Name)

	gap := f.Root.Field("stacks").Items[0].Field("wall_gap").Field("built")
	assert.Equal(t, "22 mm ± 1 mm", gap.Text)
	assert.Equal(t, Position{Line: 37, Column: 39}, gap.Pos)
	assert.Equal(t, "22 mm ± 1 mm", f.Raw(gap.Span))

	after := f.Root.Field("joints").Items[0].Field("by")
	assert.Equal(t, "ro", f.Raw(after.Span))
	assert.Equal(t, 86, after.Pos.Column, "the middle dot counts once")
	assert.Equal(t, "# a key; customers' names live elsewhere", f.Root.Field("premises").Comments().Line)
	assert.Equal(t, "# pulled on three anchors, the weakest is recorded",
		f.Root.Field("stacks").Items[0].Field("wall").Field("anchor_test").Comments().Head)
	assert.Contains(t, f.Root.Comments().Head, "# Extension to a boat store")

	assert.Equal(t, Flow, f.Root.Field("dates").Style)
	assert.Equal(t, Date, f.Root.Field("dates").Field("permit").Type)
	assert.Equal(t, Folded, f.Root.Field("note").Style)
	assert.Equal(t, "Second look at the conduit entry; \"sealed\" now.", f.Root.Field("gates").Field("energise").Field("remark").Text)
	assert.Nil(t, f.Root.Field("nothing").Field("below"))
}

func TestPositions(t *testing.T) {
	cases := []struct {
		name, text, key string
		pos             Position
		raw             string
	}{
		{"behind wide characters", "a: {°: 5, é: \"ü\", 日: x, b: 1}\n", "b", Position{1, 28}, "1"},
		{"behind an astral character", "a: {c: 😀, b: 1}\n", "b", Position{1, 14}, "1"},
		{"behind a block scalar with crlf", "a:\r\n  c: |\r\n    x\r\n    y\r\n  b: °1\r\n", "b", Position{5, 6}, "°1"},
		{"behind the mark", "\ufeffa: {b: 1}\n", "b", Position{1, 8}, "1"},
		{"flow over lines", "a: {\n  c: 1, # é\n  b: [1,\n   2 ], }\n", "b", Position{3, 6}, "[1,\n   2 ]"},
		{"block scalar", "a:\n  b: |-\n    x\n\n      y\n\n  c: 1\n", "b", Position{2, 6}, "|-\n    x\n\n      y"},
		{"block scalar with indicator", "a:\n  b: |2\n     x\n    y\n  c: 1\n", "b", Position{2, 6}, "|2\n     x\n    y"},
		{"block scalar at the end", "a:\n  b: >\n    x", "b", Position{2, 6}, ">\n    x"},
		{"empty block scalar", "a:\n  b: >\n  c: 1\n", "b", Position{2, 6}, ">"},
		{"single quotes", "a: {b: 'it''s' , c: 1}\n", "b", Position{1, 8}, "'it''s'"},
		{"double quotes", "a: {b: \"x\\\"}\\\\\", c: 1}\n", "b", Position{1, 8}, `"x\"}\\"`},
		{"quotes over lines", "a:\n  b: \"x\n    y\"\n", "b", Position{2, 6}, "\"x\n    y\""},
		{"nothing", "a:\n  b:   \n  c: 1\n", "b", Position{2, 5}, ""},
		{"nothing in braces", "a: {b : , c: }\n", "b", Position{1, 8}, ""},
		{"tilde", "a: {b: ~}\n", "b", Position{1, 8}, "~"},
		{"list", "a:\n  b:\n  - 1\n  -\n  - 2 # x\n", "b", Position{3, 3}, "- 1\n  -\n  - 2"},
		{"mapping", "a:\n  b:\n    d: 1\n    e: {}\n", "b", Position{3, 5}, "d: 1\n    e: {}"},
		{"quoted key", "a: {\"b\":1}\n", "b", Position{1, 9}, "1"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := read(t, "job.yaml", c.text)
			n := f.Root.Field("a").Field(c.key)
			require.NotNil(t, n)
			assert.Equal(t, c.pos, n.Pos)
			assert.Equal(t, c.raw, f.Raw(n.Span))
		})
	}
}

func TestAccepted(t *testing.T) {
	for name, text := range map[string]string{
		"no final line break":         "a: 1",
		"crlf":                        "a: 1\r\nb:\r\n  - 2\r\n",
		"crlf and lf mixed":           "a: 1\r\nb: 2\nc: 3\r\n",
		"byte order mark":             "\ufeffa: 1\n",
		"one document with marks":     "---\na: 1\n...\n",
		"tab behind colon":            "a:\tb\n",
		"tab before comment":          "a: 1\t# c\n",
		"tab in a block scalar":       "a: |\n  x\n  \ty\n",
		"tab before the quote's rest": "a: \"x\n\ty\"\n",
		"tab on a blank line":         "a: 1\n\t\nb: 2\n",
		"wide space in block scalar":  "a: |\n  \u00a0x\nb: 1\n",
		"wide space in a value":       "a: 20\u00a0mm\n",
		"star in quotes":              "a: '*x'\nb: \"&y\"\n",
		"merge word in quotes":        "'<<': 1\n",
		"document mark in quotes":     "a: ' --- '\n",
		"key on its own":              "a: {b: , c: 1}\n",
		"hash in a value":             "a: b#c\n",
		"ratio":                       "size: 1/0 AWG\n",
		"quote over lines":            "a: 'x\n  y at 12:30, see plan'\n",
		"root in braces":              "{a: 1, b: [2]} # c\n",
	} {
		t.Run(name, func(t *testing.T) { read(t, "job.yaml", text) })
	}
}

func TestOrderAndComments(t *testing.T) {
	f := read(t, "job.yaml", "# head\n\nz: 1 # line\n# above a\na: # behind a\n  - x # item\n  # foot\n\n# end\n")
	require.Len(t, f.Root.Fields, 2)
	assert.Equal(t, "z", f.Root.Fields[0].Key)
	assert.Equal(t, "# line", f.Root.Field("z").Comments().Line)
	a := f.Root.Field("a")
	assert.Equal(t, "# above a", a.Comments().Head)
	assert.Equal(t, "# behind a", a.Comments().Line)
	assert.Equal(t, "# item", a.Items[0].Comments().Line)
	assert.Equal(t, "# foot", a.Items[0].Comments().Foot)
	assert.Equal(t, Comments{Head: "# head", Foot: "# end"}, f.Root.Comments())
	assert.Equal(t, Comments{}, (*Node)(nil).Comments())
	assert.Empty(t, f.Raw(Span{Start: 3, End: 999}))
}

func TestManyKeys(t *testing.T) {
	var text strings.Builder
	for i := range 40 {
		text.WriteString("k" + strings.Repeat("x", i) + ": 1\n")
	}
	read(t, "job.yaml", text.String())
	_, problems := Read("job.yaml", []byte(text.String()+"kxx: 2\n"), Limits{})
	require.Len(t, problems, 1)
	assert.Equal(t, CodeDuplicateKey, problems[0].Code)
	assert.Contains(t, problems[0].Message, "line 3")
}
