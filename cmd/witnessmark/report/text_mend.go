package report

import (
	"strings"

	"witnessmark.example/checks/fact"
)

// mend writes what to put where for an absent fact, as far as it is known.
func (w *jobWriter) mend(a *absence, plan *fact.Value) {
	v := a.of.Get(a.leaf)
	switch {
	case a.leaf.Calculation != nil:
	case namesEntry(a.leaf) && leadsNowhere(v):
		w.item("mend")
		w.own("keep a register of ").from(registerOf(a.leaf.Target)).own(" with an entry ").from(v.Text).end()
	case v.State != fact.Absent:
	case a.of.Scope.List.IsElsewhere():
		w.mendElsewhere(a)
	case a.of.Node == nil:
	case a.leaf.Scope != a.of.Scope: // the link that should lead here stands in another list
		w.item("mend")
		w.own("name ").from(a.of.Key).own(" in the ").from(a.leaf.Name()).own(" of one of the ").from(a.leaf.Scope.List.Name).end()
	default:
		w.mendJob(a, plan)
	}
}

// mendElsewhere says which figure to add to equipment data or to a register.
func (w *jobWriter) mendElsewhere(a *absence) {
	w.item("mend")
	w.own("add ").from(a.leaf.Inside()).own(" to ").from(a.of.Key)
	if a.of.File != "" {
		w.own(" in ").from(w.path(a.of.File))
	}
	w.hint(a.leaf)
	w.end()
}

// mendJob writes the keys that are left out of the job, with room for the value.
func (w *jobWriter) mendJob(a *absence, plan *fact.Value) {
	_, rest := a.of.BlockOf(a.leaf)
	keys := strings.Split(rest, ".")
	w.item("mend")
	for _, k := range keys[:len(keys)-1] {
		w.from(k).own(": {")
	}
	w.from(keys[len(keys)-1]).own(": ")
	room := "…"
	list := w.listOf(a.leaf)
	switch {
	case list != nil:
		room = "[{" + list.List.Key + ": …}]"
	case a.leaf.Many:
		room = "[…]"
	}
	switch {
	case plan != nil:
		w.own("{planned: ").from(plan.Written).own(", built: ", room, "}")
	case a.leaf.Planned >= 0 && a.of.Stage >= a.leaf.Built:
		w.own("{planned: ", room, ", built: ", room, "}")
	default:
		w.from(room)
	}
	w.own(strings.Repeat("}", len(keys)-1))
	if plan == nil && list == nil {
		w.hint(a.leaf)
	}
	w.end()
}

// listOf returns the list that a leaf stands for as a whole, else nil.
func (w *jobWriter) listOf(l *fact.Leaf) *fact.Scope {
	if l.Path == "" {
		return nil
	}
	return w.job.Result.Facts.Shape.Scope(l.Path)
}

// hint says in brackets how a value of the leaf is written.
func (w *jobWriter) hint(l *fact.Leaf) {
	if text := w.form(l); text != "" {
		w.own("  (").from(text).own(")")
	}
}

// form says how a value of the leaf is written.
func (w *jobWriter) form(l *fact.Leaf) string {
	like := ""
	switch {
	case l.Example != "" && l.Many && !strings.HasPrefix(l.Example, "["):
		like = "written like [" + l.Example + "]"
	case l.Example != "":
		like = "written like " + l.Example
	}
	switch {
	case l.Type == fact.Link && !l.Target.List.IsEquipment():
		return w.keyOf(l.Target, like)
	case like != "":
		return like
	case l.Type == fact.Word && l.Many:
		return "some of: " + strings.Join(l.Words, ", ")
	case l.Type == fact.Word:
		return "one of: " + strings.Join(l.Words, ", ")
	case l.Type == fact.Truth:
		return "true or false"
	case l.Type == fact.Date:
		return "year-month-day"
	case l.Type == fact.Quantity:
		return "a number in " + l.Unit
	case l.Type == fact.Count:
		return "a whole number of " + l.Noun
	}
	return ""
}

// keyOf says what a link may name.
func (w *jobWriter) keyOf(to *fact.Scope, like string) string {
	const most = 8
	if to.List.IsRegister() {
		if like != "" {
			like = ", " + like
		}
		return "a key of the register of " + registerOf(to) + like
	}
	entries := w.job.Result.Facts.Entries[to.ID]
	if n := len(entries); n == 0 || n > most {
		return "the key of one of the " + to.List.Name
	}
	keys := make([]string, len(entries))
	for i, in := range entries {
		keys[i] = in.Key
	}
	return "the key of one of: " + strings.Join(keys, ", ")
}

// registerOf is the name of a register: "people".
func registerOf(sc *fact.Scope) string {
	_, name, _ := strings.Cut(sc.List.Name, ".")
	return name
}

// namesEntry tells whether a leaf names an entry of a register.
func namesEntry(l *fact.Leaf) bool {
	return l.Type == fact.Link && l.Target.List.IsRegister() && !l.Many
}

// leadsNowhere tells whether a link is written, but the firm keeps no register in
// which what it names could be found.
func leadsNowhere(v *fact.Value) bool { return v.State == fact.Known && v.Target == nil }
