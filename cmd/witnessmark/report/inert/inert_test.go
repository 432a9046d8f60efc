package inert

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

const fixture = `<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'sha256-x'"><title>%[1]s</title><style>p{margin:0}</style></head>
<body><h1 id="a">%[1]s</h1><p title="%[1]s">%[1]s</p><a href="#a">up</a><a href="https://example.com/code">read</a><svg viewBox="0 0 1 1"><rect style="width:3px"/></svg>
<script>let a = 1</script><script type="application/json">{"a":"%[1]s"}</script></body></html>`

func TestPacked(t *testing.T) {
	long := func(n int) string { return strings.Repeat("aZ9=", n/4) }
	for text, want := range map[string]bool{"": false, long(4000): false, long(100) + "+" + long(1000): true, "x " + long(400) + "/" + long(4000) + " x": true,
		long(100) + "+" + long(996): false, long(96) + "+" + long(1000): false, long(400) + "+ " + long(4000): false} {
		assert.Equal(t, want, Packed([]byte(text)), "%.200q", text)
	}
}

// The invariants themselves: each lets a good report pass and refuses bad ones.
func TestInvariants(t *testing.T) {
	page := func(body string) string { return strings.Replace(fmt.Sprintf(fixture, "x"), "<h1", body+"<h1", 1) }
	for format, c := range map[string]struct{ good, bad []string }{
		"text": {[]string{"", "a: b\nc\n", "é 漢 22 mm ± 1 mm, :\\u003aerror"},
			[]string{"\x1b[31m", "a\rb", "\u009b1m", "\u202e", "\u200b", "\ufeff", "\xff", "a\n ::error::x", "x ##[group]y", "\u2028"}},
		"json": {[]string{`{"a":"::b"}`, "{\"a\":\"\\u001b\"}\n"}, []string{"", `{"a":1}{}`, `{"a":`, "{\"a\":\"\u202e\"}", `{"a":"##[x"}`, "{\"a\":\"\x7f\"}"}},
		"csv":  {[]string{"a,b\n-5,'=1\n", "\ufeffa\r\n\"x\ny\"\r\n"}, []string{"=1\n", "a,-x\n", "\"@a\"\n", "+1+1\n", "\"\tx\"\n", "a,\"\x1b\"\n", "a\nb,c\n"}},
		"html": {[]string{fmt.Sprintf(fixture, "other &lt;b&gt; &#34;")}, []string{
			page("<b>x</b>"), page("<script>alert(1)</script>"), page("<p onclick=x>"), page(`<a href="javascript:x">y</a>`), page(`<a href="https://example.net">y</a>`),
			page("<!-- x -->"), page("<style>a{}</style>"), page("<p style='color:red'>"), page("<rect style='width:url(x)'>"), page("\u202e"), page("<p x='"),
			strings.Replace(page(""), "default-src 'none'", "default-src *", 1), strings.Replace(page(""), "sha256-x", "unsafe-inline", 1),
			strings.Replace(page(""), "<meta http-equiv", "<meta name", 1), fmt.Sprintf(fixture, `"><img src=x onerror=y>`), fmt.Sprintf(fixture, "</script><script>b()</script>"),
		}},
		"markdown": {[]string{"## a\n\n- **b** `@c` \\*d\\*\n\n| a | b |\n|---|---|\n| `c` | d, 5 @ |\n"}, []string{
			"[a](b)", "![a](b)", "<b>x</b>", "https://x.example", "@all", "*a*", "~~a~~", "    code", "```\nx\n```", "- [ ] a", "a::b", "##[x", "\u202e", "| a | b |\n|---|---|\n| c |\n", "| a | b |\n|---|---|\n| c | d | e |\n", "| a |\n|---|\n| b \\\\| c |\n"}},
		"annotations": {[]string{"", "::error file=a.yaml,line=3,col=4,title=a%3A b::c%0Ad %25\n"}, []string{
			"a\n", "::error title=a::b::c\n", "::set-output name=x::y\n", "::error file=a::b,title=c::d\n", "::error title=a::100 %\n", "::error title=a::%41\n", "::error title=a::\u202e\n", "::error title=a::##[b\n", strings.Repeat("::error title=a::b\n", 11)}},
		"sarif": {[]string{`{"message":{"text":"a \\u0028b"},"uri":"a%20b","helpUri":"https://a.example","help":{"markdown":"**a**"}}`}, []string{
			`{"text":"[a](b)"}`, `{"text":"\u202e"}`, `{"text":""}`, `{"uri":"https://a.example"}`, `{"uri":"/etc"}`, `{"helpUri":"javascript:a"}`, `{"markdown":"[a](b)"}`, `{"a":1`, `{"a":["\u0007"]}`}},
		"junit": {[]string{`<testsuites><testsuite><testcase name="&lt;b&gt;"><skipped>a</skipped></testcase></testsuite></testsuites>`}, []string{
			"<testsuites>", "<testsuites><b/></testsuites>", "<testsuites>::a</testsuites>", "<testsuites>\u202e</testsuites>", "<testsuites>##[a</testsuites>"}},
	} {
		for _, text := range c.good {
			assert.NoError(t, Formats[format]([]byte(text), []byte(page(""))), "%s: %q", format, text)
		}
		for _, text := range c.bad {
			assert.Error(t, Formats[format]([]byte(text), []byte(page(""))), "%s: %q", format, text)
		}
	}
}
