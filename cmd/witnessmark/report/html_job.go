package report

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/since"
)

// htmlJob writes the section of one job.
type htmlJob struct {
	*jobWriter
	rows     []valueRow // judged
	counts   map[string]*[judge.Accepted + 1]int
	idle     map[string]int              // limits that found nothing to judge, by topic
	evidence map[string][]*fact.Instance // by the address it shows

	found, held marked // of what somebody has to look at, and of every value
}

func newHTMLJob(job *checks.Job, c *since.Comparison) *htmlJob {
	asOf := fact.NoDay
	if job.Result != nil {
		asOf = job.Result.AsOf
	}
	h := &htmlJob{jobWriter: teller(job, asOf), counts: map[string]*[judge.Accepted + 1]int{}, idle: map[string]int{}, found: marked{}, held: marked{}}
	h.sink.since = c
	if job.Result == nil {
		return h
	}
	h.rows = valueRows(job.Result)
	for i := range h.rows {
		v := &h.rows[i]
		n := h.counts[v.leaf.Topic]
		if n == nil {
			n = new([judge.Accepted + 1]int)
			h.counts[v.leaf.Topic] = n
		}
		n[v.kind()]++
	}
	for x := range job.Result.WithoutEntry() {
		for _, l := range x.Limits {
			h.idle[l.Way.Leaf.Topic]++
		}
	}
	h.evidence = h.evidenceByAddress()
	return h
}

// anchor is the name of the job's section in the page.
func (h *htmlJob) anchor() string { return anchor("job", h.job.File) }

// name writes the name of the section.
func (h *htmlJob) name(m *markup) { m.own(h.anchor()) }

// number is the job's number, or its file where the number could not be read.
func (h *htmlJob) number() string {
	if h.job.Number == "" {
		return h.job.File
	}
	return h.job.Number
}

// row writes the job's row of the table of jobs and topics.
func (h *htmlJob) row(m *markup) {
	m.own(`<tr data-job="`, h.anchor(), `"><th scope="row"><a href="#`, h.anchor(), `">`).text(h.number()).own(`</a></th><td data-name="Stage">`).text(stageOr(h.job.Stage))
	if s := h.job.Status; s != "" && s != "active" {
		m.own(`, `).text(s)
	}
	m.own(`</td>`)
	if h.job.Result == nil {
		m.own(`<td colspan="`, strconv.Itoa(len(topics)+1), `" data-name="Values"><strong>could not be read; nothing of it was checked</strong></td></tr>`, "\n")
		return
	}
	m.own(`<td data-name="Problems">`)
	if n := len(h.job.Problems); n > 0 {
		m.own(`<strong>`, plural(n, "problem", "problems"), `</strong>`)
	} else {
		m.own(`none`)
	}
	m.own(`</td>`)
	if h.job.Result.SetAside() {
		m.own(`<td colspan="`, strconv.Itoa(len(topics)), `" data-name="Values">set aside; nothing of it was judged</td></tr>`, "\n")
		return
	}
	for _, t := range topics {
		h.cell(m, topicTitle(t), h.counts[t], h.idle[t])
	}
	m.own("</tr>\n")
}

// cell says in words and counts how the values of one topic came out, and how many of
// its limits found nothing to judge, so that they are not taken for met. On a narrow
// screen the topic's name stands before it.
func (h *htmlJob) cell(m *markup, topic string, n *[judge.Accepted + 1]int, idle int) {
	if n == nil {
		n = new([judge.Accepted + 1]int)
		if idle == 0 {
			m.own(`<td class="none" data-name="`, topic, `">nothing judged</td>`)
			return
		}
	}
	m.own(`<td data-name="`, topic, `">`)
	before := ""
	for _, k := range []judge.Kind{judge.Outside, judge.TooClose, judge.Missing, judge.NotChecked, judge.Accepted} {
		if n[k] > 0 {
			m.own(before, `<strong>`, strconv.Itoa(n[k]), ` `, spoken(k), `</strong>`)
			before = `, `
		}
	}
	for _, k := range []judge.Kind{judge.Within, judge.NotDue} {
		if n[k] > 0 {
			m.own(before, strconv.Itoa(n[k]), ` `, spoken(k))
			before = `, `
		}
	}
	switch {
	case idle > 0:
		m.own(before, `<em>`, strconv.Itoa(idle), ` not judged</em>`)
	case before == "":
		m.own(`nothing applies`)
	}
	m.own(`</td>`)
}

