package report

import (
	"witnessmark.example/checks/fact"
)

// calculations writes, folded, how the value and the bound that decides came about,
// with all that went into them: what a finding rests on stands in one place.
func (h *htmlJob) calculations(m *markup, v *valueRow) {
	c := h.calculator()
	for _, o := range v.outcomes {
		c.collect(o.Value, true)
		c.collect(o.BoundFrom, true)
	}
	c.folded(m)
}

// calculation writes, folded, how one value came about. What went into it stands with
// the values it is made of, to which links lead.
func (h *htmlJob) calculation(m *markup, v *fact.Value) {
	c := h.calculator()
	c.links = true
	c.collect(v, false)
	c.folded(m)
}

func (h *htmlJob) calculator() *htmlCalculations {
	return &htmlCalculations{calculations: &calculations{lines: h.lines, file: h.job.File}, told: map[*fact.Working]bool{}}
}

// htmlCalculations writes calculations as tables.
type htmlCalculations struct {
	*calculations
	links bool // to what is calculated elsewhere in the page
	all   []*fact.Working
	told  map[*fact.Working]bool
}

// collect finds the calculation behind a value and, deep, those behind that. Of one
// that gave no result it is what was tried.
func (c *htmlCalculations) collect(v *fact.Value, deep bool) {
	if v == nil || v.More == nil {
		return
	}
	w := v.More.From
	if w == nil && gaveNothing(v) {
		w = innermost(v.More.Tried)
	}
	if w == nil || c.told[w] {
		return
	}
	c.told[w] = true
	c.all = append(c.all, w)
	for i := 0; deep && i < len(w.Inputs); i++ {
		c.collect(w.Inputs[i].Value, true)
	}
}

func (c *htmlCalculations) folded(m *markup) {
	if len(c.all) == 0 {
		return
	}
	m.own(`<details class="calculation"><summary>Calculation</summary>`)
	for _, w := range c.all {
		c.table(m, w)
	}
	m.own("</details>\n")
}

func (c *htmlCalculations) table(m *markup, w *fact.Working) {
	rows, remarks := c.rows(w)
	m.own(`<table><caption><code>`).text(address(w.Of, w.Leaf)).own(`</code> `)
	m.text(sentenceCase(label(w.Leaf))).own(`</caption><tbody><tr><th scope="row">formula</th><td colspan="2"><code>`).text(w.Leaf.Calculation.Formula).own("</code></td></tr>\n")
	for i, r := range rows {
		if r.value == "" {
			r.value = "one entry" // where entries are counted
		}
		from := c.from(w, i, r)
		if from == "" {
			m.own(`<tr><th scope="row">`).text(r.name).own("</th>\n", `<td colspan="2">`).text(r.value).own("</td></tr>\n")
			continue
		}
		m.own(`<tr><th scope="row">`).text(r.name).own("</th>\n").element("td", r.value).own("\n<td>")
		if i < len(w.Inputs) && c.links && isCalculated(w.Inputs[i].Value) {
			in := &w.Inputs[i]
			m.own(`calculated: <a href="#`, valueAnchor(in.Of, in.Leaf), `">`).text(address(in.Of, in.Leaf)).own(`</a>`)
		} else {
			m.text(from)
		}
		m.own("</td></tr>\n")
	}
	for _, text := range remarks {
		c.remark(m, "remark", text)
	}
	c.remark(m, "source", w.Leaf.Calculation.Source)
	c.remark(m, "valid", w.Leaf.Calculation.Validity)
	m.own("</tbody></table>\n")
}

// from says where the value of a row is from. What stands in the job has its address;
// its line is left out, since it differs from job to job for no other reason.
func (c *htmlCalculations) from(w *fact.Working, i int, r row) string {
	if i < len(w.Inputs) {
		if in := &w.Inputs[i]; !in.Of.Scope.List.IsElsewhere() {
			if a := address(in.Of, in.Leaf); a != r.name || isCalculated(in.Value) {
				return a
			}
			return ""
		}
	}
	return r.from
}

func isCalculated(v *fact.Value) bool { return v != nil && v.More != nil && v.More.From != nil }

// sectionMark stands for the name of the job's section in the names of what lies in it,
// until it is written: jobs then have more in common, and pack better. No text brings
// it in.
const sectionMark = '\x01'

// valueAnchor is the name of a value's place in the page.
func valueAnchor(of *fact.Instance, l *fact.Leaf) string {
	return string(rune(sectionMark)) + anchor("-value", of.AddressOf(l))
}

func (c *htmlCalculations) remark(m *markup, name, text string) {
	if text != "" {
		m.own(`<tr><th scope="row">`, name, `</th><td colspan="2">`).text(text).own("</td></tr>\n")
	}
}
