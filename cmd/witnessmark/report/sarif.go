package report

import (
	"strings"

	"github.com/google/uuid"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/cmd/witnessmark/since"
)

// Names of SARIF 2.1.0 (OASIS, errata 01).
const (
	sarifSchema  = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
	sarifBase    = "%SRCROOT%"
	sarifAddress = "https://witnessmark.example"

	// fingerprint is a key of our own: it is made of what a finding is about, and of no
	// line. The host makes its own of the line.
	fingerprint = "witnessmarkFinding/v1"
)

// sarifSpace is the name space of the identities of cited documents.
var sarifSpace = uuid.NewSHA1(uuid.NameSpaceURL, []byte(sarifAddress+"/documents"))

// sarifText is text from elsewhere in a message. SARIF reads [text](target) as a link.
func sarifText(s string) string {
	return strings.ReplaceAll(Shown(s), "](", `]\u0028`)
}

// sarifURI is the relative reference to a file. Only letters, digits and what separates
// the parts of a path stand for themselves.
func sarifURI(path string) string {
	var b strings.Builder
	for i := range len(path) {
		c := path[i]
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', strings.IndexByte("-._~/", c) >= 0:
			b.WriteByte(c)
		default:
			b.WriteByte('%')
			b.WriteByte("0123456789ABCDEF"[c>>4])
			b.WriteByte("0123456789ABCDEF"[c&15])
		}
	}
	return b.String()
}

// sarifBegin opens the log and its one run, up to the results. What is known only at
// the end stands behind them.
func sarifBegin(category string, r *checks.Run) []byte {
	j := &jsonText{}
	j.open('{').text("$schema", sarifSchema).text("version", "2.1.0").list("runs").open('{').text("columnKind", "unicodeCodePoints")
	j.object("automationDetails").text("id", "witnessmark/"+category+"/"+Shown(r.AsOf.String())).close('}')
	j.object("originalUriBaseIds").object(sarifBase).object("description").text("text", "The folder that paths count from: by default that of the root file.").close('}', '}', '}')
	return j.list("results").b
}

// place writes where a result is: the file, the position in it as far as it is known,
// and the address of the value. A whole region is written where the host wants one.
func sarifPlace(j *jsonText, path, address string, at jobfile.Position, whole bool) {
	j.list("locations").open('{')
	if path != "" {
		j.object("physicalLocation").object("artifactLocation").text("uri", sarifURI(path)).text("uriBaseId", sarifBase).close('}')
		if line, column := at.Line, at.Column; line > 0 || whole {
			line, column = max(line, 1), max(column, 1)
			j.object("region").number("startLine", line).number("startColumn", column)
			if whole {
				j.number("endLine", line).number("endColumn", column+1)
			}
			j.close('}')
		}
		j.close('}')
	}
	if address != "" {
		j.list("logicalLocations").open('{').text("fullyQualifiedName", Shown(address)).close('}', ']')
	}
	j.close('}', ']')
}

// sarifTaxa names the clause that a result goes back to, where a document is cited.
func sarifTaxa(j *jsonText, l *limit.Planned) {
	if l == nil || !cited(l.Source) {
		return
	}
	j.list("taxa").open('{')
	sarifClause(j, l)
	j.close('}', ']')
}

func sarifClause(j *jsonText, l *limit.Planned) {
	j.text("id", Shown(l.Clause)).object("toolComponent").text("name", Shown(l.Source.Name)).text("guid", documentID(l.Source)).close('}')
}

// cited tells whether a source is a document. A custom of the trade stands in none.
func cited(s *limit.Source) bool { return s.Kind != limit.Practice }

// documentID is the same for the same document and edition in every run.
func documentID(s *limit.Source) string {
	return uuid.NewSHA1(sarifSpace, []byte(s.Name+"\x00"+s.Edition)).String()
}

// sarifLevel is the level of a finding.
func sarifLevel(o *Open) string {
	if l := o.level(); l != "notice" {
		return l
	}
	return "note"
}

// sarifOpen writes one thing that somebody has to look at. Whole is for the host, which
// wants a place with a whole region.
func sarifOpen(j *jsonText, o *Open, l *limit.Planned, path func(string) string, whole bool) {
	j.open('{').text("ruleId", Shown(o.Name)).text("kind", "fail").text("level", sarifLevel(o))
	text := o.message(func(name, text string) string { return "\n" + sentenceCase(name) + ": " + text })
	if o.InBase != "" {
		text += "\nIn the base: " + o.InBase
	}
	sarifMessage(j, text)
	file := o.File
	if whole {
		file = o.place()
	}
	if file != "" {
		sarifPlace(j, path(file), o.Fact, jobfile.Position{Line: o.Line, Column: o.Column}, whole)
	}
	sarifTaxa(j, l)
	j.object("partialFingerprints").text(fingerprint, o.Key).close('}').text("baselineState", baselineState(o.State, o.InBase))
	if !whole {
		sarifSuppressions(j, o.Kind, o.item("note"))
	}
	j.object("properties").text("outcome", outcomeWord(o.Kind)).truth("blocking", o.Blocking).text("job", Shown(o.Job)).text("topic", o.Topic).text("since", string(o.State)).text("in_base", Shown(o.InBase)).close('}', '}')
}

// baselineState is the word of SARIF for what is said beside the base; empty where
// nothing is. SARIF asks whether a result was there at all, this program whether it
// counts as new, so that what became worse is updated here and new in the properties.
func baselineState(s since.State, inBase string) string {
	switch {
	case s == since.Fixed || s == since.Gone:
		return "absent"
	case s != "" && inBase != "":
		return "updated"
	case s == since.Known:
		return "unchanged"
	}
	return string(s)
}

// outcomeWord is the word of the JSON report.
func outcomeWord(k judge.Kind) string {
	if k == 0 {
		return "problem"
	}
	return k.String()
}

// sarifMessage writes a message of several lines.
func sarifMessage(j *jsonText, text string) {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = sarifText(lines[i])
	}
	j.object("message").text("text", strings.Join(lines, "\n")).close('}')
}

// sarifSuppressions says that a concession accepts a result; else that none does. All
// results of a run have the list, or none.
func sarifSuppressions(j *jsonText, k judge.Kind, why string) {
	j.list("suppressions")
	if k == judge.Accepted {
		j.open('{').text("kind", "inSource").text("status", "accepted").text("justification", sarifText(why)).close('}')
	}
	j.close(']')
}
