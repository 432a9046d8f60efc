package report

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// entries are the entries of a list.
func (h *htmlJob) entries(list string) []*fact.Instance {
	facts := h.job.Result.Facts
	sc := facts.Shape.Scope(list)
	if sc == nil {
		return nil
	}
	return facts.Entries[sc.ID]
}

// table writes a list of the job, its fields as columns. It writes nothing where there
// is no entry.
func (h *htmlJob) table(m *markup, list, caption string, fields ...string) {
	h.tableWith(m, list, caption, "", nil, fields...)
}

// tableWith is table with one more column, if it has a title: what this program has to
// say of an entry.
func (h *htmlJob) tableWith(m *markup, list, caption, title string, said func(*fact.Instance) string, fields ...string) {
	entries := h.entries(list)
	if len(entries) == 0 {
		return
	}
	facts := h.job.Result.Facts
	m.own(`<table><caption>`, caption, `</caption><thead><tr><th scope="col">Key</th>`)
	var leaves []*fact.Leaf
	for _, f := range fields {
		if l := facts.Shape.Leaf(list + "." + f); l != nil {
			leaves = append(leaves, l)
			m.own(`<th scope="col">`).text(sentenceCase(label(l))).own(`</th>`)
		}
	}
	if title != "" {
		m.own(`<th scope="col">`, title, `</th>`)
	}
	m.own(`</tr></thead><tbody>`)
	for _, in := range entries {
		m.own(`<tr><th scope="row">`).text(in.Key).own(`</th>`)
		for _, l := range leaves {
			v := in.Get(l)
			switch {
			case v.State == fact.Absent:
				m.own(`<td class="none">not recorded</td>`)
			case v.State != fact.Known:
				m.own(`<td class="none">not readable</td>`)
			default:
				m.element("td", v.Written)
			}
		}
		if title != "" {
			m.own(`<td>`, said(in), `</td>`)
		}
		m.own("</tr>\n")
	}
	m.own("</tbody></table>\n")
}

// closing writes what stands behind the values: concessions, signatures and the place
// to sign. Where nothing was judged there is nothing to sign.
func (h *htmlJob) closing(m *markup) {
	r := h.job.Result
	if r == nil {
		return
	}
	m.own(`<h3>Concessions</h3>`)
	if len(h.entries("concessions")) == 0 {
		m.own(`<p>None is recorded.</p>`)
	}
	h.tableWith(m, "concessions", "Accepted deviations, as recorded", "State", h.standing, "limit", "fact", "value", "granted_by", "by", "on", "until", "document", "reason")
	m.own(`<h3>Signatures</h3>`)
	if len(h.entries("sign_offs")) == 0 {
		m.own(`<p>None is recorded.</p>`)
	}
	h.table(m, "sign_offs", "Signatures that are recorded", "of", "as", "by", "on", "report", "reservation")
	if r.SetAside() {
		m.own(`<p>Nothing of this job was judged, so there is no review to sign.</p>`)
	} else {
		m.own(`<div class="sign"><p>Reviewed on the basis of job file <code>`).text(short(h.job.Digest)).own(`</code>, as of `, r.AsOf.String(), `, by the limits whose digest stands at the head of this report. Reservations:</p><p class="rule"></p><p class="rule"></p><dl><dt>Name</dt><dd class="rule"></dd><dt>Capacity</dt><dd class="rule"></dd><dt>Date</dt><dd class="rule"></dd><dt>Signature</dt><dd class="rule"></dd></dl></div>`)
	}
	m.own(`<p class="caution">`, caution, `</p>`)
}

// standing says what became of a concession.
func (h *htmlJob) standing(in *fact.Instance) string {
	for _, c := range h.job.Result.Conceded {
		if c.Of != in {
			continue
		}
		switch c.Standing {
		case judge.Counts:
			return "counts: the value is accepted"
		case judge.Refused:
			return "does not count; the finding says why"
		case judge.OverSums:
			return "for a sum over the property; see Across jobs"
		}
		return "not used: the value is not outside"
	}
	return "not judged"
}
