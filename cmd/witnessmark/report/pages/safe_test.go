package pages

import (
	"fmt"
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

// hostile are texts that would do something if they were not escaped where they
// stand: in a paragraph, a cell, an attribute or a drawing.
var hostile = []string{
	`<script>alert(1)</script>`, `\"><svg onload=alert(1)>`, `</text></svg><img src=x>`, `</style><b>`, `{{.}}`, `&lt;b&gt;`, `' onmouseover='x`, "\u202eright to left",
	`-->`, `]]><x/>`, `javascript:alert(1)`,
}

// Text from a file stays text, wherever it is shown. The pages have the same
// elements as with tame text.
func TestHostileTextIsInert(t *testing.T) {
	with := func(texts []string) map[string]string {
		files := map[string]string{}
		for i, s := range texts {
			text := strings.Replace(job("en, de", "iec/60364"), "job: 2026-014", fmt.Sprintf("job: j%02d", i), 1)
			for _, field := range []string{"what: late", "place: door", "id: l1", "id: knob", "id: boat-store", "location: boat-store", "id: s4", "id: U1", "file: photos/e1.jpg"} {
				require.Contains(t, text, field)
				name, _, _ := strings.Cut(field, ":")
				text = strings.ReplaceAll(text, field, name+`: "`+s+`"`)
			}
			files[fmt.Sprintf("jobs/%02d.yaml", i)] = text + "adds_to: \"" + s + "\"\nexisting:\n  - {id: \"" + s + "x\", location: \"" + s + "\"}\ngeneration:\n  - {id: \"" + s + "\"}\n"
		}
		all := strings.Join(texts, " ")
		files["witnessmark.cue"] = strings.NewReplacer("Co-operative of the Isles", all, "Service desk", all, "exchange 204", all).Replace(rootFile)
		return pagesOf(t, files)
	}
	tame := make([]string, len(hostile))
	for i := range tame {
		tame[i] = "tame"
	}
	want, got := with(tame), with(hostile)
	for kind, page := range got {
		for _, s := range hostile {
			shown := strings.NewReplacer(`\"`, `"`, "\u202e", `\u202e`).Replace(s)
			assert.Greater(t, strings.Count(page, template.HTMLEscapeString(shown)), 2, "%s shows %s", kind, s)
		}
		assert.NotContains(t, page, "\u202e", kind)
		assert.NotContains(t, page, "<script", kind)
		assert.Equal(t, count(skeleton(want[kind])), count(skeleton(page)), kind)
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
