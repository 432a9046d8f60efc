package report

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// wellFormed holds a page to be read by every browser as it was meant: each element is
// closed where it has to be, none stands where HTML does not allow it (a parser would
// move it), names are given once, and links inside the page lead somewhere.
func wellFormed(t *testing.T, page string) {
	t.Helper()
	void := map[string]bool{"meta": true, "input": true, "path": true}
	var open, written []string
	names, links := map[string]bool{}, map[string]bool{}
	z := html.NewTokenizer(strings.NewReader(page))
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			break
		}
		token := z.Token()
		switch kind {
		case html.StartTagToken, html.SelfClosingTagToken:
			written = append(written, token.Data)
			for _, a := range token.Attr {
				if a.Key == "id" {
					require.False(t, names[a.Val], "the name %s is given twice", a.Val)
					names[a.Val] = true
				}
				if name, ok := strings.CutPrefix(a.Val, "#"); ok && a.Key == "href" || a.Key == "aria-labelledby" {
					links[name] = true
				}
			}
			if kind == html.StartTagToken && !void[token.Data] {
				open = append(open, token.Data)
			}
		case html.EndTagToken:
			require.NotEmpty(t, open, "%s ends and never began", token.Data)
			require.Equal(t, open[len(open)-1], token.Data, "ends out of turn, at %d", len(page))
			open = open[:len(open)-1]
		}
	}
	require.Empty(t, open, "not closed")
	for name := range links {
		require.True(t, names[name], "a link leads to %s, which is not there", name)
	}
	tree, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	var parsed []string
	for n := range tree.Descendants() {
		if n.Type == html.ElementNode {
			parsed = append(parsed, n.Data)
		}
	}
	require.Equal(t, written, parsed, "a browser would put elements elsewhere")
}

// The check itself notices what it is for.
func TestWellFormedNotices(t *testing.T) {
	const before, after = "<!doctype html>\n<html lang=\"en\">\n<head>\n<title>x</title>\n</head>\n<body>\n", "</body>\n</html>\n"
	good := before + `<p id="a">x <a href="#a">y</a></p><table><tbody><tr><td>1</td></tr></tbody></table>` + after
	wellFormed(t, good)
	for _, bad := range []string{
		`<p>x`, `</p>`, `<p><b>x</p></b>`, `<p id="a">x</p><p id="a">x</p>`, `<a href="#b">x</a>`, `<p><ul><li>x</li></ul></p>`,
		`<table><tr><td>x</td></tr></table>`, `<table><tbody><p>x</p></tbody></table>`,
	} {
		assert.True(t, failsIn(func(t *testing.T) { wellFormed(t, before+bad+after) }), bad)
	}
}

// failsIn tells whether a check fails.
func failsIn(check func(*testing.T)) bool {
	inner, done := new(testing.T), make(chan struct{})
	go func() { // a check that fails ends its goroutine
		defer close(done)
		check(inner)
	}()
	<-done
	return inner.Failed()
}

// pagesOfJobs are jobs of every kind.
func pagesOfJobs() map[string][]string {
	return map[string][]string{
		"no job":        nil,
		"clean":         {"jobs/a.yaml", cleanJob},
		"eventful":      {"jobs/a.yaml", eventful, "jobs/b.yaml", cleanJob},
		"not read":      {"jobs/a.yaml", "job: [", "jobs/b.yaml", cleanJob},
		"cancelled":     {"jobs/a.yaml", "job: 1\nstatus: cancelled\nstage: designed\nstacks: [{id: A}]\n"},
		"on hold":       {"jobs/a.yaml", edited("stage: designed", "status: on hold\nstage: designed")},
		"unread values": {"jobs/a.yaml", edited("air: 20 °C", "air: 20", "morvane@B", "morvane@C")},
		"hostile text":  {"jobs/<b>\u202e\".yaml", edited("note: ok", `note: "</section></article><script>alert(1)</script><!--"`, "id: A", `id: "\"><script>x</script>"`, "stacks: [A]", `stacks: ["\"><script>x</script>"]`)},
	}
}

// htmlOf writes the report with bounds of the test.
func htmlOf(t *testing.T, s Settings, plain, whole int, files ...string) string {
	t.Helper()
	r := newTestRun(t)
	var out bytes.Buffer
	sink := newHTML(&out, s, plain, whole)
	require.NoError(t, sink.Begin(r.run))
	for i := 0; i < len(files); i += 2 {
		require.NoError(t, sink.Job(sink.Render(nil, r.job(t, files[i], files[i+1]))))
	}
	require.NoError(t, sink.End(r.run))
	return out.String()
}

func TestHTMLIsWellFormed(t *testing.T) {
	for name, files := range pagesOfJobs() {
		t.Run(name, func(t *testing.T) {
			for _, s := range []Settings{{}, {FindingsOnly: true}} {
				for _, plain := range []int{plainSize, 0} {
					page := htmlOf(t, s, plain, wholeSize, files...)
					wellFormed(t, page)
					assert.NotContains(t, page, string(rune(sectionMark)))
					assert.Equal(t, 2, strings.Count(page, "<script>")+strings.Count(page, "<style>"))
				}
			}
		})
	}
}

// The same for jobs of the examples, with all that ships.
func TestExamplesAreWellFormed(t *testing.T) {
	day, ok := fact.ParseDay("2026-11-25")
	require.True(t, ok)
	var paths []string
	for _, number := range []string{"2026-017", "2026-018", "2026-019", "2026-038"} {
		paths = append(paths, "../../../examples/jobs/"+number+".yaml")
	}
	for _, plain := range []int{plainSize, 0} {
		var page bytes.Buffer
		run, err := checks.Lint(context.Background(), checks.Options{Paths: paths, AsOf: checks.AsOf{Date: day}}, newHTML(&page, Settings{}, plain, wholeSize))
		require.NoError(t, err)
		require.Equal(t, len(paths), run.Counts.Jobs)
		wellFormed(t, page.String())
	}
}

