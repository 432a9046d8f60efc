package report

import (
	"net/url"
	"strings"
	"unicode/utf8"

	"witnessmark.example/checks"
	"witnessmark.example/checks/explain"
	"witnessmark.example/checks/limit"
)

// sarifRule is what results are held to: a limit, a built-in check, or a kind of problem.
type sarifRule struct {
	name      string
	limit     *limit.Planned       // nil for the others
	explained *explain.Explanation // nil for a problem
	blocking  bool
}

// sarifRules lists the rules of a run, limits first, for the names that are wanted; all
// limits and checks where wanted is nil. Names of problems are added.
func sarifRules(r *checks.Run, wanted map[string]bool, problems []string) []sarifRule {
	book := r.Explainer()
	var out []sarifRule
	for i, l := range r.Limits {
		if i > 0 && r.Limits[i-1].FullName == l.FullName || wanted != nil && !wanted[l.FullName] {
			if n := len(out); n > 0 && out[n-1].name == l.FullName {
				out[n-1].blocking = out[n-1].blocking || l.Blocking
			}
			continue
		}
		e, err := book.Explain(l.FullName)
		if err != nil || e.Limit == nil {
			e = nil
		}
		out = append(out, sarifRule{name: l.FullName, limit: l, explained: e, blocking: l.Blocking})
	}
	for _, e := range explain.BuiltIn() {
		if wanted == nil || wanted[e.Name] {
			out = append(out, sarifRule{name: e.Name, explained: e, blocking: true})
		}
	}
	for _, p := range problems {
		out = append(out, sarifRule{name: p, blocking: true})
	}
	return out
}

// limitsByName finds the limits of a run by their full names.
func limitsByName(r *checks.Run) map[string]*limit.Planned {
	out := make(map[string]*limit.Planned, len(r.Limits))
	for _, l := range r.Limits {
		out[l.FullName] = l
	}
	return out
}

// The host takes so many characters of the descriptions of a rule.
const descriptionSize = 1024

func (r *sarifRule) write(j *jsonText, path func(string) string) {
	short, full, text, markdown := r.words(path)
	level := "error"
	if !r.blocking {
		level = "warning"
	}
	j.open('{').text("id", Shown(r.name))
	j.object("shortDescription").text("text", atMost(sarifText(short), descriptionSize)).close('}')
	j.object("fullDescription").text("text", atMost(sarifText(full), descriptionSize)).close('}')
	j.object("help").text("text", text).text("markdown", markdown).close('}')
	j.object("defaultConfiguration").text("level", level).close('}')
	if l := r.limit; l != nil {
		if cited(l.Source) {
			j.list("relationships").open('{').object("target")
			sarifClause(j, l)
			j.close('}').list("kinds").item("relevant").close(']', '}', ']')
		}
		if l.Address != "" {
			j.text("helpUri", webAddress(l.Address))
		}
	}
	j.object("properties").text("problem.severity", level).truth("blocking", r.blocking)
	if l := r.limit; l != nil {
		j.text("grade", string(l.Grade)).text("source_kind", string(l.Source.Kind)).text("reviewed", l.Reviewed).text("review_by", l.ReviewBy)
		j.list("tags").item(string(l.Source.Kind)).item("grade " + string(l.Grade))
		if leaf := l.Way.Leaf; leaf != nil && leaf.Topic != "" {
			j.item(leaf.Topic)
		}
		j.close(']')
	}
	j.close('}', '}')
}

// words are the descriptions of a rule and its help, which says what explain says.
func (r *sarifRule) words(path func(string) string) (short, full, text, markdown string) {
	e := r.explained
	if e == nil {
		short = "Something kept a file, a value or a definition from being checked (" + strings.TrimPrefix(r.name, "problem/") + ")."
		full = "What could not be read was not checked, which must not look like a pass. It says nothing of a site."
		if r.limit != nil { // a limit without words
			short = label(r.limit.Way.Leaf) + ": " + r.limit.Describe(false)
			full = r.limit.Why
		}
		return short, full, sarifText(full), string(AppendMarkdown(nil, full))
	}
	if full = e.Why; full == "" {
		full = e.What
	}
	text, markdown = helpOf(e, r.limit, path)
	return e.What, full, text, markdown
}

// helpOf writes an explanation in the words of the explain command, as text and as a
// list of Markdown. Examples, and which limits stand beside it, are left to that command.
func helpOf(e *explain.Explanation, l *limit.Planned, path func(string) string) (text, markdown string) {
	shown := *e
	shown.Examples = nil
	if l != nil && shown.Limit != nil {
		x := *shown.Limit
		x.Beside = nil
		x.Blocking = l.Blocking
		if l.Blocking && !l.Grade.Blocks() {
			x.Promoted = "the firm's policy"
		}
		shown.Limit = &x
	}
	t := explainLines{&lines{marked: true, path: path}}
	t.one(&shown)
	m := new(mark)
	var plain []string
	for line := range strings.SplitSeq(strings.TrimSuffix(string(t.b), "\n"), "\n") {
		rest, isItem := strings.CutPrefix(line, string(itemMark))
		switch name, said, _ := strings.Cut(rest, string(nameMark)); {
		case isItem:
			plain = append(plain, sentenceCase(name)+": "+said)
			m.own("- **", name, "** ").text(said).own("\n")
		case len(plain) == 0:
			plain = append(plain, line)
			m.own("**").text(line).own("**\n\n")
		default:
			point := strings.TrimPrefix(strings.TrimSpace(line), "- ")
			plain = append(plain, "- "+point)
			m.own("  - ").text(point).own("\n")
		}
	}
	for i := range plain {
		plain[i] = sarifText(plain[i])
	}
	return strings.Join(plain, "\n"), string(m.b)
}

// atMost cuts a text to so many bytes and shows that it did.
func atMost(s string, most int) string {
	if len(s) <= most {
		return s
	}
	s = s[:most-len("…")]
	for !utf8.ValidString(s) {
		s = s[:len(s)-1]
	}
	return s + "…"
}

// webAddress is an address that a reader may follow; empty for anything else.
func webAddress(s string) string {
	u, err := url.Parse(s)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" {
		return ""
	}
	return u.String()
}
