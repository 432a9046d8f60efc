package pages

import (
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// writer makes one page of one job in one language.
type writer struct {
	*tongue
	show    func(string) string
	firm    firm
	job     *checks.Job
	site    []site // all languages of the site
	unknown int    // how many values of the page are not known
}

func (w *writer) facts() *fact.Facts { return w.job.Result.Facts }

// frame makes the page of a kind: what every page says, and between it what the
// kind shows.
func (w *writer) frame(k Kind, without []string) page {
	var p page
	if w.job.Result == nil {
		p = page{Sections: []section{{Heading: w.T("unread.heading"), Lead: []string{w.T("unread.text", "File", w.show(w.job.File))}}}}
		p.Foot = []string{w.T(k.Name + ".caution"), w.T("caution")}
	} else {
		p = k.build(w)
		p.Lines = append(w.about(), p.Lines...)
		p.Alerts = append(w.alerts(), p.Alerts...)
		if w.unknown > 0 {
			p.Foot = append(p.Foot, w.T("foot.unknown", "N", w.unknown))
		}
		p.Foot = append(p.Foot, w.T(k.Name+".caution"), w.T("caution"))
	}
	for _, code := range without {
		p.Alerts = append([]string{w.T("language.not-offered", "Code", w.show(code))}, p.Alerts...)
	}
	return w.named(p, k)
}

// none is the page of a run without a job.
func (w *writer) none(k Kind) page {
	return w.named(page{Sections: []section{{Heading: w.T("none.heading"), Lead: []string{w.T("none.text")}}}, Foot: []string{w.T("caution")}}, k)
}

func (w *writer) named(p page, k Kind) page {
	p.Lang, p.Kind, p.Title = w.tag, k.Name, w.T(k.Name+".title")
	if w.firm.name != "" {
		p.Foot = append(p.Foot, w.T("foot.firm", "Firm", w.show(w.firm.name)))
	}
	return p
}

// about says which job the page is of, and as of when.
func (w *writer) about() []pair {
	root := w.facts().Root
	return []pair{
		{w.T("about.job"), w.free(w.job.Number)},
		{w.T("about.premises"), w.free(w.job.Premises)},
		{w.T("about.occupancy"), w.value(root, "premises.occupancy")},
		{w.T("about.stage"), w.value(root, "stage")},
		{w.T("about.as-of"), cell{Text: w.job.Result.AsOf.String()}},
	}
}

// alerts says what keeps a page from being taken for more than it is.
func (w *writer) alerts() []string {
	var out []string
	root := w.facts().Root
	switch v, _, _ := w.find(root, "status"); {
	case v == nil:
	case v.Text == "cancelled" || v.Text == "removed" || v.Text == "on hold":
		out = append(out, w.T("alert.status", "Status", w.value(root, "status").Text))
	}
	switch {
	case w.facts().Stage < fact.Installed:
		out = append(out, w.T("alert.planned"))
	case w.facts().Stage < fact.Energised:
		out = append(out, w.T("alert.not-energised"))
	}
	if w.open() {
		out = append(out, w.T("alert.open"))
	}
	if len(w.job.Problems) > 0 {
		out = append(out, w.T("alert.problems"))
	}
	return out
}

// open tells whether the job has findings that block, or anything open before a
// gate that it went through or comes to next. What is found across files is known
// only after the last job, so that no page can say that nothing is open.
func (w *writer) open() bool {
	r := w.job.Result
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.Blocking && o.Kind.IsFinding() {
			return true
		}
	}
	for i := range r.Gates {
		if len(r.Gates[i].Open) > 0 {
			return true
		}
		if !r.Gates[i].Passed {
			break
		}
	}
	return false
}

// contacts is whom of the firm to call, for one purpose or for all.
func (w *writer) contacts(only string) table {
	t := table{Caption: w.T("contacts.caption"), Head: []string{w.T("contacts.for"), w.T("contacts.says"), w.T("contacts.telephone"), w.T("contacts.hours"), w.T("contacts.address")}}
	for _, c := range w.firm.contacts {
		if only != "" && c.For != only {
			continue
		}
		t.Rows = append(t.Rows, []cell{{Text: w.purpose(c.For)}, w.free(c.Says), strong(w.free(c.Telephone)), w.free(c.Hours), w.free(c.Address)})
	}
	if len(t.Rows) == 0 {
		none := w.notRecorded()
		what := w.T("contacts.any")
		if only != "" {
			what = w.purpose(only)
		}
		t.Rows = [][]cell{{{Text: what}, none, none, none, none}}
	}
	return t
}

// purpose is what a contact is called for. The firm may have others than these two.
func (w *writer) purpose(name string) string {
	switch name {
	case "emergency":
		return w.T("contacts.emergency")
	case "service":
		return w.T("contacts.service")
	}
	return w.show(name)
}

func strong(c cell) cell {
	c.Strong = !c.Unknown
	return c
}

// listing joins texts as they are enumerated.
func listing(texts []string) string { return strings.Join(texts, ", ") }
