package checks

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
)

// try is one value written into one field of a job, and what must come of it.
type try struct {
	leaf   *fact.Leaf
	text   string // as it stands behind the field's name
	offset int    // of the wrong part within text
	built  bool   // written as the built value beside a plan
	code   string // of the problem expected at the place; empty for none
	says   []string
	mends  []string
}

// good is a try that must raise no problem.
func good(l *fact.Leaf, text string) try { return try{leaf: l, text: inList(l, text)} }

// wrong is a try that must raise one problem. In a field of many values the wrong
// one stands behind a right one.
func wrong(l *fact.Leaf, text, code string, says, mends []string) try {
	name := l.Name() + ": " // the message names the field
	if code == "unreadable-value" {
		name = l.Name() + " "
	}
	t := try{leaf: l, text: scalar(text), code: code, says: append(says, name), mends: mends}
	if l.Many {
		before := "[" + scalar(rightValue(l)) + ", "
		t.text, t.offset = before+t.text+"]", len(before)
	}
	return t
}

func inList(l *fact.Leaf, text string) string {
	if l.Many {
		return "[" + scalar(text) + "]"
	}
	return scalar(text)
}

// scalar quotes what would be read as something else, or refused without quotes.
func scalar(text string) string {
	if strings.ContainsAny(text, `,[]{}#&*!|>'"%@`) || strings.Contains(text, ": ") || strings.HasPrefix(text, "-") || strings.HasPrefix(text, "0") {
		return `"` + text + `"`
	}
	return text
}

// writtenLeaves lists the fields that somebody writes in a job file.
func writtenLeaves(c *fact.Compiled) (out []*fact.Leaf) {
	for _, l := range c.Leaves {
		if l.Calculation == nil && !l.Scope.List.IsElsewhere() {
			out = append(out, l)
		}
	}
	return out
}

// keyOf is the key of the only entry that a sheet has of a list, and of the only
// product or entry of a register that the firm has.
func keyOf(sc *fact.Scope) string {
	for _, l := range sc.Leaves {
		switch {
		case l.Type != fact.Key || sc.List.IsElsewhere():
		case len(l.Words) > 0:
			return l.Words[0]
		case l.Pattern != "":
			return l.Example
		}
	}
	return "only-" + strings.ReplaceAll(strings.ReplaceAll(sc.List.Name, ".", "-"), "_", "-")
}

// rightValue is a value that the field takes.
func rightValue(l *fact.Leaf) string {
	switch l.Type {
	case fact.Key:
		return keyOf(l.Scope)
	case fact.Link:
		if l.Target.List.IsEquipment() {
			return keyOf(l.Target) + "@A"
		}
		return keyOf(l.Target)
	case fact.Word:
		return l.Words[0]
	case fact.Truth:
		return "yes"
	case fact.Date:
		return "2026-03-11"
	case fact.Count:
		return fmt.Sprint(max(l.Least, 1))
	}
	if l.Example != "" {
		return l.Example
	}
	return "22 " + l.Unit
}

// part is one mapping of a sheet, or the value of a field.
type part struct {
	name  string
	try   *try
	parts []*part
	list  bool
}

func (p *part) at(path string) *part {
	for _, name := range strings.Split(path, ".") {
		i := slices.IndexFunc(p.parts, func(x *part) bool { return x.name == name })
		if i < 0 {
			p.parts, i = append(p.parts, &part{name: name}), len(p.parts)
		}
		p = p.parts[i]
	}
	return p
}

// badSheet is a job file with one entry of every list, and where each try stands.
type badSheet struct {
	text   strings.Builder
	line   int
	places map[jobfile.Position]*try
}

// newBadSheet writes a job with these tries, at most one for a field. Keys and what a
// job cannot do without are right where no try says otherwise.
func newBadSheet(c *fact.Compiled, tries []try) *badSheet {
	s := &badSheet{places: map[jobfile.Position]*try{}}
	parts := map[*fact.Scope]*part{c.Root: {}}
	for _, sc := range c.Scopes[1:] {
		if sc.Parent != nil {
			parts[sc] = parts[sc.Parent].at(strings.TrimPrefix(strings.TrimPrefix(sc.List.Name, sc.Parent.List.Name), "."))
			parts[sc].list = true
		}
	}
	for _, l := range writtenLeaves(c) {
		i := slices.IndexFunc(tries, func(t try) bool { return t.leaf == l })
		t := good(l, rightValue(l))
		if i >= 0 {
			t = tries[i]
		} else if l.Type != fact.Key && l.Path != "stage" {
			continue
		}
		p := parts[l.Scope].at(l.Inside())
		if t.built {
			p.at("planned").try = &try{leaf: l, text: scalar(rightValue(l))}
			p = p.at("built")
		}
		p.try = &t
	}
	s.mapping(parts[c.Root], "", "")
	return s
}

func (s *badSheet) mapping(p *part, first, rest string) {
	for i, child := range p.parts {
		lead := rest
		if i == 0 {
			lead = first
		}
		s.line++
		switch {
		case child.try != nil:
			fmt.Fprintf(&s.text, "%s%s: %s\n", lead, child.name, child.try.text)
			s.places[jobfile.Position{Line: s.line, Column: len(lead) + len(child.name) + 3 + child.try.offset}] = child.try
		case child.list:
			fmt.Fprintf(&s.text, "%s%s:\n", lead, child.name)
			s.mapping(child, rest+"  - ", rest+"    ")
		default:
			fmt.Fprintf(&s.text, "%s%s:\n", lead, child.name)
			s.mapping(child, rest+"  ", rest+"  ")
		}
	}
}

