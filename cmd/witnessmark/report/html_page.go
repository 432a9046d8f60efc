package report

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"slices"
	"strconv"
	"time"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/cmd/witnessmark/since"
)

var utc = time.UTC

//go:embed html.css
var htmlStyle string

//go:embed html.js
var htmlScript string

// htmlPolicy lets the page do nothing but show itself: no network, no frames, no
// forms sent, and no style or script beside its own.
var htmlPolicy = "default-src 'none'; style-src '" + hashOf(htmlStyle) + "'; script-src '" + hashOf(htmlScript) + "'; base-uri 'none'; form-action 'none'"

func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// htmlPage writes the page, part by part, so that it never stands in memory twice.
type htmlPage struct {
	run   *checks.Run
	kept  *keptJobs
	since *since.Comparison
	asOf  fact.Day
	write func([]byte) error
}

func (p *htmlPage) all() error {
	if err := p.kept.flush(); err != nil {
		return err
	}
	var m markup
	for _, part := range []func(*markup){p.head, p.about, p.counts, p.notChecked, p.compared, p.filter, p.table} {
		part(&m)
	}
	m.own("<main>\n")
	if err := p.write(m.b); err != nil {
		return err
	}
	for i := range p.kept.jobs {
		j := &p.kept.jobs[i]
		for _, part := range [][]byte{j.opening, bytes.ReplaceAll(p.body(j), []byte{sectionMark}, j.anchor), []byte("</article>\n")} {
			if err := p.write(part); err != nil {
				return err
			}
		}
	}
	m.b = m.b[:0]
	for _, part := range []func(*markup){p.across, p.problems, p.limits} {
		part(&m)
	}
	p.tail(&m)
	return p.write(m.b)
}

// body is what stands in the page under the heading of a job.
func (p *htmlPage) body(j *keptJob) []byte {
	var m markup
	if p.kept.packed {
		m.own(`<details class="packed" data-findings="`, place(j.findingsAt), `"`)
		if !p.kept.findingsOnly {
			m.own(` data-values="`, place(j.valuesAt), `"`)
		}
		m.own(`><summary>Open points, findings and signatures`)
		if !p.kept.findingsOnly {
			m.own(`, and every value with its limits and calculation`)
		}
		m.own(`</summary><p class="left">This is packed, since the report is large; a current browser with scripts allowed unpacks it here. The text filter does not search it until then.</p></details>`)
		return m.b
	}
	m.b = append(m.b, j.findings...)
	switch {
	case p.kept.findingsOnly:
		m.own(onlyFindings)
	case len(j.values) > 0:
		m.own(`<h3 class="values">Every value</h3>`)
		m.b = append(m.b, j.values...)
	}
	return append(m.b, j.closing...)
}

const onlyFindings = `<p class="left">Only what somebody has to look at is listed in this report.</p>`

func place(at packedPlace) string { return strconv.Itoa(at.block) + "/" + strconv.Itoa(at.part) }

func (p *htmlPage) head(m *markup) {
	m.own("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n",
		`<meta http-equiv="Content-Security-Policy" content="`, htmlPolicy, "\">\n",
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n<title>Review of ",
		plural(len(p.kept.jobs), "job", "jobs"))
	if p.run.Firm != "" {
		m.own(`, `).text(p.run.Firm)
	}
	m.own("</title>\n<style>", htmlStyle, "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#jobs\">To the table of jobs</a>\n<header>\n<h1>Review of storage installations</h1>\n")
	if p.run.Firm != "" {
		m.own(`<p class="firm">`).text(p.run.Firm).own("</p>\n")
	}
	m.own(`<p class="caution">`, caution, "</p>\n</header>\n")
}

// about says what was checked, by what, and as of when.
func (p *htmlPage) about(m *markup) {
	r := p.run
	m.own("<section aria-labelledby=\"about\"><h2 id=\"about\">What was checked</h2>\n<dl class=\"about\">")
	m.own(`<dt>Jobs</dt><dd>`, plural(r.Counts.Jobs, "job file", "job files"), ` judged, `, plural(r.Counts.Unread, "file", "files"), ` that could not be read</dd>`)
	m.own(`<dt>As of</dt><dd>`).text(r.AsOf.String()).own(`</dd>`)
	m.own(`<dt>Comparisons</dt><dd>`, plural(r.Counts.Judged, "comparison of a value with a limit", "comparisons of values with limits"), `</dd>`)
	p.sources(m)
	m.own(`<dt>Digest of the limits</dt><dd>`).element("code", r.LimitsDigest)
	m.own(`</dd><dt>Tool</dt><dd>witnessmark `).text(r.Tool).own("</dd></dl></section>\n")
}

