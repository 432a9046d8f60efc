package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"witnessmark.example/cmd/witnessmark/report"
)

// inert says of each format what must hold of a report, whatever stands in the files
// that it is about: nil, or what is wrong. Plain are reports of the same format about
// files with nothing but plain words in the same places, and others that are harmless.
//
// A format that is added needs a line here; TestEveryFormatHasAnInvariant says so.
var inert = map[string]func(got []byte, plain ...[]byte) error{
	"text": inertText,
	"json": inertJSON,
	"csv":  inertCSV,

	"html":      inertHTML,
	"emergency": inertHTML,
	"owner":     inertHTML,
	"snags":     inertHTML,
	"labels":    inertHTML,
}

func TestEveryFormatHasAnInvariant(t *testing.T) {
	for _, f := range report.Formats() {
		assert.NotNil(t, inert[f.Name], "say in inert what keeps the format %q from being steered", f.Name)
	}
}

// inertText holds of every report: it is UTF-8, has no character that steers a
// terminal or reorders text, and no line that a CI runner takes for a command.
func inertText(got []byte, _ ...[]byte) error {
	for i := 0; i < len(got); {
		r, size := utf8.DecodeRune(got[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			return fmt.Errorf("a byte that is no UTF-8 %s", around(got, i))
		case r < 0x20 && r != '\n', r >= 0x7f && r <= 0x9f:
			return fmt.Errorf("the control character %U %s", r, around(got, i))
		case r == 0x61c, r >= 0x200b && r <= 0x200f && r != 0x200c && r != 0x200d, r >= 0x2028 && r <= 0x202e, r >= 0x2060 && r <= 0x2069, r == 0xfeff, r >= 0xfff9 && r <= 0xfffb, r >= 0xe0000 && r <= 0xe007f:
			return fmt.Errorf("the character %U, which reorders or hides text %s", r, around(got, i))
		}
		i += size
	}
	if i := bytes.Index(got, []byte("##[")); i >= 0 {
		return fmt.Errorf("a command %s", around(got, i))
	}
	for line := range bytes.Lines(got) {
		if bytes.HasPrefix(bytes.TrimSpace(line), []byte("::")) {
			return fmt.Errorf("a command: %.80q", line)
		}
	}
	return nil
}

// around shows where in a report something is.
func around(got []byte, i int) string {
	return fmt.Sprintf("in %q", got[max(0, i-60):min(len(got), i+60)])
}

// inertJSON holds of a report for programs: one document, and nothing behind it.
func inertJSON(got []byte, _ ...[]byte) error {
	if !json.Valid(got) {
		return fmt.Errorf("no JSON: %.200q", got)
	}
	return inertText(got)
}

// aNumber is what a spreadsheet takes for a number and nothing else.
var aNumber = regexp.MustCompile(`^[+-]?[0-9]+([.,][0-9]+)?$`)

// inertCSV holds of a table: it is one, and no cell of it is computed.
func inertCSV(got []byte, _ ...[]byte) error {
	r := csv.NewReader(bytes.NewReader(got))
	rows, err := r.ReadAll()
	if err != nil {
		return err
	}
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsRune("=+-@\t\r＝＋－＠", []rune(cell)[0]) && !aNumber.MatchString(cell) {
				return fmt.Errorf("a cell that is computed: %.80q", cell)
			}
		}
	}
	return inertText(bytes.ReplaceAll(bytes.TrimPrefix(got, []byte("\ufeff")), []byte("\r\n"), []byte("\n")))
}

// packed is a word that no file of a test holds: a page that is large may pack a part
// of itself.
var packed = regexp.MustCompile(`[A-Za-z0-9+/=]{100,}[+/][A-Za-z0-9+/=]{1000,}`)

// inertHTML holds of a page: it may load and run nothing but its own, and its
// elements, attributes and scripts are those of the plain pages.
func inertHTML(got []byte, plain ...[]byte) error {
	page, err := readPage(got)
	if err != nil {
		return err
	}
	if packed.Match(got) {
		return errors.New("a part of the page is packed and cannot be looked through; give the test fewer jobs")
	}
	if !strings.Contains(page.policy, "default-src 'none'") {
		return fmt.Errorf("no policy that forbids what is not the page's own: %q", page.policy)
	}
	allowed := map[string]bool{}
	for _, text := range plain {
		one, err := readPage(text)
		if err != nil {
			return fmt.Errorf("the plain page: %w", err)
		}
		if page.policy != one.policy {
			return fmt.Errorf("another policy than that of the plain page: %q", page.policy)
		}
		maps.Copy(allowed, one.has)
	}
	if !ends(got) {
		return fmt.Errorf("the end of the page is swallowed")
	}
	for _, one := range page.parts {
		if !allowed[one] {
			return fmt.Errorf("what the plain page has not: %.200s", one)
		}
	}
	return inertText(got)
}

