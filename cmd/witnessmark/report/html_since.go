package report

// compared writes with what the run was compared, how much is new, and what stands no
// more of jobs that are gone and across jobs.
func (p *htmlPage) compared(m *markup) {
	if p.since == nil {
		return
	}
	m.own(`<section aria-labelledby="compared"><h2 id="compared">Compared with the base</h2>`)
	t := teller(nil, p.asOf)
	for _, one := range t.tell(func() {
		t.leftApart(p.since)
		t.sinceTotals(p.since)
	}) {
		m.own(`<p>`).text(one.head).own(`</p>`)
		if len(one.items) == 0 {
			continue
		}
		m.own(`<dl>`)
		for _, item := range one.items {
			m.element("dt", item.name).element("dd", item.text)
		}
		m.own(`</dl>`)
	}
	m.own("</section>\n")
}

// leftParagraphs writes the findings of the base that the job has no more.
func (h *htmlJob) leftParagraphs(m *markup) {
	for _, one := range h.tell(h.left) {
		m.own(`<p>`).text(sentenceCase(one.head)).own("</p>\n")
	}
}