// sources names by what was judged: codes and standards first, data sheets folded, since
// there is one for each product and revision.
func (p *htmlPage) sources(m *markup) {
	var sheets, others []*limit.Source
	for _, s := range distinctSources(p.run.Sources) {
		if s.Kind == limit.Datasheet {
			sheets = append(sheets, s)
		} else {
			others = append(others, s)
		}
	}
	slices.SortStableFunc(others, func(a, b *limit.Source) int { return cmp.Compare(notOfficial(a), notOfficial(b)) })
	list := func(all []*limit.Source) {
		m.own(`<ul>`)
		for _, s := range all {
			m.own(`<li>`).text(s.Title).own(`, edition `).text(s.Edition).own(` `).element("code", s.Name).own(`</li>`)
		}
		m.own(`</ul>`)
	}
	m.own(`<dt>By</dt><dd>`)
	if len(others) == 0 || notOfficial(others[0]) == 1 {
		m.own(`No code and no standard took part.`)
	}
	list(others)
	if len(sheets) > 0 {
		m.own(`<details><summary>`, plural(len(sheets), "data sheet", "data sheets"), `</summary>`)
		list(sheets)
		m.own(`</details>`)
	}
	m.own(`</dd>`)
}

func notOfficial(s *limit.Source) int {
	if isOfficial(s) {
		return 0
	}
	return 1
}

func distinctSources(all []*limit.Source) []*limit.Source {
	var out []*limit.Source
	for i, s := range all {
		if i == 0 || all[i-1].Name != s.Name {
			out = append(out, s)
		}
	}
	return out
}

// counts writes how often each outcome came out, in all and by grade.
func (p *htmlPage) counts(m *markup) {
	c := &p.run.Counts
	m.own("<section aria-labelledby=\"counts\"><h2 id=\"counts\">How it came out</h2>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Outcomes by how the limit is known\"><table><caption>Outcomes by how the limit is known</caption><thead><tr><th scope=\"col\">Outcome</th><th scope=\"col\" class=\"n\">In all</th><th scope=\"col\" class=\"n\">Blocking</th>")
	for _, g := range limit.Grades() {
		m.own(`<th scope="col" class="n">`, sentenceCase(string(g)), `</th>`)
	}
	m.own(`</tr></thead><tbody>`)
	for _, k := range judge.Kinds() {
		m.own(`<tr><th scope="row">`, sentenceCase(spoken(k)), `</th><td class="n">`).number(c.ByKind[k]).own(`</td><td class="n">`).number(c.Blocking[k]).own(`</td>`)
		for _, g := range limit.Grades() {
			m.own(`<td class="n">`).number(c.ByGrade[g][k]).own(`</td>`)
		}
		m.own(`</tr>`)
	}
	m.own("</tbody></table></div>\n<dl class=\"words\">")
	for _, g := range limit.Grades() {
		m.own(`<dt>`, sentenceCase(string(g)), `</dt><dd>`, gradeWords(g), `</dd>`)
	}
	m.own("</dl><p>“In all” counts built-in checks too, which have no grade. What is not blocking is advisory.</p></section>\n")
}

