package redact

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/quantity"
)

// testShape has a list with a private key, a block, and links to people.
func testShape(t testing.TB) *fact.Compiled {
	t.Helper()
	c, err := fact.Compile(&fact.Shape{
		Lists: []fact.List{{Name: "crew", Key: "id"}, {Name: "tools", Key: "id"}, {Name: "register.people"}},
		Fields: []fact.Field{
			{Path: "job", Type: fact.Text},
			{Path: "stage", Type: fact.Word, Words: fact.StageNames(), Stage: true},
			{Path: "site.id", Type: fact.Text, Private: true},
			{Path: "site.use", Type: fact.Word, Words: []string{"farm", "shop"}},
			{Path: "remarks", Type: fact.Text, Many: true, Private: true},
			{Path: "about", Type: fact.Text},
			{Path: "crew.id", Type: fact.Key, Private: true},
			{Path: "crew.person", Type: fact.Link, Link: "register.people", Private: true},
			{Path: "tools.id", Type: fact.Key},
			{Path: "tools.of", Type: fact.Link, Link: "crew"},
			{Path: "tools.marked", Type: fact.Text, Built: fact.Installed, Private: true},
			{Path: "register.people.name", Type: fact.Text, Private: true},
			{Path: "register.people.does", Type: fact.Word, Words: []string{"roofs"}},
		},
	}, nil)
	require.NoError(t, err)
	return c
}

// people is a register with one entry.
type people struct{ entry *fact.Instance }

func (people) Product(string, string) (*fact.Instance, error) { return nil, nil }
func (p people) Registered(_, key string) (*fact.Instance, bool, error) {
	if key != p.entry.Key {
		return nil, true, fmt.Errorf("there is no %q, but there is %s", key, p.entry.Key)
	}
	return p.entry, true, nil
}

func person(c *fact.Compiled, key, name string) *fact.Instance {
	sc := c.Scope("register.people")
	in := &fact.Instance{Scope: sc, Key: key, File: "people.cue", Values: make([]fact.Value, sc.Slots())}
	*in.Get(c.Leaf("register.people.name")) = fact.Value{State: fact.Known, Text: name, Written: name, More: &fact.More{List: []fact.Value{{State: fact.Known, Text: name}}}}
	*in.Get(c.Leaf("register.people.does")) = fact.Value{State: fact.Known, Text: "roofs", Written: "roofs"}
	return in
}

// redacted decodes a job and leaves its private values out.
func redacted(t *testing.T, text string) (*fact.Facts, *Words) {
	t.Helper()
	c := testShape(t)
	f, problems := jobfile.Read("a.yaml", []byte(text), jobfile.Limits{})
	require.Empty(t, problems)
	in := Copy(person(c, "zqxada", "zqx Vesper"))
	facts := fact.NewDecoder(c, people{in}, quantity.Options{}).Decode(f)
	p, w := NewPlaces(c), &Words{}
	p.Gather(w, f.Root)
	p.Facts(facts, w)
	p.Entry(in, w)
	return facts, w
}

// Nothing that can be reached from the facts of a job has a private word in it any
// more: no value, no key, nothing of the tree.
func TestNothingIsLeftInTheFacts(t *testing.T) {
	facts, _ := redacted(t, `# zqx comment
job: J1 # zqx
stage: installed
site: {id: zqxsite, use: farm}
remarks: [zqx one, "zqx two"]
about: what zqxsite is, and zqxada did
crew:
- {id: zqxc1, person: zqxada}
- {id: zqxc2, person: zqxbob}
- {id: zqxc2, person: {name: zqxcara}}
- {person: [zqxdora]}
tools:
- {id: T1, of: zqxc1, marked: {planned: zqxplan, built: zqxbuilt}}
- {id: T2, of: zqxnobody, marked: zqxplan}
misspelt: zqx word
`)
	assert.Empty(t, texts(facts, "zqx"))
	assert.NotEmpty(t, texts(facts, "farm"), "what is not private is there")
	assert.Equal(t, "what (left out) is, and (left out) did", facts.Root.Get(facts.Shape.Leaf("about")).Text)
	crew := facts.Entries[facts.Shape.Scope("crew").ID]
	assert.Equal(t, "crew[(left out 1)]", crew[0].Address())
	assert.Equal(t, "crew[(left out 2)]", crew[1].Address(), "they can be told from each other")
	assert.Equal(t, LeftOut, crew[0].Get(facts.Shape.Leaf("crew.person")).Target.Key)
	assert.Equal(t, "roofs", crew[0].Get(facts.Shape.Leaf("crew.person")).Target.Get(facts.Shape.Leaf("register.people.does")).Text)
	assert.Equal(t, fact.Unreadable, crew[1].Get(facts.Shape.Leaf("crew.person")).State, "what could not be read stays so")
	assert.Equal(t, LeftOut, facts.Entries[facts.Shape.Scope("tools").ID][0].Get(facts.Shape.Leaf("tools.of")).Text, "it names an entry whose key is private")
}

