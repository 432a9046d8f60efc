package jobfile

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLimits(t *testing.T) {
	cases := []struct {
		name, text string
		lim        Limits
		enough     Limits
		code       string
		pos        Position
	}{
		{"bytes", "a: 12\n", Limits{Bytes: 5}, Limits{Bytes: 6}, CodeTooLarge, Position{}},
		{"depth of brackets", "a: [[[1]]]\n", Limits{Depth: 3}, Limits{Depth: 4}, CodeTooDeep, Position{1, 6}},
		{"depth of indentation", "a:\n b:\n  c:\n   d: 1\n", Limits{Depth: 3}, Limits{Depth: 4}, CodeTooDeep, Position{4, 4}},
		{"depth of both", "a:\n b:\n  c: [[1]]\n", Limits{Depth: 4}, Limits{Depth: 5}, CodeTooDeep, Position{3, 7}},
		{"values", "a: [1, 2]\n", Limits{Nodes: 3}, Limits{Nodes: 4}, CodeTooMany, Position{}},
		{"long value", "é: {a: 12345}\n", Limits{ScalarBytes: 4}, Limits{ScalarBytes: 5}, CodeTooLong, Position{1, 8}},
		{"long key", "a: {bcdef: 1}\n", Limits{ScalarBytes: 4}, Limits{ScalarBytes: 5}, CodeTooLong, Position{1, 5}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, problems := Read("job.yaml", []byte(c.text), c.lim)
			require.NotEmpty(t, problems)
			assert.Equal(t, c.code, problems[0].Code)
			assert.Equal(t, c.pos, problems[0].Pos)
			_, problems = Read("job.yaml", []byte(c.text), c.enough)
			assert.Empty(t, problems, "one more is enough")
		})
	}
}

// TestHostile holds files made to cost time or memory to a bound that is far
// above what they take, and far below what one quadratic step would.
func TestHostile(t *testing.T) {
	const n = 1 << 16
	rep := strings.Repeat
	accepted := map[string]bool{"wide in one line": true, "tabs in quotes": true} // large, but sound
	nested := map[string]bool{"open brackets": true, "open braces": true, "dashes": true, "question marks": true}
	for name, text := range map[string]string{
		"open brackets":      rep("[", 8*n),
		"open braces":        rep("{a: ", 2*n),
		"dashes":             rep("- ", 4*n),
		"question marks":     rep("? ", 4*n),
		"comments":           rep("#\n", 4*n),
		"comment per value":  rep("a: # x\n", 2*n),
		"empty items":        "a:\n" + rep("-\n", 4*n),
		"numbers":            "a: [" + rep("1,", 4*n) + "]",
		"wide in one line":   "a: [" + rep("°,", 2*n) + "]",
		"commas in braces":   "a: {b: 1" + rep(",1", 2*n) + "}",
		"tabs":               rep("\tx\n", 2*n),
		"tabs in quotes":     "a:\n" + rep("  - \"x\n\ty\"\n", n/2),
		"bad bytes":          rep("\xff", 8*n),
		"carriage returns":   rep("\r", 8*n),
		"anchors":            "a: [" + rep("&a b,", n) + "]",
		"bombs":              "a: &a [x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b]\nd: &d [*c,*c,*c,*c,*c,*c,*c,*c,*c]\ne: [*d,*d,*d,*d,*d,*d,*d,*d,*d]\n",
		"quote over lines":   "a: \"" + rep("\n", 8*n) + "\"",
		"unclosed over keys": "a: '" + rep("b: c\n", n),
	} {
		start := time.Now()
		f, problems := Read("job.yaml", []byte(text), Limits{})
		assert.True(t, f == nil || accepted[name], name)
		assert.LessOrEqual(t, len(problems), 100, name)
		if nested[name] {
			require.NotEmpty(t, problems)
			assert.Equal(t, CodeTooDeep, problems[0].Code, "the parser is stopped on its way in")
		}
		assert.Less(t, time.Since(start), 10*time.Second, name)
	}
}
