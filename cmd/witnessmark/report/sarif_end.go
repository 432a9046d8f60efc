package report

import (
	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// sarifEnd closes the results and writes what stands behind them.
type sarifEnd struct {
	run   *checks.Run
	path  func(string) string
	rules []sarifRule
	files []sarifFile
	notes []sarifNote // besides what the run says
}

// sarifFile is a file that was judged.
type sarifFile struct{ path, digest string }

// sarifNote is something to be told of the run itself.
type sarifNote struct{ level, text, path string }

func (e *sarifEnd) write() []byte {
	j := &jsonText{b: []byte("\n]")}
	documents := citedDocuments(e.rules)
	j.object("tool").object("driver").text("name", "witnessmark").text("version", Shown(e.run.Tool)).text("informationUri", sarifAddress).text("language", "en")
	j.object("shortDescription").text("text", "Compares job files of battery storage installations with the limits of datasheets, codes and policies.").close('}')
	j.object("fullDescription").text("text", caution).close('}').list("rules")
	for i := range e.rules {
		j.line()
		e.rules[i].write(j, e.path)
	}
	j.close(']').list("supportedTaxonomies")
	for i, d := range documents {
		j.open('{').text("name", Shown(d.source.Name)).number("index", i).text("guid", documentID(d.source)).close('}')
	}
	j.close(']', '}', '}').list("taxonomies")
	for _, d := range documents {
		j.line()
		d.write(j)
	}
	j.close(']')
	if len(e.files) > 0 {
		j.list("artifacts")
		for _, f := range e.files {
			j.line().open('{').object("location").text("uri", sarifURI(e.path(f.path))).text("uriBaseId", sarifBase).close('}').list("roles").item("analysisTarget").close(']')
			if f.digest != "" {
				j.object("hashes").text("sha-256", f.digest).close('}')
			}
			j.close('}')
		}
		j.close(']')
	}
	e.invocation(j)
	e.figures(j)
	return j.close('}', ']', '}', '\n').b
}

// invocation says whether the run was whole, and what kept something from being checked.
func (e *sarifEnd) invocation(j *jsonText) {
	r := e.run
	whole := len(r.Problems) == 0 && r.Counts.Unread == 0 && r.Counts.Judged > 0
	j.list("invocations").open('{').truth("executionSuccessful", whole).list("toolExecutionNotifications")
	for i := range r.Problems {
		if p := &r.Problems[i]; !isDefinition(p.File) {
			e.note(j, sarifNote{"error", p.Message, p.File}, p)
		}
	}
	if r.Counts.Judged == 0 {
		e.note(j, sarifNote{level: "error", text: "nothing was checked: no value was compared with a limit"}, nil)
	}
	for _, n := range r.Notes {
		e.note(j, sarifNote{level: "warning", text: "not checked: " + n}, nil)
	}
	for _, n := range e.notes {
		e.note(j, n, nil)
	}
	j.close(']').list("toolConfigurationNotifications")
	for i := range r.Problems {
		if p := &r.Problems[i]; isDefinition(p.File) {
			e.note(j, sarifNote{"error", p.Message, p.File}, p)
		}
	}
	j.close(']', '}', ']')
}

// note writes one notification, of a problem with its place and code.
func (e *sarifEnd) note(j *jsonText, n sarifNote, p *checks.Problem) {
	j.line().open('{')
	if p != nil {
		j.object("associatedRule").text("id", Shown("problem/"+p.Code)).close('}')
	}
	j.text("level", n.level)
	sarifMessage(j, n.text)
	if p != nil && n.path != "" {
		sarifPlace(j, e.path(n.path), "", p.At, false)
	} else if n.path != "" {
		j.list("locations").open('{').object("physicalLocation").object("artifactLocation").text("uri", sarifURI(e.path(n.path))).text("uriBaseId", sarifBase).close('}', '}', '}', ']')
	}
	j.close('}')
}

// isDefinition tells whether a file holds definitions rather than a job.
func isDefinition(file string) bool { return len(file) > 4 && file[len(file)-4:] == ".cue" }

// figures writes what the run was judged by, and how it came out.
func (e *sarifEnd) figures(j *jsonText) {
	c := &e.run.Counts
	j.object("properties").text("as_of", Shown(e.run.AsOf.String())).text("limits_digest", e.run.LimitsDigest).
		number("jobs", c.Jobs).number("unread", c.Unread).number("problems", len(e.run.Problems)).number("judged", c.Judged).object("outcomes")
	for _, k := range judge.Kinds() {
		j.number(k.String(), c.ByKind[k])
	}
	j.close('}').object("blocking")
	for _, k := range judge.Kinds() {
		j.number(k.String(), c.Blocking[k])
	}
	j.close('}').object("without_entry").number("jobs", c.Without.Jobs).number("limits", c.Without.Limits).number("blocking", c.Without.Blocking).close('}', '}')
}

// document is a cited document with the clauses that limits go back to.
type document struct {
	source  *limit.Source
	clauses []clause
}

type clause struct{ id, address string }

// citedDocuments lists the documents behind rules, in the order of the rules.
func citedDocuments(rules []sarifRule) []document {
	var out []document
	at, known := map[string]int{}, map[[2]string]bool{}
	for _, r := range rules {
		if r.limit == nil || !cited(r.limit.Source) {
			continue
		}
		s := r.limit.Source
		i, ok := at[s.Name]
		if !ok {
			i = len(out)
			at[s.Name] = i
			out = append(out, document{source: s})
		}
		if key := [2]string{s.Name, r.limit.Clause}; !known[key] {
			known[key] = true
			out[i].clauses = append(out[i].clauses, clause{r.limit.Clause, r.limit.Address})
		}
	}
	return out
}

func (d document) write(j *jsonText) {
	s := d.source
	j.open('{').text("name", Shown(s.Name)).text("guid", documentID(s)).text("version", Shown(s.Edition)).text("fullName", Shown(s.Title+", edition "+s.Edition))
	j.object("shortDescription").text("text", sarifText(s.Title)).close('}').object("fullDescription").text("text", sarifText(s.DecidedBy)).close('}')
	j.truth("isComprehensive", false).text("informationUri", webAddress(s.Address)).list("taxa")
	for _, c := range d.clauses {
		j.open('{').text("id", Shown(c.id)).object("shortDescription").text("text", sarifText(s.Title+", "+c.id)).close('}').text("helpUri", webAddress(c.address)).close('}')
	}
	j.close(']', '}')
}