// What is absent stays absent: nothing was left out there.
func TestAbsentStaysAbsent(t *testing.T) {
	facts, w := redacted(t, "job: J1\nstage: installed\nsite: {id: }\nremarks: []\ncrew: [{id: a, person: ~}]\n")
	for _, path := range []string{"site.id", "remarks"} {
		v := facts.Root.Get(facts.Shape.Leaf(path))
		assert.Equal(t, fact.Absent, v.State)
		assert.Empty(t, v.Text+v.Written)
	}
	assert.Equal(t, "a place", (&Words{}).Scrub("a place"))
	assert.Equal(t, "(left out) place", w.Scrub("a place"), "the key is one")
}

// What stands in a wrong place is private where nobody can say what it is.
func TestGather(t *testing.T) {
	c := testShape(t)
	for text, want := range map[string][]string{
		"site: zqx":                          {"zqx"},
		"site: [zqx, {id: zqy}]":             {"zqx", "zqy"},
		"crew: {zqx: {person: zqy}}":         {"zqx", "zqy"},
		"crew: [zqx]":                        {"zqx"},
		"crew: zqx":                          {"zqx"},
		"crew: [{idd: zqxy}]":                {"zqxy"},
		"crew: [{id: {zqx: zqy}}]":           {"zqx", "zqy"},
		"tools: [{marked: {planned: zqx}}]":  {"zqx"},
		"mispelt: {deep: [zqxy, 12, true]}":  {"zqxy"},
		`phone: "0123456"`:                   {"0123456"},
		"tools: [{id: zqx}]":                 nil,
		"site: {use: zqx}":                   nil,
		"about: {zqx: zqxy}":                 nil,
		"remarks: |\n  zqx one\n  zqy two\n": {"zqx one\nzqy two", `zqx one\nzqy two\n`, "zqx one", "zqy two"},
	} {
		f, problems := jobfile.Read("a.yaml", []byte(text), jobfile.Limits{})
		require.Empty(t, problems, text)
		w := &Words{}
		NewPlaces(c).Gather(w, f.Root)
		var got []string
		for one := range w.has {
			got = append(got, one)
		}
		assert.ElementsMatch(t, want, got, text)
	}
}

// An entry of a register is shared by all jobs; only a copy is changed.
func TestCopy(t *testing.T) {
	c := testShape(t)
	in := person(c, "ada", "Ada")
	NewPlaces(c).Entry(Copy(in), &Words{})
	assert.Equal(t, person(c, "ada", "Ada"), in)
}

// texts finds every text with a word in it that can be reached from a value, but for
// what describes the shape.
func texts(v any, word string) (found []string) {
	seen := map[any]bool{}
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.String:
			if strings.Contains(v.String(), word) {
				found = append(found, v.String())
			}
		case reflect.Pointer:
			if key := [2]any{v.Pointer(), v.Type()}; !v.IsNil() && !seen[key] {
				seen[key] = true
				walk(v.Elem())
			}
		case reflect.Interface:
			walk(v.Elem())
		case reflect.Struct:
			if v.Type() == reflect.TypeFor[fact.Compiled]() || v.Type() == reflect.TypeFor[fact.Scope]() || v.Type() == reflect.TypeFor[fact.Leaf]() {
				return
			}
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Slice, reflect.Array:
			if v.Type().Elem().Kind() == reflect.Uint8 {
				found = append(found, texts(string(v.Bytes()), word)...)
				return
			}
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Map:
			for it := v.MapRange(); it.Next(); {
				walk(it.Key())
				walk(it.Value())
			}
		}
	}
	walk(reflect.ValueOf(v))
	return found
}
