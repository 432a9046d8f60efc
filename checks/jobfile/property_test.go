package jobfile

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// writer writes a random tree in a random style and remembers each scalar.
type writer struct {
	strings.Builder
	rnd   *rand.Rand
	texts []string // values, as the reader is to find them
	raws  []string // the same, as written
}

const letters = "abcxyz 0189.,:;'\"\\#-–°±·µé日😀{}[]&*!|>%@`?~=/\t"

// scalar writes one value and notes it.
func (w *writer) scalar() {
	runes := []rune(letters)
	var b strings.Builder
	for range w.rnd.IntN(12) {
		b.WriteRune(runes[w.rnd.IntN(len(runes))])
	}
	text := b.String()
	var raw string
	switch w.rnd.IntN(3) {
	case 0:
		raw = "'" + strings.ReplaceAll(text, "'", "''") + "'"
	case 1:
		raw = `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "é", `\u00e9`).Replace(text) + `"`
	default:
		text = fmt.Sprintf("v%d mm ± %d °C", w.rnd.IntN(100), w.rnd.IntN(100))
		raw = text
	}
	w.texts, w.raws = append(w.texts, text), append(w.raws, raw)
	w.WriteString(raw)
}

// flow writes a value in { } or [ ].
func (w *writer) flow(depth int) {
	kind := w.rnd.IntN(3)
	if depth == 0 || kind == 0 {
		w.scalar()
		return
	}
	open, shut := "{", "}"
	if kind == 1 {
		open, shut = "[", "]"
	}
	w.WriteString(open)
	for i := range w.rnd.IntN(4) {
		if i > 0 {
			w.WriteString([]string{", ", ",  ", ", # °\n      "}[w.rnd.IntN(3)])
		}
		if kind == 2 {
			fmt.Fprintf(w, "k°%d: ", i)
		}
		w.flow(depth - 1)
	}
	w.WriteString(shut)
}

// block writes the fields of a mapping.
func (w *writer) block(indent, depth int, eol string) {
	for i := range 1 + w.rnd.IntN(4) {
		fmt.Fprintf(w, "%skey%d:", strings.Repeat(" ", indent), i)
		switch kind := w.rnd.IntN(4); {
		case kind == 0 && depth > 0:
			w.WriteString(" # comment ±" + eol)
			w.block(indent+2, depth-1, eol)
			continue
		case kind == 1:
			w.WriteString(eol)
			for range 1 + w.rnd.IntN(3) {
				w.WriteString(strings.Repeat(" ", indent+2) + "- ")
				w.flow(1)
				w.WriteString(eol)
			}
			continue
		}
		w.WriteString(" ")
		w.flow(2)
		w.WriteString(eol)
	}
}

// scalars lists the scalars of a tree in order.
func scalars(n *Node, visit func(*Node)) {
	if n.Kind == Scalar {
		visit(n)
	}
	for _, f := range n.Fields {
		scalars(f.Value, visit)
	}
	for _, item := range n.Items {
		scalars(item, visit)
	}
}

// TestRoundTrip writes random trees and finds every value again: its text, and
// its bytes by its span.
func TestRoundTrip(t *testing.T) {
	for seed := range uint64(300) {
		w := &writer{rnd: rand.New(rand.NewPCG(seed, 1))}
		eol := []string{"\n", "\r\n"}[seed%2]
		if seed%5 == 0 {
			w.WriteString(byteOrderMark)
		}
		w.block(0, 3, eol)
		f, problems := Read("job.yaml", []byte(w.String()), Limits{})
		require.Empty(t, problems, w.String())
		checkFile(t, f)
		var texts, raws []string
		scalars(f.Root, func(n *Node) { texts, raws = append(texts, n.Text), append(raws, f.Raw(n.Span)) })
		assert.Equal(t, w.texts, texts, w.String())
		assert.Equal(t, w.raws, raws)
	}
}

// FuzzRead looks for files that panic, that give neither a tree nor a problem,
// or whose tree does not agree with their bytes.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"a: 1\n", "a: {set: 5,8 N·m}\n", "a: [1,2 mm]\n", "a:\n  - b\n  - {c: °, d: \"x\\\"\", e: 'it''s'}\n", "a: |\n  x\n\n  y\nb: >-2\n   z\n",
		"\ufeffa: 1\r\nb:\r\n", "a: &x 1\nb: *x\n<<: *x\n", "? a\n: b\n", "{a: , b: }\n", "a: 1\n---\nb: 2\n", "# x\na: # y\n  - 1 # z\n  # w\n",
		"a: \"x\n  y\"\n", "a: b\n  c\n", "\ta: 1\n", "a: !!str 1\n", "~: 1\n: 2\n", "a: [b: 1, {c}, ? d]\n", "{\"a\"\n:1,\"b\":{}}\n", "%YAML 1.1\n---\na: 1\n", "a: |2-\n\n   \n   x\n  y\n# z\n",
		string(sample(f)),
	} {
		f.Add([]byte(s), false)
		f.Add([]byte(s), true)
	}
	f.Add([]byte(`{"a": [1, 2.5, "x", true, null], "b": {"c": "\u00e9"}}`), true)
	f.Fuzz(func(t *testing.T, data []byte, asJSON bool) {
		name := "job.yaml"
		if asJSON {
			name = "job.json"
		}
		file, problems := Read(name, data, Limits{Bytes: 1 << 16})
		require.Equal(t, file == nil, len(problems) > 0)
		if file != nil {
			checkFile(t, file)
		}
		for _, p := range problems {
			require.NotEmpty(t, p.Code)
			require.NotEmpty(t, p.Message)
			require.NotEqual(t, CodePositionLost, p.Code)
			require.NotEqual(t, CodeSyntax, p.Code)
			require.LessOrEqual(t, p.Pos.Line, strings.Count(string(data), "\n")+1)
		}
	})
}