// page is what an HTML page is made of, as far as text of a file must not add to it.
type page struct {
	policy string
	parts  []string // elements with their attributes, comments, scripts, styles, addresses
	has    map[string]bool
}

func (p *page) add(format string, args ...any) {
	one := fmt.Sprintf(format, args...)
	if !p.has[one] {
		p.has[one] = true
		p.parts = append(p.parts, one)
	}
}

// addresses are the attributes that lead somewhere or run something.
var addresses = map[string]bool{"href": true, "src": true, "action": true, "formaction": true, "srcset": true, "data": true, "xlink:href": true, "poster": true, "background": true, "ping": true, "srcdoc": true}

func readPage(text []byte) (*page, error) {
	root, err := html.Parse(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	p := &page{has: map[string]bool{}}
	for n := range root.Descendants() {
		switch n.Type {
		case html.CommentNode:
			p.add("comment %q", n.Data)
		case html.ElementNode:
			p.element(n)
		}
	}
	return p, nil
}

// ends tells whether the end of a page is one, and no part of an attribute, a comment
// or a script that was never closed.
func ends(text []byte) bool {
	for z := html.NewTokenizer(bytes.NewReader(text)); ; {
		switch z.Next() {
		case html.ErrorToken:
			return false
		case html.EndTagToken:
			if name, _ := z.TagName(); string(name) == "html" {
				return true
			}
		}
	}
}

func (p *page) element(n *html.Node) {
	kind, isPolicy := "", false
	for _, a := range n.Attr {
		if a.Key == "type" {
			kind = a.Val
		}
		isPolicy = isPolicy || a.Key == "http-equiv" && strings.EqualFold(a.Val, "Content-Security-Policy")
	}
	for _, a := range n.Attr {
		p.add("<%s %s>", n.Data, a.Key)
		switch {
		case isPolicy && a.Key == "content":
			p.policy = a.Val
		case addresses[a.Key] && strings.HasPrefix(a.Val, "#"): // within the page
		case addresses[a.Key], strings.HasPrefix(a.Key, "on"):
			p.add("<%s %s=%q>", n.Data, a.Key, a.Val)
		case a.Key == "style": // what it may set is told by its properties; values are numbers
			for _, one := range strings.Split(a.Val, ";") {
				name, value, _ := strings.Cut(one, ":")
				p.add("<%s style=%q>", n.Data, strings.TrimSpace(name))
				if strings.ContainsAny(value, `("'\@`) {
					p.add("<%s style=%q>", n.Data, one)
				}
			}
		}
	}
	p.add("<%s>", n.Data)
	if n.Data == "style" || n.Data == "script" && !strings.HasSuffix(kind, "/json") && kind != "text/plain" {
		for c := range n.ChildNodes() {
			p.add("%s: %s", n.Data, c.Data)
		}
	}
}

const fixture = `<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'sha256-x'"><title>%[1]s</title><style>p{margin:0}</style></head>
<body><h1 id="a">%[1]s</h1><p title="%[1]s">%[1]s</p><a href="#a">up</a><a href="https://example.com/code">read</a><svg viewBox="0 0 1 1"><rect style="width:3px"/></svg>
<script>let a = 1</script><script type="application/json">{"a":"%[1]s"}</script></body></html>`

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
	} {
		for _, text := range c.good {
			assert.NoError(t, inert[format]([]byte(text), []byte(page(""))), "%s: %q", format, text)
		}
		for _, text := range c.bad {
			assert.Error(t, inert[format]([]byte(text), []byte(page(""))), "%s: %q", format, text)
		}
	}
}

// requireInert holds every report to its invariant.
func requireInert(t testing.TB, got map[string][]byte, plain ...map[string][]byte) {
	t.Helper()
	for _, f := range report.Formats() {
		require.NotNil(t, inert[f.Name], f.Name)
		var others [][]byte
		for _, one := range plain {
			others = append(others, one[f.Name])
		}
		require.NoError(t, inert[f.Name](got[f.Name], others...), f.Name)
	}
}
