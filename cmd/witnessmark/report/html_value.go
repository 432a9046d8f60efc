package report

import (
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// findings writes everything that somebody has to look at, in the order of the file
// and in the words of the text report.
func (h *htmlJob) findings(m *markup) {
	all := h.inFile()
	m.own(`<h3>What somebody has to look at</h3>`)
	h.leftParagraphs(m)
	if len(all) == 0 {
		m.own(`<p>Nothing among what was checked. What was not checked is said above and below.</p>`)
		return
	}
	rows := map[slot]*valueRow{}
	for i := range h.rows {
		rows[h.rows[i].slot] = &h.rows[i]
	}
	for i := range all {
		clear(h.told)
		for _, t := range h.tell(all[i].write) {
			h.finding(m, &all[i], t, rows[all[i].about])
		}
	}
}

// finding writes one finding. Of a value that was compared with a limit the band and
// the calculation are added.
func (h *htmlJob) finding(m *markup, f *finding, t told, row *valueRow) {
	outcome, rest, _ := strings.Cut(t.head, ": ")
	m.own(`<section class="item finding"`)
	h.found.item(m, f.kind.String(), f.about.leaf.Topic)
	m.own(`><h4><span class="outcome">`).text(outcome).own(`</span> `).text(sentenceCase(rest)).own("</h4>\n")
	if row != nil && (f.kind == judge.Outside || f.kind == judge.TooClose || f.kind == judge.Accepted) {
		h.band(m, row)
	}
	m.own(`<dl><dt>where</dt><dd>`).element("code", placeText(h.job.File, f.at.Line)).own(`</dd>`)
	var ofLimit markup // source to where it is defined: the same for every job
	for _, item := range t.items {
		into := m
		switch item.name {
		case "calculated", "limit from":
			continue // stands folded below
		case "source", "grade", "read at", "why", "decided by", "defined":
			into = &ofLimit
		}
		into.element("dt", item.name).element("dd", item.text).own("\n")
	}
	m.b = append(m.b, ofLimit.b...)
	h.evidenceLine(m, f.about)
	m.own(`</dl>`)
	if row != nil {
		h.calculations(m, row)
	}
	m.own("</section>\n")
}

// band draws the value among the limits on it, if it is a number.
func (h *htmlJob) band(m *markup, row *valueRow) {
	if b, ok := bandOf(row); ok {
		b.draw(m)
	}
}

// values writes every value that was judged, topic by topic, then what does not apply
// and what nothing judges.
func (h *htmlJob) values(m *markup) {
	if h.job.Result == nil || h.job.Result.SetAside() {
		return
	}
	var later, idle []*valueRow
	byTopic := map[string][]*valueRow{}
	for i := range h.rows {
		v := &h.rows[i]
		switch v.kind() {
		case judge.NotDue:
			later = append(later, v)
		case judge.NotApplicable:
			idle = append(idle, v)
		default:
			byTopic[v.leaf.Topic] = append(byTopic[v.leaf.Topic], v)
		}
	}
	for _, t := range topics {
		if len(byTopic[t]) > 0 {
			h.topic(m, t, byTopic[t])
		}
	}
	h.plainRows(m, "Not due yet", judge.NotDue, later)
	h.plainRows(m, "Does not apply", judge.NotApplicable, idle)
	h.unjudged(m)
}

// topic writes the values of one topic.
func (h *htmlJob) topic(m *markup, name string, rows []*valueRow) {
	m.own(`<details class="topic"><summary>`, topicTitle(name), `: `, plural(len(rows), "value", "values"))
	var n [judge.Accepted + 1]int
	for _, v := range rows {
		n[v.kind()]++
	}
	before := " – "
	for _, k := range judge.Kinds() {
		if n[k] > 0 {
			m.own(before, strconv.Itoa(n[k]), " ", spoken(k))
			before = ", "
		}
	}
	m.own("</summary><div>\n")
	for _, v := range rows {
		h.value(m, v)
	}
	m.own("</div></details>\n")
}

// value writes one value with its band and every limit on it, the strictest first.
func (h *htmlJob) value(m *markup, v *valueRow) {
	first := v.outcomes[0]
	if d := v.decisive(); d != nil {
		first = d
	}
	m.own(`<section class="item"`)
	if isCalculated(first.Value) {
		m.own(` id="`, valueAnchor(v.of, v.leaf), `"`)
	}
	h.held.item(m, v.kind().String(), v.leaf.Topic)
	m.own(`><h4><span class="outcome">`, spoken(v.kind()), `</span> `).text(sentenceCase(label(v.leaf))).own(` <code>`).text(v.of.AddressOf(v.leaf)).own(`</code>`)
	if first.Value != nil && first.Value.State == fact.Known && first.Kind != judge.Missing {
		m.own(":\n").text(h.sentence(func() { h.jobWriter.value(first) }))
	}
	m.own("\n</h4>\n")
	h.band(m, v)
	m.own(`<ul>`)
	beside := 0 // limits that were compared: the strictest of one is nothing to tell
	for _, o := range v.outcomes {
		if o.Limit != nil && compared(o.Kind) {
			beside++
		}
	}
	var idle []*judge.Outcome
	for _, o := range v.outcomes {
		if o.Kind == judge.NotApplicable {
			idle = append(idle, o)
			continue
		}
		m.own(`<li>`)
		h.judged(m, o, beside > 1)
		m.own("</li>\n")
	}
	h.idleLimits(m, idle)
	m.own(`</ul>`)
	if text := h.evidenceOf(v.of.AddressOf(v.leaf)); text != "" {
		m.own(`<p>Evidence: `).text(text).own(`</p>`)
	}
	h.calculation(m, first.Value)
	m.own("</section>\n")
}

// idleLimits names the limits on a value that do not apply to it here.
func (h *htmlJob) idleLimits(m *markup, all []*judge.Outcome) {
	if len(all) == 0 {
		return
	}
	m.own(`<li>`, plural(len(all), "limit does not apply", "limits do not apply"), `: `)
	for i, o := range all {
		if i > 0 {
			m.own("; ")
		}
		m.text(o.Name())
		if o.Reason != "" {
			m.own(`, `).text(o.Reason)
		}
	}
	m.own("</li>\n")
}

// judged writes what one limit or built-in check says of a value, and among several
// that the strictest is it.
func (h *htmlJob) judged(m *markup, o *judge.Outcome, several bool) {
	m.own(spoken(o.Kind), `: `)
	if o.Limit == nil {
		m.element("code", o.Check)
		if o.Reason != "" {
			m.own(`; `).text(o.Reason)
		}
		return
	}
	m.text(o.Limit.DescribeHere(o.Second, hereText(o)))
	htmlLimitLink(m.own(",\n"), o.Limit)
	if compared(o.Kind) {
		if text := marginText(o); text != "" {
			m.own(";\n").text(text)
		}
		if o.Strictest && several {
			m.own(";\n<strong>the strictest</strong>")
		}
	}
	switch {
	case o.Reason != "":
		m.own(`; `).text(o.Reason)
	case o.Reaches:
		m.own(`; `, reachesOver)
	case len(o.WaitsOn) > 0:
		m.own(`; waits on`)
		for i, k := range o.WaitsOn {
			if i > 0 {
				m.own(`,`)
			}
			m.own(` `).element("code", k.Of.AddressOf(k.Leaf))
		}
	}
	if o.Banded {
		m.own(`; with the band of the firm's policy: `).text(o.Compared.FormatBand(o.Unit()))
	}
	if compared(o.Kind) && o.BoundFrom != o.Value && isCalculated(o.BoundFrom) {
		m.own(`; the limit is <a href="#`, valueAnchor(o.BoundAt.Of, o.BoundAt.Leaf), `">calculated</a>`)
	}
	m.own(";\ngrade ", string(o.Limit.Grade), `, `, blockingWords(o.Limit), `. `).text(o.Limit.Source.Title).own(`, `).text(o.Limit.Clause).own(`. Decided by: `).text(o.Limit.Source.DecidedBy)
}

// htmlLimitLink names a limit and leads to what stands of it at the end of the page.
func htmlLimitLink(m *markup, l *limit.Planned) {
	m.own(`<a href="#`, anchor("limit", l.FullName), `"><code>`).text(l.FullName).own(`</code></a>`)
}

// plainRows lists values of which there is nothing to draw.
func (h *htmlJob) plainRows(m *markup, title string, k judge.Kind, rows []*valueRow) {
	if len(rows) == 0 {
		return
	}
	comparisons := 0
	for _, v := range rows {
		comparisons += len(v.outcomes)
	}
	m.own(`<details class="topic idle"><summary>`, title, `: `, plural(comparisons, "comparison", "comparisons"), ` of `, plural(len(rows), "value", "values"), "</summary><ul>\n")
	for _, v := range rows {
		m.own(`<li class="item"`)
		value := v.of.Get(v.leaf)
		if isCalculated(value) {
			m.own(` id="`, valueAnchor(v.of, v.leaf), `"`) // what judges something else may rest on it
		}
		h.held.item(m, k.String(), v.leaf.Topic)
		m.own(`>`).text(label(v.leaf)).own(` <code>`).text(v.of.AddressOf(v.leaf)).own(`</code>`)
		before := `: `
		for _, o := range v.outcomes {
			m.own(before)
			before = `; `
			m.text(o.Name())
			if o.Reason != "" {
				m.own(`, `).text(o.Reason)
			}
		}
		if isCalculated(value) {
			h.calculation(m, value)
		}
		m.own("\n</li>\n")
	}
	m.own("</ul></details>\n")
}

// unjudged lists what is recorded or calculated and held to nothing.
func (h *htmlJob) unjudged(m *markup) {
	rows := unjudgedRows(h.job.Result, h.rows)
	if len(rows) == 0 {
		return
	}
	m.own(`<details class="topic idle"><summary>Held to no limit: `, plural(len(rows), "value that is recorded or calculated", "values that are recorded or calculated"), "</summary><ul>\n")
	for i := range rows {
		v := &rows[i]
		value := v.of.Get(v.leaf)
		text := withNoun(value.Written, v.leaf)
		if value.Written == "" {
			text = v.leaf.Format(value.Quantity, v.leaf.Of)
		}
		m.own(`<li class="item"`)
		if isCalculated(value) {
			m.own(` id="`, valueAnchor(v.of, v.leaf), `"`)
		}
		h.held.item(m, "unjudged", v.leaf.Topic)
		m.own(`>`).text(label(v.leaf)).own(` <code>`).text(v.of.AddressOf(v.leaf)).own("</code>:\n").text(text)
		h.calculation(m, value)
		m.own("\n</li>\n")
	}
	m.own("</ul></details>\n")
}
