package pages

import (
	"embed"
	"io/fs"
	"strings"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

//go:embed messages/*.json
var messages embed.FS

// The languages of pages. American English has the terms of its trade and takes
// everything else from English.
const (
	english  = "en"
	american = "en-US"
)

// offered lists the languages that a site can ask for.
var offered = []string{english, "de", "fr", "es"}

// tongue is one language of pages.
type tongue struct {
	tag   string // as in the attribute lang
	comma bool   // decimal sign
	local *i18n.Localizer
}

var tongues = readTongues()

func readTongues() map[string]*tongue {
	bundle := i18n.NewBundle(language.English)
	names, err := fs.Glob(messages, "messages/*.json")
	if err != nil {
		panic(err) // cannot be: the pattern is right
	}
	for _, name := range names {
		if _, err := bundle.LoadMessageFileFS(messages, name); err != nil {
			panic(err) // a file of the program itself, which every test reads
		}
	}
	out := map[string]*tongue{}
	for _, tag := range append([]string{american}, offered...) {
		out[tag] = &tongue{tag: tag, comma: !strings.HasPrefix(tag, english), local: i18n.NewLocalizer(bundle, tag)}
	}
	return out
}

// tongueFor returns a language by its tag, English for one that is not offered.
func tongueFor(tag string) *tongue {
	if t := tongues[tag]; t != nil {
		return t
	}
	return tongues[english]
}

// T is the message of a key. Values for its places come in pairs of name and
// value; the value of N, a whole number, chooses the form of singular or plural.
func (t *tongue) T(key string, pairs ...any) string {
	c := i18n.LocalizeConfig{MessageID: key}
	data := map[string]any{}
	for i := 0; i+1 < len(pairs); i += 2 {
		name, _ := pairs[i].(string)
		data[name] = pairs[i+1]
		if name == "N" {
			c.PluralCount = pairs[i+1]
		}
	}
	c.TemplateData = data
	text, err := t.local.Localize(&c)
	if text == "" && err != nil {
		return key // a test knows that no key is without its message
	}
	return text
}

// word is a word of an enumeration in this language.
func (t *tongue) word(l *fact.Leaf, word string) string {
	key := l.Path + "/" + word
	if text := t.T(key); text != key {
		return text
	}
	return word
}

// site is one language of a site: the tongue its page is written in, and the
// languages that were asked for and stand on this page for want of their own.
type site struct {
	*tongue
	without []string
}

// languagesOf lists the languages of a job's site: those of the premises, else
// those of the firm, else English. A language that is not offered gets an English
// page that says so.
func (s *sink) languagesOf(job *checks.Job) []site {
	if job.Result == nil {
		return s.firmTongues()
	}
	facts := job.Result.Facts
	us := false
	asked := s.firm.languages
	if v := listOf(facts, "rule_sets"); v != nil {
		for _, name := range v {
			us = us || strings.HasPrefix(name, "us/")
		}
	}
	if own := listOf(facts, "premises.languages"); len(own) > 0 {
		asked = own
	}
	return sites(asked, us)
}

func (s *sink) firmTongues() []site { return sites(s.firm.languages, false) }

// sites makes the pages of languages that are asked for, each page once.
func sites(asked []string, us bool) []site {
	if len(asked) == 0 {
		asked = []string{english}
	}
	var out []site
	at := map[string]int{}
	for _, code := range asked {
		tag, has := code, true
		if tongues[code] == nil {
			tag, has = english, false
		}
		if tag == english && us {
			tag = american
		}
		n, ok := at[tag]
		if !ok {
			n = len(out)
			at[tag] = n
			out = append(out, site{tongue: tongues[tag]})
		}
		if !has {
			out[n].without = append(out[n].without, code)
		}
	}
	return out
}

// listOf returns the words of a field of the job that has many.
func listOf(facts *fact.Facts, path string) []string {
	l := facts.Shape.Leaf(path)
	if l == nil || l.Scope != facts.Shape.Root {
		return nil
	}
	v := facts.Root.Get(l)
	if v.More == nil {
		return nil
	}
	var out []string
	for i := range v.More.List {
		if one := &v.More.List[i]; one.State == fact.Known {
			out = append(out, one.Text)
		}
	}
	return out
}