// withEverything is a firm with one product of each kind and one entry of each
// register.
func withEverything(c *fact.Compiled) firm {
	f := firm{"witnessmark.cue": rootFile}
	for _, sc := range c.Scopes {
		kind, key := sc.List.Name[strings.LastIndexByte(sc.List.Name, '.')+1:], keyOf(sc)
		form := "#" + strings.ToUpper(kind[:min(1, len(kind))]) + kind[min(1, len(kind)):]
		switch {
		case sc.List.IsEquipment():
			f["equipment/"+key+".cue"] = fmt.Sprintf("package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: %q: {\n\tA: equipment.%s & {title: \"T\", edition: \"A\"}\n\tbroken: equipment.%s & {title: 3, edition: \"B\"}\n}\n", key, form, form)
		case sc.List.IsRegister():
			entry := map[string]string{"instruments": `instrument: "other", calibrated_on: "2026-01-01", valid_until: "2027-01-01"`}[kind]
			f["registers/"+kind+".cue"] = fmt.Sprintf("package registers\n\nimport \"witnessmark.example/schema/register\"\n\n#%s: register.%s & {%q: {%s}}\n", kind, form, key, entry)
		}
	}
	return f
}

// lintTries writes the tries into as few job files as may be, lints them, and
// holds every problem to its line and column. It returns how many problems of
// other files there were.
func lintTries(t *testing.T, f firm, c *fact.Compiled, all map[*fact.Leaf][]try) (others []Problem) {
	t.Helper()
	sheets := map[string]*badSheet{}
	for round := 0; ; round++ {
		var tries []try
		for _, l := range writtenLeaves(c) {
			if round < len(all[l]) {
				tries = append(tries, all[l][round])
			}
		}
		if len(tries) == 0 {
			break
		}
		name := fmt.Sprintf("jobs/%03d.yaml", round)
		sheets[name] = newBadSheet(c, tries)
		f[name] = sheets[name].text.String()
	}
	run, _ := lint(t, f)
	got := map[string]map[jobfile.Position][]Problem{}
	for _, p := range run.Problems {
		if sheets[p.File] == nil {
			others = append(others, p)
			continue
		}
		if got[p.File] == nil {
			got[p.File] = map[jobfile.Position][]Problem{}
		}
		got[p.File][p.At] = append(got[p.File][p.At], p)
	}
	for name, s := range sheets {
		for at, try := range s.places {
			try.check(t, fmt.Sprintf("%s:%d:%d: %s: %s", name, at.Line, at.Column, try.leaf.Path, try.text), got[name][at])
			delete(got[name], at)
		}
		assert.Empty(t, got[name], "problems of %s at places where nothing is wrong", name)
	}
	return others
}

func (w *try) check(t *testing.T, where string, got []Problem) {
	t.Helper()
	if w.code == "" {
		assert.Empty(t, got, where)
		return
	}
	if !assert.Len(t, got, 1, where) {
		return
	}
	assert.Equal(t, w.code, got[0].Code, where)
	for _, s := range w.says {
		assert.Contains(t, got[0].Message, s, where)
	}
	for _, m := range w.mends {
		assert.Contains(t, got[0].Mend, m, where)
	}
}

// shapeOf is the shape that ships.
func shapeOf(t testing.TB) *fact.Compiled {
	t.Helper()
	c, _ := shipped(t)
	require.NotEmpty(t, writtenLeaves(c))
	return c
}

// misspell changes one letter near the middle of a word, so that it is none of
// those taken.
func misspell(word string, taken []string) string {
	for d := range 2 * len(word) {
		i := len(word)/2 + (d+1)/2*(1-2*(d%2))
		if i < 0 || i >= len(word) || strings.IndexByte(" -@./,", word[i]) >= 0 {
			continue
		}
		for _, letter := range "qz7" {
			if out := word[:i] + string(letter) + word[i+1:]; !slices.Contains(taken, out) && out != word {
				return out
			}
		}
	}
	return word + "q"
}

// wordTries are all words of an enumeration, each right and misspelt.
func wordTries(l *fact.Leaf) (out []try) {
	for _, w := range l.Words {
		bad := misspell(w, l.Words)
		says := []string{fmt.Sprintf("cannot be %q", bad)}
		if len(w) > 3 { // of a shorter one every other is as near
			says = append(says, "; did you mean ", fmt.Sprintf("%q", w))
		}
		out = append(out, good(l, w), wrong(l, bad, "unreadable-value", says, []string{"use one of: " + strings.Join(l.Words, ", ")}))
	}
	return out
}

// Every word of every enumeration of a job is read, and misspelt by one letter it
// is reported at its place, with the word that was meant and all that there are.
func TestEveryWordMisspelt(t *testing.T) {
	t.Parallel()
	c := shapeOf(t)
	all, fields := map[*fact.Leaf][]try{}, 0
	for _, l := range writtenLeaves(c) {
		if len(l.Words) > 0 {
			all[l] = wordTries(l)
			fields++
		}
	}
	require.Greater(t, fields, 100)
	for _, p := range lintTries(t, withEverything(c), c, all) {
		assert.Contains(t, p.Message, "@broken ", p.File)
	}
}