// notChecked says what nothing was said about.
func (p *htmlPage) notChecked(m *markup) {
	r := p.run
	c := &r.Counts
	m.own("<section aria-labelledby=\"unjudged\"><h2 id=\"unjudged\">What was not checked</h2>\n<ul>")
	if c.Judged == 0 {
		m.own(`<li><strong>`, nothingJudged, `</strong></li>`)
	}
	m.own(`<li>`, plural(c.ByKind[judge.NotChecked], "comparison", "comparisons"), ` could not be made although due; `, plural(c.ByKind[judge.Missing], "fact is", "facts are"), ` missing; `,
		plural(c.ByKind[judge.NotDue], "comparison waits", "comparisons wait"), ` on facts that are not due yet.</li>`)
	if n := &c.Without; n.Limits > 0 {
		m.own(`<li>`).text(idleText(n)).own(`</li>`)
	}
	m.own(`<li>`)
	if len(r.Problems) == 0 && c.Unread == 0 {
		m.own(`No problem kept a file or a definition from being read.</li>`)
	} else {
		m.own(plural(len(r.Problems), "problem", "problems"), ` kept something from being checked, and `, plural(c.Unread, "file", "files"), ` could not be read: see <a href="#problems">below</a>.</li>`)
	}
	if r.Redacted {
		m.own(`<li>`, redactedNote, `</li>`)
	}
	for _, n := range r.Notes {
		m.own(`<li>`).text(sentenceCase(n)).own(`</li>`)
	}
	if p.kept.findingsOnly {
		m.own(`<li>This report lists only what somebody has to look at`)
		if !p.kept.asked {
			m.own(`, since it would have become larger than `, strconv.Itoa(p.kept.whole/1_000_000), ` MB with every value. Values that are within their limits were judged and are counted; to see them, judge fewer job files at once.</li>`)
		} else {
			m.own(`, as was asked for.</li>`)
		}
	}
	m.own("<li>Whatever is not listed in this report was not checked.</li></ul></section>\n")
}

// nothingJudged says what a report full of noughts does not: that it is no pass.
const nothingJudged = "Nothing was judged: no value was compared with a limit."

// redactedNote says that values are left out on purpose.
const redactedNote = "Private values are left out; each was judged, and (left out) stands in its place."

func idleText(n *checks.WithoutEntry) string {
	t := &lines{}
	t.idle(n.Limits, n.Blocking)
	return sentenceCase(string(t.b)) + ", counted job by job, in " + plural(n.Jobs, "job", "jobs") + "."
}

// filter writes the controls that the script of the page acts on. Without a script
// they are not shown.
func (p *htmlPage) filter(m *markup) {
	m.own("<form class=\"filter\" id=\"filter\" hidden aria-label=\"Filter\"><fieldset><legend>Show only</legend>")
	options := func(name, title string, values [][2]string) {
		m.own(`<label>`, title, ` <select name="`, name, `"><option value="">all</option>`)
		for _, v := range values {
			m.own(`<option value="`, v[0], `">`, v[1], `</option>`)
		}
		m.own(`</select></label> `)
	}
	var kinds, names, stages, gates [][2]string
	for _, k := range judge.Kinds() {
		kinds = append(kinds, [2]string{k.String(), spoken(k)})
	}
	kinds = append(kinds, [2]string{"problem", "problem"})
	for _, t := range topics {
		names = append(names, [2]string{t, t})
	}
	for _, word := range fact.StageNames() {
		stages = append(stages, [2]string{word, word})
	}
	for _, g := range fact.Gates() {
		gates = append(gates, [2]string{g.String(), "open before " + g.String()})
	}
	options("outcome", "outcome", kinds)
	options("topic", "topic", names)
	options("stage", "stage", stages)
	options("gate", "gate", gates)
	m.own(`<label>text <input type="search" name="text" autocomplete="off"></label> <button type="reset">Show all</button> <label>print <select name="print"><option value="findings">what to look at</option><option value="values" selected>every value</option><option value="all">everything, with calculations and limits</option></select></label>`)
	m.own("</fieldset><p role=\"status\" id=\"shown\"></p></form>\n")
}

// table writes jobs by topics.
func (p *htmlPage) table(m *markup) {
	m.own("<section aria-labelledby=\"jobs\"><h2 id=\"jobs\">Jobs and topics</h2>\n<p>Counted are values, each by its most serious outcome; “not judged” counts limits that found nothing to judge.</p>\n<div class=\"wide\"><table class=\"jobs\"><caption>Where to look</caption><thead><tr><th scope=\"col\">Job</th><th scope=\"col\">Stage</th><th scope=\"col\">Problems</th>")
	for _, t := range topics {
		m.own(`<th scope="col">`, topicTitle(t), `</th>`)
	}
	m.own("</tr></thead><tbody>\n")
	for i := range p.kept.jobs {
		m.b = append(m.b, p.kept.jobs[i].row...)
	}
	m.own("</tbody></table></div></section>\n")
}