var hashesOf = regexp.MustCompile(`sha256-[^']+`)

// One small page in full, without its style and script. With UPDATE_SCRIPTS set it is
// written anew; look at every difference.
func TestGoldenHTML(t *testing.T) {
	page := htmlOf(t, Settings{}, plainSize, wholeSize, "jobs/a.yaml", eventful, "jobs/b.yaml", "job: [")
	page = hashesOf.ReplaceAllString(strings.NewReplacer(htmlStyle, "", htmlScript, "").Replace(page), "sha256-…")
	golden := filepath.Join("../../../testdata/golden", "small.html")
	if os.Getenv("UPDATE_SCRIPTS") != "" {
		require.NoError(t, os.WriteFile(golden, []byte(page), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), page)
}

// The hashes of the policy are those of the style and the script in the page; were
// either changed on the way, a browser would not take it.
func TestPolicyKnowsStyleAndScript(t *testing.T) {
	page := htmlOf(t, Settings{}, plainSize, wholeSize, "jobs/a.yaml", cleanJob)
	for _, part := range []string{"style", "script"} {
		_, text, _ := strings.Cut(page, "<"+part+">")
		text, _, _ = strings.Cut(text, "</"+part+">")
		assert.Contains(t, page, part+"-src '"+hashOf(text)+"'")
	}
	assert.Contains(t, page, "default-src 'none'; style-src")
}

// A report that grows is packed, and then gives up what nobody has to look at, and says
// so; whatever it gives up is what was within.
func TestHTMLBounds(t *testing.T) {
	files := pagesOfJobs()["eventful"]
	plain := htmlOf(t, Settings{}, plainSize, wholeSize, files...)
	assert.NotContains(t, plain, `class="packed"`)
	assert.Contains(t, plain, `<h3 class="values">Every value</h3>`)

	small := htmlOf(t, Settings{}, 1000, wholeSize, files...)
	assert.Contains(t, small, `class="packed"`)
	assert.Contains(t, small, `id="values-0"`)
	assert.NotContains(t, small, "lists only what somebody has to look at")
	assert.Equal(t, 2, strings.Count(small, `<details class="packed" data-findings="0/`))

	smallest := htmlOf(t, Settings{}, 1000, 1_000, files...)
	assert.NotContains(t, smallest, `id="values-0"`)
	assert.Contains(t, smallest, `id="findings-0"`)
	assert.Contains(t, smallest, "This report lists only what somebody has to look at, since it would have become larger than 0 MB with every value.")
	assert.NotContains(t, smallest, `data-values="`)

	asked := htmlOf(t, Settings{FindingsOnly: true}, plainSize, wholeSize, files...)
	assert.Contains(t, asked, "This report lists only what somebody has to look at, as was asked for.")
	assert.Contains(t, asked, onlyFindings)
	assert.NotContains(t, asked, `<details class="topic`)
}

// Gates, stages and outcomes are named for the filter by words of this program alone.
func TestFilterMarks(t *testing.T) {
	page := htmlOf(t, Settings{}, plainSize, wholeSize, "jobs/a.yaml", eventful)
	found := regexp.MustCompile(` data-stage="([^"]*)" data-gates="([^"]*)" data-has="([^"]*)" data-held="([^"]*)"`).FindStringSubmatch(page)
	require.NotNil(t, found)
	assert.Equal(t, "installed", found[1])
	for _, g := range strings.Fields(found[2]) {
		_, ok := fact.ParseMoment(g)
		assert.True(t, ok, g)
	}
	assert.Subset(t, strings.Fields(found[3]), []string{"outside:papers", "missing:papers"})
	assert.Subset(t, strings.Fields(found[4]), []string{"outside:papers", "within:papers", "unjudged:papers"})
	for _, attributes := range []string{found[3], found[4]} {
		for _, one := range strings.Fields(attributes) {
			kind, topic, _ := strings.Cut(one, ":")
			assert.Contains(t, page, ` data-o="`+kind+`" data-t="`+topic+`"`)
		}
	}
}

// Text from elsewhere comes back from the page as AppendShown has it, between tags and
// in attributes.
func FuzzAppendHTML(f *testing.F) {
	for _, s := range []string{"", "22 mm", "<script>alert(1)</script>", `"><img src=x onerror=x>`, "a & b &amp; &lt;", "'", "]]>", "<!--", "-->", "\x00", "\x01", "\u202e", "\xff", "::error", "&#0;", "&notit;"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		shown := string(AppendHTML(nil, s))
		tree, err := html.Parse(strings.NewReader(`<!doctype html><html><head></head><body><p title="` + shown + `">` + shown + `</p><p title='` + shown + `'></p></body></html>`))
		require.NoError(t, err)
		var elements []string
		for n := range tree.Descendants() {
			switch {
			case n.Type == html.ElementNode:
				elements = append(elements, n.Data)
				for _, a := range n.Attr {
					require.Equal(t, "title", a.Key)
					require.Equal(t, Shown(s), a.Val)
				}
			case n.Type == html.TextNode:
				require.Equal(t, Shown(s), n.Data)
			case n.Type == html.CommentNode:
				t.Fatal("a comment")
			}
		}
		require.Equal(t, []string{"html", "head", "body", "p", "p"}, elements)
	})
}
