package pages

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
)

// messagesOf reads the messages of one language as they stand in its files.
func messagesOf(t *testing.T, tag string) map[string]any {
	t.Helper()
	out := map[string]any{}
	names, err := fs.Glob(messages, "messages/*."+tag+".json")
	require.NoError(t, err)
	require.Len(t, names, 2)
	for _, name := range names {
		data, err := fs.ReadFile(messages, name)
		require.NoError(t, err)
		before := len(out)
		one := map[string]any{}
		require.NoError(t, json.Unmarshal(data, &one))
		for key, m := range one {
			out[key] = m
		}
		assert.Len(t, out, before+len(one), "a key of %s stands in another file too", name)
	}
	return out
}

func has(messages map[string]any, key string) bool {
	_, ok := messages[key]
	return ok
}

// forms are the texts of one message: one, or singular and plural.
func forms(m any) map[string]string {
	if text, ok := m.(string); ok {
		return map[string]string{"": text}
	}
	out := map[string]string{}
	for form, text := range m.(map[string]any) {
		out[form] = text.(string)
	}
	return out
}

var place = regexp.MustCompile(`\{\{\.(\w+)\}\}`)

func placesIn(text string) []string {
	var out []string
	for _, m := range place.FindAllStringSubmatch(text, -1) {
		if m[1] != "N" { // "1 module" has no number to fill in
			out = append(out, m[1])
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Every language has every message, with the same places to fill in and the same
// forms of singular and plural. American English has only what differs.
func TestEveryMessageInEveryLanguage(t *testing.T) {
	want := messagesOf(t, english)
	require.Greater(t, len(want), 300)
	for _, tag := range append([]string{american}, offered...) {
		got := messagesOf(t, tag)
		for key, m := range got {
			if !assert.True(t, has(want, key), "%s has %s, which English does not have", tag, key) {
				continue
			}
			in, own := forms(want[key]), forms(m)
			require.Equal(t, len(in), len(own), "%s of %s", key, tag)
			for form, text := range own {
				assert.Equal(t, placesIn(in[form]), placesIn(text), "%s of %s, form %q", key, tag, form)
				assert.Equal(t, strings.TrimSpace(text), text, "%s of %s", key, tag)
				assert.NotEmpty(t, text, "%s of %s", key, tag)
			}
			if len(own) > 1 {
				assert.NotEmpty(t, own["one"], "%s of %s", key, tag)
				assert.NotEmpty(t, own["other"], "%s of %s", key, tag)
			}
			if tag == american {
				assert.NotEqual(t, want[key], m, "%s is the same in American English; leave it out", key)
			}
		}
		for key := range want {
			if tag != american {
				assert.True(t, has(got, key), "not translated into %s: %s", tag, key)
			}
		}
	}
}

// literals are the strings in the program of this package.
func literals(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	var out []string
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		f, err := parser.ParseFile(token.NewFileSet(), name, text, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
				s, err := strconv.Unquote(l.Value)
				require.NoError(t, err)
				out = append(out, s)
			}
			return true
		})
	}
	return out
}

// The program asks for no message that is not there, and no message lies about that
// nothing asks for.
func TestMessagesAreThoseUsed(t *testing.T) {
	have := messagesOf(t, english)
	used := map[string]bool{}
	for _, s := range literals(t) {
		used[s] = true
	}
	for _, k := range Kinds() {
		used[k.Name+".title"], used[k.Name+".caution"] = true, true
	}
	for key := range have {
		if !strings.Contains(key, "/") { // words have a test of their own
			assert.True(t, used[key], "nothing asks for %s", key)
		}
	}
	families := map[string]bool{}
	for key := range have {
		families[strings.SplitN(key, ".", 2)[0]] = true
	}
	shape := shapeOf(t)
	for s := range used {
		family, rest, dotted := strings.Cut(s, ".")
		if _, err := shape.Way(s); err == nil || shape.Scope(s) != nil || !dotted || rest == "" || !families[family] || strings.ContainsAny(s, " \n") {
			continue
		}
		assert.True(t, has(have, s), "asked for, and not there: %s", s)
	}
}

// askedOnly are fields of words that the program looks at and no page shows.
var askedOnly = map[string]bool{
	"supply.system":      true, // is there a grid?
	"documents.given_to": true, // did the owner get it?
}

