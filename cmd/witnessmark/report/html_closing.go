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

// leavesOf are the fields of a list that the shape has of these.
func (h *htmlJob) leavesOf(list string, fields []string) []*fact.Leaf {
	var out []*fact.Leaf
	for _, f := range fields {
		if l := h.job.Result.Facts.Shape.Leaf(list + "." + f); l != nil {
			out = append(out, l)
		}
	}
	return out
}

// table writes a list of the job, its fields as columns. It writes nothing where there
// is no entry. On a narrow screen the name of a column stands before each value.
func (h *htmlJob) table(m *markup, list, caption string, fields ...string) {
	entries := h.entries(list)
	if len(entries) == 0 {
		return
	}
	leaves := h.leavesOf(list, fields)
	m.own(`<table class="record"><caption>`, caption, `</caption><thead><tr><th scope="col">Key</th>`)
	for _, l := range leaves {
		m.own(`<th scope="col">`).text(sentenceCase(label(l))).own(`</th>`)
	}
	m.own(`</tr></thead><tbody>`)
	for _, in := range entries {
		m.own(`<tr><th scope="row">`).text(in.Key).own(`</th>`)
		for _, l := range leaves {
			text, recorded := recordedText(in.Get(l))
			m.own(`<td data-name="`).text(sentenceCase(label(l)))
			if !recorded {
				m.own(`" class="none`)
			}
			m.own(`">`).text(text).own(`</td>`)
		}
		m.own("</tr>\n")
	}
	m.own("</tbody></table>\n")
}

// recordedText is a value as it was written, or why there is none.
func recordedText(v *fact.Value) (text string, recorded bool) {
	switch v.State {
	case fact.Known:
		return v.Written, true
	case fact.Absent:
		return "not recorded", false
	}
	return "not readable", false
}

// concessions writes each concession with what became of it. They have too many fields
// for the columns of a table.
func (h *htmlJob) concessions(m *markup) {
	m.own(`<h3>Concessions</h3>`)
	entries := h.entries("concessions")
	if len(entries) == 0 {
		m.own(`<p>None is recorded.</p>`)
	}
	leaves := h.leavesOf("concessions", []string{"limit", "fact", "value", "granted_by", "by", "on", "until", "document", "reason"})
	for _, in := range entries {
		m.own(`<section class="entry"><h4>`).text(in.Key).own(`: `, h.standing(in), `</h4><dl>`)
		for _, l := range leaves {
			text, _ := recordedText(in.Get(l))
			m.element("dt", label(l)).element("dd", text)
		}
		m.own("</dl></section>\n")
	}
}

// closing writes what stands behind the values: concessions, signatures and the place
// to sign. Where nothing was judged there is nothing to sign.
func (h *htmlJob) closing(m *markup) {
	r := h.job.Result
	if r == nil {
		return
	}
	h.concessions(m)
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
			return "it counts, and the value is accepted"
		case judge.Refused:
			return "it does not count; the finding says why"
		case judge.OverSums:
			return "it is for a sum over the property; see Across jobs"
		}
		return "it is not used, since the value is not outside"
	}
	return "it was not judged"
}