// marks writes what the filter of the page goes by.
func (h *htmlJob) marks(m *markup) {
	m.own(` data-stage="`).text(h.job.Stage).own(`" data-gates="`)
	if r := h.job.Result; r != nil {
		first := true
		for i := range r.Gates {
			if len(r.Gates[i].Open) > 0 {
				if !first {
					m.own(" ")
				}
				first = false
				m.own(r.Gates[i].Gate.String())
			}
		}
	}
	m.own(`" data-has="`, h.found.words(), `" data-held="`, h.held.words(), `"`)
}

// marked are the outcomes of entries with their topics, as "outside:place", by which
// the filter knows what is in a job that is still packed.
type marked map[string]bool

func (k marked) words() string { return strings.Join(slices.Sorted(maps.Keys(k)), " ") }

// item writes the attributes by which the filter knows an entry, and keeps them among
// those of its part.
func (k marked) item(m *markup, kind, topic string) {
	k[kind+":"+topic] = true
	m.own(` data-o="`, kind, `" data-t="`, topic, `"`)
}

// opening writes the heading of the section, what the job is and by what it was judged.
func (h *htmlJob) opening(m *markup) {
	m.own(`<article class="job" id="`, h.anchor(), `" aria-labelledby="`, h.anchor(), `-name"`)
	h.marks(m)
	m.own(`><h2 id="`, h.anchor(), `-name">Job `).text(h.number()).own(`</h2>`)
	h.about(m)
}

// lookAt writes what is open before the gates, what differs from the plan, and
// everything that somebody has to look at.
func (h *htmlJob) lookAt(m *markup) {
	h.problems(m)
	if h.job.Result == nil {
		m.own(`<p class="plain">The file could not be read; nothing of it was checked.</p>`)
		return
	}
	if h.job.Result.SetAside() {
		return
	}
	h.openPoints(m)
	h.differences(m)
	h.findings(m)
}

// about writes what the job is and by what it was judged.
func (h *htmlJob) about(m *markup) {
	m.own(`<p class="file">`).element("code", h.job.File)
	if h.job.Stage != "" {
		m.own(`, stage `)
	} else {
		m.own(`, `)
	}
	m.text(stageOr(h.job.Stage))
	if s := h.job.Status; s != "" && s != "active" {
		m.own(`, <strong>`).text(s).own(`</strong>`)
	}
	if h.job.Premises != "" {
		m.own(`, premises `).text(h.job.Premises)
	}
	if h.job.Digest != "" {
		m.own(`. Digest of the file: `).element("code", short(h.job.Digest))
	}
	m.own(`</p>`)
	if h.job.Result == nil {
		return
	}
	for _, t := range h.tell(func() { h.jobWriter.closing(false) }) {
		m.own(`<p>`).text(sentenceCase(t.head)).own(`</p>`)
	}
}

func (h *htmlJob) problems(m *markup) {
	if len(h.job.Problems) == 0 {
		return
	}
	m.own(`<h3>What could not be read</h3>`)
	for i := range h.job.Problems {
		htmlProblem(m, "h4", &h.job.Problems[i], h.found)
	}
}

// htmlProblem writes something that kept a file or definition from being checked, under
// a heading of the level that its place asks for.
func htmlProblem(m *markup, heading string, p *checks.Problem, of marked) {
	m.own(`<section class="item"`)
	of.item(m, "problem", "")
	m.own(`><`, heading, `><span class="outcome">problem</span> `).text(p.Message).own("</", heading, ">\n<dl><dt>where</dt><dd>").element("code", placeText(p.File, p.At.Line)).own(`</dd>`)
	if p.Mend != "" {
		m.own(`<dt>mend</dt><dd>`).text(p.Mend).own(`</dd>`)
	}
	m.own("</dl></section>\n")
}

// sentenceCase begins with a capital, if it begins with a plain letter.
func sentenceCase(text string) string {
	if text != "" && text[0] >= 'a' && text[0] <= 'z' {
		return string(text[0]-'a'+'A') + text[1:]
	}
	return text
}
