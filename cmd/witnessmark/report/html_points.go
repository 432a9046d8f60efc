package report

import (
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// openPoints says in sentences what is open before each gate.
func (h *htmlJob) openPoints(m *markup) {
	gates := h.job.Result.Gates
	if len(gates) == 0 {
		return
	}
	m.own(`<h3>Open points</h3>`)
	for i := range gates {
		g := &gates[i]
		points := distinct(g.Open)
		m.own(`<p>`)
		switch {
		case g.Passed && len(points) == 0:
			m.own(`The gate `, g.Gate.String(), ` was passed; no point is open among those that were checked.`)
		case g.Passed:
			m.own(`The gate `, g.Gate.String(), ` was passed with `, plural(len(points), "open point", "open points"), `:`)
		case len(points) == 0:
			m.own(`Before the gate `, g.Gate.String(), ` no point is open among those that were checked`, h.notCounted(), `.`)
		default:
			m.own(`Before the gate `, g.Gate.String(), ` `, plural(len(points), "point is open", "points are open"), h.notCounted(), `:`)
		}
		m.own(`</p>`)
		if len(points) == 0 {
			continue
		}
		h.pointList(m, points)
	}
}

// alike are the ends of points of which there are often many: put together they can be
// read, one under the other they hide the rest.
var alike = []struct{ end, heading string }{
	{" is not recorded", "are not recorded"},
	{" is still to be read on site", "are still to be read on site"},
}

// pointList lists points, and puts together those that are alike but for what they are
// of, if they are many.
func (h *htmlJob) pointList(m *markup, points []point) {
	const many = 5
	texts := make([]string, len(points))
	together := make([][]string, len(alike))
	for k := range points {
		texts[k] = h.sentence(func() { h.point(&points[k]) })
		for i, a := range alike {
			if of, ok := strings.CutSuffix(texts[k], a.end); ok {
				together[i] = append(together[i], of)
			}
		}
	}
	m.own(`<ul>`)
points:
	for _, text := range texts {
		for i, a := range alike {
			if len(together[i]) >= many && strings.HasSuffix(text, a.end) {
				continue points
			}
		}
		m.own(`<li>`).text(text).own(".</li>\n")
	}
	for i, all := range together {
		if len(all) >= many {
			m.own(`<li>`, strconv.Itoa(len(all)), ` `, alike[i].heading)
			before := ":\n"
			for _, of := range all { // line by line, for the packer
				m.own(before).text(of)
				before = ";\n"
			}
			m.own(".</li>\n")
		}
	}
	m.own(`</ul>`)
}

// differences lists what was built otherwise than planned, and the changes that are
// recorded.
func (h *htmlJob) differences(m *markup) {
	type difference struct{ what, planned, built string }
	var all []difference
	for _, entries := range h.job.Result.Facts.Entries {
		for _, in := range entries {
			for _, l := range in.Scope.Leaves {
				plan, v := in.PlannedValue(l), in.Get(l)
				if plan == nil || plan.State != fact.Known || v.State != fact.Known || asPlanned(v, plan, l) {
					continue
				}
				all = append(all, difference{label(l) + " (" + in.AddressOf(l) + ")", withNoun(plan.Written, l), withNoun(v.Written, l)})
			}
		}
	}
	changes := h.entries("changes")
	if len(all) == 0 && len(changes) == 0 {
		m.own(`<h3>Differences from the approved plan</h3><p>None among the values of which both the plan and the reading are recorded; no change is recorded.</p>`)
		return
	}
	m.own(`<h3>Differences from the approved plan</h3>`)
	if len(all) > 0 {
		m.own(`<table><caption>Built otherwise than planned</caption><thead><tr><th scope="col">Value</th><th scope="col">Planned</th><th scope="col">Built</th></tr></thead><tbody>`)
		for _, d := range all {
			m.own(`<tr>`).element("td", d.what).element("td", d.planned).element("td", d.built).own("</tr>\n")
		}
		m.own(`</tbody></table>`)
	}
	h.table(m, "changes", "Changes that are recorded", "what", "why", "agreed_by", "on", "document")
}

// asPlanned tells whether a reading is what was planned, however either is written:
// 42 in is 3.5 ft. How sure the reading is plays no part.
func asPlanned(v, plan *fact.Value, l *fact.Leaf) bool {
	number := l.Type == fact.Quantity || l.Type == fact.Count
	return v.Written == plan.Written || number && !l.Many && quantity.Compare(v.Quantity, plan.Quantity) == 0
}
