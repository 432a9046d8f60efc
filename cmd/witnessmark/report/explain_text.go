package report

import (
	"strings"

	"witnessmark.example/checks/explain"
)

// explainLines writes explanations as text. Everything that an explanation says
// goes through from, since definitions of a firm speak in it.
type explainLines struct{ *lines }

// ExplainText writes an explanation for people.
func ExplainText(e *explain.Explanation, s Settings) []byte {
	path := s.Path
	if path == nil {
		path = func(file string) string { return file }
	}
	t := explainLines{&lines{paint: newPalette(s.Colour), path: path}}
	t.one(e)
	return t.b
}

// kindWords is what stands before the name.
func kindWords(k explain.Kind) string {
	switch k {
	case explain.OfRuleSet:
		return "rule set"
	case explain.OfCheck:
		return "built-in check"
	case explain.OfWeight:
		return "word"
	case explain.OfDecision:
		return "decision rule"
	case explain.OfSeveral:
		return "several meanings of"
	}
	return string(k)
}

// one writes one explanation, or all of one word.
func (t explainLines) one(e *explain.Explanation) {
	t.own(kindWords(e.Kind), " ").own(t.paint.strong.on).from(e.Name).own(t.paint.strong.off).end()
	t.say("what", e.What)
	for _, c := range e.Candidates {
		t.own("  - ", kindWords(c.Kind), " ").from(c.Name).own(": ").from(c.What).end()
	}
	if e.Limit == nil && e.Fact == nil {
		t.say("called", e.Label)
	}
	t.limit(e)
	t.fact(e)
	t.calculation(e)
	t.list(e)
	t.word(e)
	t.ruleSet(e)
	if e.Due != nil {
		t.say("due", e.Due.Text)
	}
	t.examples(e)
	if e.At != nil && e.At.File != "" {
		t.item("defined").from(t.path(e.At.File)).own(":", itoa(e.At.Line)).end()
	}
	for _, one := range e.Explanations {
		t.end()
		t.one(one)
	}
	for _, n := range e.Notes {
		t.say("note", n)
	}
}

// say writes one line, unless there is nothing to say.
func (t explainLines) say(name, text string) {
	if text != "" {
		t.item(name).from(text).end()
	}
}

// all writes names in one line, unless there are none.
func (t explainLines) all(name string, texts []string) {
	t.say(name, strings.Join(texts, ", "))
}

// each writes one line for each text below a heading.
func (t explainLines) each(name, heading string, texts []string) {
	if len(texts) == 0 {
		return
	}
	t.item(name).own(heading).end()
	for _, s := range texts {
		t.own("    - ").from(s).end()
	}
}

// examples writes pieces of files as they are, further in.
func (t explainLines) examples(e *explain.Explanation) {
	for _, x := range e.Examples {
		t.item("example").from(x.Title)
		if x.Value != "" {
			t.own(": ").from(x.Value)
		}
		if x.Note != "" {
			t.own(" (").from(x.Note).own(")")
		}
		t.end()
		for line := range strings.Lines(x.Text) {
			t.own("      ").from(strings.TrimSuffix(line, "\n")).end()
		}
	}
}

// word writes what is said of a word of the reports.
func (t explainLines) word(e *explain.Explanation) {
	if e.Limit == nil && e.Fact == nil {
		t.say("why", e.Why)
	}
	if w := e.Word; w != nil {
		if w.Shown != e.Name {
			t.say("in text", w.Shown)
		}
		t.say("do", w.Do)
		t.each("due then", plural(len(w.Facts), "fact falls due then:", "facts fall due then:"), w.Facts)
	}
}