// Every word that a page can show is translated. The fields are those that the
// program names, so that a word that is added to the shape fails until it is.
func TestEveryWordIsTranslated(t *testing.T) {
	shape := shapeOf(t)
	fields := map[*fact.Leaf]bool{}
	for _, s := range literals(t) {
		if way, err := shape.Way(s); err == nil && way.Leaf.Type == fact.Word && !askedOnly[s] {
			fields[way.Leaf] = true
		}
	}
	require.Greater(t, len(fields), 20)
	wanted := map[string]bool{}
	for l := range fields {
		for _, w := range l.Words {
			wanted[l.Path+"/"+w] = true
			if l.Path == "labels.says" {
				wanted["sign/"+w] = true // what stands on the label itself
			}
		}
	}
	for _, tag := range offered {
		have := messagesOf(t, tag)
		for key := range wanted {
			assert.True(t, has(have, key), "not translated into %s: %s", tag, key)
		}
		for key := range have {
			if strings.Contains(key, "/") {
				assert.True(t, wanted[key], "%s of %s is no word that a page shows", key, tag)
			}
		}
	}
}

// Whatever the program names of a job is in the shape: a field that is renamed
// there would otherwise only be missing from the pages.
func TestPathsAreInTheShape(t *testing.T) {
	shape := shapeOf(t)
	lists := map[string]bool{"supply": true, "configuration": true, "network": true, "premises": true}
	for _, sc := range shape.Scopes {
		lists[sc.List.Name] = true
	}
	have := messagesOf(t, english)
	found := 0
	for _, s := range literals(t) {
		first, rest, dotted := strings.Cut(s, ".")
		if _, isMessage := have[s]; isMessage || !dotted || rest == "" || first == "" || !lists[first] || strings.ContainsAny(s, " /") {
			continue
		}
		if shape.Scope(s) != nil {
			continue
		}
		_, err := shape.Way(s)
		assert.NoError(t, err, s)
		found++
	}
	assert.Greater(t, found, 60)
}

// Singular and plural, and the decimal sign, are those of the language.
func TestNumbersInEveryLanguage(t *testing.T) {
	for tag, want := range map[string][3]string{
		"en": {"1 module", "6 modules", "345.6"}, "en-US": {"1 module", "6 modules", "345.6"},
		"de": {"1 Modul", "6 Module", "345,6"}, "fr": {"1 module", "6 modules", "345,6"}, "es": {"1 módulo", "6 módulos", "345,6"},
	} {
		w := &writer{tongue: tongueFor(tag)}
		assert.Equal(t, want, [3]string{w.T("units.module-count", "N", 1), w.T("units.module-count", "N", 6), w.decimal("345.6")}, tag)
	}
	assert.Equal(t, "0 réserve", tongueFor("fr").T("snags.count", "N", 0), "French counts none as one")
	assert.Equal(t, "0 snags", tongueFor("en").T("snags.count", "N", 0))
}

// American terms where a job is judged by American rules; the rest is English.
func TestAmericanTerms(t *testing.T) {
	assert.Equal(t, "GROUNDING OF THE DC SIDE", tongueFor(american).T("sign/grounding type"))
	assert.Equal(t, "EARTHING OF THE DC SIDE", tongueFor(english).T("sign/grounding type"))
	assert.Equal(t, tongueFor(english).T("emergency.title"), tongueFor(american).T("emergency.title"))
	for _, c := range []struct {
		asked []string
		us    bool
		want  string
	}{
		{nil, false, "en"}, {nil, true, "en-US"}, {[]string{"fr", "en"}, true, "fr en-US"}, {[]string{"de", "es", "de"}, false, "de es"},
		{[]string{"pt"}, false, "en(pt)"}, {[]string{"en", "pt", "nl"}, false, "en(pt nl)"}, {[]string{"de", "pt"}, true, "de en-US(pt)"},
	} {
		var got []string
		for _, s := range sites(c.asked, c.us) {
			text := s.tag
			if len(s.without) > 0 {
				text = fmt.Sprintf("%s(%s)", s.tag, strings.Join(s.without, " "))
			}
			got = append(got, text)
		}
		assert.Equal(t, c.want, strings.Join(got, " "), "%v", c.asked)
	}
}
