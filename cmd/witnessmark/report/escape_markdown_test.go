package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"
)

func TestMarkdownText(t *testing.T) {
	for in, want := range map[string]string{
		"22 mm ± 1 mm, é (x)":                 "22 mm ± 1 mm, é (x)",
		`a\b`:                                 `a\\b`,
		"*a* _b_ [c](d) <e> f|g":              `\*a\* \_b\_ \[c\](d) \<e\> f\|g`,
		"`code`":                              "\\`code\\`",
		"(equipment/orrelin@B#wall-gap),":     "(`equipment/orrelin@B#wall-gap`),",
		"us/nec-2023#gap; 4 %":                "`us/nec-2023#gap`; 4 %",
		"@all #12 GH-3 :boat: R&D $x$ ~a! %b": "`@all` `#12` `GH-3` `:boat:` `R&D` `$x$` `~a!` `%b`",
		"https://x.example www.x.example":     "`https://x.example` `www.x.example`",
		"a@b`c|d":                             "`a@b\\u0060c\\u007cd`",
		"a\nb\u202e":                          `a\\u000ab\\u202e`,
		"# @":                                 "# @",
		"(90 %) \"@x\"; ((@y)":                "(90 %) `\"@x\"`; ((`@y`)",
		"":                                    "",
	} {
		assert.Equal(t, want, string(AppendMarkdown(nil, in)), in)
	}
	assert.Equal(t, "`a\\u0060b c`", string(AppendCode(nil, "a`b c")))
	assert.Empty(t, AppendCode(nil, " "))
}

// parseMarkdown reads a page as the hosts do, with tables and addresses that become links.
func parseMarkdown(source []byte) ast.Node {
	return goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser().Parse(text.NewReader(source))
}

// requireInertMarkdown demands that a page has no links, pictures or markup of HTML,
// that no text outside code can be a mention, and that all rows of a table have the
// cells of its heading.
func requireInertMarkdown(t *testing.T, page string) {
	t.Helper()
	for line := range strings.SplitSeq(page, "\n") {
		requireHarmless(t, line)
	}
	source := []byte(page)
	require.NoError(t, ast.Walk(parseMarkdown(source), func(n ast.Node, in bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.Link, *ast.AutoLink, *ast.Image, *ast.RawHTML, *ast.HTMLBlock, *ast.FencedCodeBlock, *ast.CodeBlock, *extast.Strikethrough, *extast.TaskCheckBox:
			require.Fail(t, "text of a file means something", "%T in %s", n, page)
		case *ast.Emphasis:
			require.Equal(t, 2, n.Level, "only this program sets words in bold: %s", page)
		case *ast.CodeSpan:
			return ast.WalkSkipChildren, nil
		case *ast.Text:
			for word := range strings.FieldsSeq(string(n.Value(source))) {
				require.False(t, strings.ContainsAny(word, "@$~^") && len(strings.Trim(word, `.,;:()"'`)) > 1, "%q in %s", word, page)
			}
		case *extast.TableRow:
			require.Equal(t, n.Parent().FirstChild().ChildCount(), n.ChildCount(), "%s", page)
		}
		return ast.WalkContinue, nil
	}))
}

func FuzzMarkdown(f *testing.F) {
	for _, s := range []string{"22 mm", "|a|", "`", "a`|b@c", "<b>x</b>", "![x](y)", "[a]: b", "@all", "https://x.example", "a@b.example", `\`, `\|`, "***", "&lt;", "~~x~~", "$x$", "- [ ] x", "\n\n# x", "<!--", "a\\`b@c|"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m := new(mark).own("| a | b | c |\n|---|---|---|\n| x ").text(s).own(" | ").text(s).own(" | ").code(s).own(" |\n\n- y ").text(s).own("\n")
		requireInertMarkdown(t, string(m.b))
		require.Equal(t, strings.Count(s, "") == 1, len(AppendMarkdown(nil, s)) == 0, "nothing is dropped")
	})
}
