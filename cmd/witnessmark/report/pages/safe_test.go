package pages

import (
	"html/template"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// skeleton is the tags of a page with the names of their attributes, without any
// value and without what the page says.
func skeleton(page string) []string {
	values := regexp.MustCompile(`"[^"]*"`)
	var out []string
	for _, tag := range tags.FindAllString(page, -1) {
		out = append(out, values.ReplaceAllString(tag, ""))
	}
	return out
}

// Text from a file stays text, wherever it is shown: in a paragraph, a cell, an
// attribute or a drawing. The page has the same elements as with tame text.
func TestHostileTextIsInert(t *testing.T) {
	const tame = "tame"
	for _, hostile := range []string{
		`<script>alert(1)</script>`, `\"><svg onload=alert(1)>`, `</text></svg><img src=x>`, `</style><b>`, `{{.}}`, `&lt;b&gt;`, `' onmouseover='x`, "\u202eright to left",
		`-->`, `]]><x/>`, `javascript:alert(1)`,
	} {
		with := func(s string) map[string]string {
			text := job("en, de", "iec/60364")
			for _, field := range []string{"what: late", "place: door", "id: l1", "id: knob", "id: boat-store", "location: boat-store", "id: s4", "id: U1", "file: photos/e1.jpg"} {
				require.Contains(t, text, field)
				name, _, _ := strings.Cut(field, ":")
				text = strings.ReplaceAll(text, field, name+`: "`+s+`"`)
			}
			root := strings.NewReplacer("Co-operative of the Isles", s, "Service desk", s, "exchange 204", s).Replace(rootFile)
			text += "adds_to: \"" + s + "\"\nexisting:\n  - {id: \"" + s + "x\", location: \"" + s + "\"}\ngeneration:\n  - {id: \"" + s + "\"}\n"
			return pagesOf(t, map[string]string{"jobs/a.yaml": text, "witnessmark.cue": root})
		}
		want := with(tame)
		for kind, page := range with(hostile) {
			shown := strings.NewReplacer(`\"`, `"`, "\u202e", `\u202e`).Replace(hostile)
			assert.Contains(t, page, template.HTMLEscapeString(shown), "%s shows it", kind)
			assert.NotContains(t, page, "\u202e", kind)
			assert.NotContains(t, page, "<script", kind)
			assert.Equal(t, count(skeleton(want[kind])), count(skeleton(page)), "%s with %s", kind, hostile)
		}
	}
}

// count leaves out the lines of labels, which break by the length of a text.
func count(tags []string) map[string]int {
	out := map[string]int{}
	for _, tag := range tags {
		if !strings.HasPrefix(tag, "<text ") && tag != "</text>" {
			out[tag]++
		}
	}
	return out
}

// The page needs nothing from elsewhere and allows nothing: its own style is the
// only thing that its policy lets in, and it has no other.
func TestPolicy(t *testing.T) {
	for kind, page := range onePage(t, job("en, fr", "us/nec-2023")) {
		_, rest, found := strings.Cut(page, "<style>")
		require.True(t, found)
		own, _, _ := strings.Cut(rest, "</style>")
		assert.Contains(t, strings.ReplaceAll(page, "&#43;", "+"), `content="default-src &#39;none&#39;; style-src &#39;sha256-`+digest(own)+`&#39;;`, kind)
		for _, never := range []string{"<script", " style=", " src=", " href=", "http://", "https://", "url(", "@import", " on"} {
			where := page
			if never == " on" {
				where = strings.Join(tags.FindAllString(page, -1), "")
				never = " onload"
			}
			assert.NotContains(t, where, never, kind)
		}
	}
}
