package report

import (
	"strconv"
	"strings"

	"witnessmark.example/checks/limit"
)

// across writes what came out over several jobs.
func (p *htmlPage) across(m *markup) {
	t := teller(nil, p.asOf)
	t.sink.since = p.since
	all := t.tell(func() { t.sink.repository(t.lines, p.run) })
	if len(all) == 0 {
		return
	}
	m.own(`<section class="job" aria-labelledby="across"><h2 id="across">Across jobs</h2>`)
	for _, one := range all {
		if len(one.items) == 0 {
			m.own(`<p>`).text(one.head).own(`</p>`)
			continue
		}
		outcome, rest, _ := strings.Cut(one.head, ": ")
		m.own(`<section class="item finding"><h3><span class="outcome">`).text(outcome).own(`</span> `).text(sentenceCase(rest)).own(`</h3><dl>`)
		for _, item := range one.items {
			m.element("dt", item.name).element("dd", item.text)
		}
		m.own(`</dl></section>`)
	}
	m.own("</section>\n")
}

// problems lists what kept something from being checked, of definitions and files.
func (p *htmlPage) problems(m *markup) {
	if len(p.run.Problems) == 0 {
		return
	}
	m.own(`<section class="job" aria-labelledby="problems"><h2 id="problems">Problems</h2>`)
	for i := range p.run.Problems {
		htmlProblem(m, "h3", &p.run.Problems[i], marked{})
	}
	m.own("</section>\n")
}

// limits lists every limit that took part, once.
func (p *htmlPage) limits(m *markup) {
	m.own(`<section class="job limits" aria-labelledby="limits"><h2 id="limits">The limits</h2><p>`, plural(countNames(p.run.Limits), "limit", "limits"), ` took part.</p>`)
	t := teller(nil, p.asOf)
	for i, l := range p.run.Limits {
		if i > 0 && p.run.Limits[i-1].FullName == l.FullName {
			continue
		}
		m.own(`<details class="limit" id="`, anchor("limit", l.FullName), `"><summary><code>`).text(l.FullName).own(`</code> `).text(label(l.Way.Leaf)).own(` `).text(l.Describe(false)).own(`</summary><dl>`)
		if l.Printed != nil {
			m.element("dt", "or").element("dd", l.Describe(true))
		}
		for _, one := range t.tell(func() { t.own("limit").end(); t.origin(l) }) {
			for _, item := range one.items {
				m.element("dt", item.name).element("dd", item.text)
			}
		}
		m.own("</dl></details>\n")
	}
	m.own("</section>\n")
}

func countNames(all []*limit.Planned) int {
	n := 0
	for i, l := range all {
		if i == 0 || all[i-1].FullName != l.FullName {
			n++
		}
	}
	return n
}

func (p *htmlPage) tail(m *markup) {
	m.own("</main>\n<footer><p class=\"caution\">", caution, "</p></footer>\n")
	if p.kept.packed {
		for i, block := range p.kept.findings.blocks {
			m.block("findings-"+strconv.Itoa(i), block)
		}
		for i, block := range p.kept.values.blocks {
			m.block("values-"+strconv.Itoa(i), block)
		}
	}
	m.own("<script>", htmlScript, "</script>\n</body>\n</html>\n")
}

// block writes packed text where no browser takes it for a script.
func (m *markup) block(name, text string) {
	m.own(`<script type="text/plain" id="`, name, `">`, text, "</script>\n")
}
