package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/cmd/witnessmark/report/inert"
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

func FuzzMarkdown(f *testing.F) {
	for _, s := range []string{"22 mm", "|a|", "`", "a`|b@c", "<b>x</b>", "![x](y)", "[a]: b", "@all", "https://x.example", "a@b.example", `\`, `\|`, "***", "&lt;", "~~x~~", "$x$", "- [ ] x", "\n\n# x", "<!--", "a\\`b@c|"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m := new(mark).own("| a | b | c |\n|---|---|---|\n| x ").text(s).own(" | ").text(s).own(" | ").code(s).own(" |\n\n- y ").text(s).own("\n")
		require.NoError(t, inert.Markdown([]byte(string(m.b))))
		require.Equal(t, strings.Count(s, "") == 1, len(AppendMarkdown(nil, s)) == 0, "nothing is dropped")
	})
}
