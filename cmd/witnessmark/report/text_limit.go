package report

import (
	"strconv"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// head begins the first line of a finding: place, outcome, what it is about. What
// is only advisory says so right behind the outcome.
func (w *jobWriter) head(r *judge.Result, o *judge.Outcome) {
	w.place(w.file, positionOf(r, o)).outcome(o.Kind, o.Blocking)
	w.subject(o.Of, o.Leaf)
}

func (t *lines) outcome(k judge.Kind, blocking bool) {
	t.stateBefore()
	t.in(t.paint.of(k), spoken(k)).own(": ")
	if !blocking {
		t.own("advisory: ")
	}
}

// subject names a value: what people call it, and its address.
func (t *lines) subject(in *fact.Instance, l *fact.Leaf) *lines {
	return t.from(label(l)).own(" (").from(in.AddressOf(l)).own(")")
}

// besideLimit writes a value that is outside a limit, or too close to one: the
// strictest limit in full, each of the others in one line.
func (w *jobWriter) besideLimit(group []*judge.Outcome) {
	o := group[0]
	w.head(w.job.Result, o)
	w.own(" is ")
	w.value(o)
	w.asked(o.Limit.DescribeHere(o.Second, hereText(o))).end()
	w.item("value")
	w.value(o)
	w.own(valueNotes(o)...)
	if plan := planBeside(o); plan != nil {
		w.own("; planned ").from(withNoun(plan.Written, o.Leaf))
	}
	w.end()
	w.calculated(o)
	w.limit(o.Limit, o.Second, hereText(o))
	w.calculatedBound(o)
	if where := w.figure(o); where != "" {
		w.item("the figure").from(where).own("; the maker's datasheet").end()
	}
	if text := marginText(o); text != "" {
		w.item("margin").from(text).end()
	}
	w.proposals(group)
	w.origin(o.Limit)
	switch {
	case o.Reason != "":
		w.item("note").from(o.Reason).end()
	case o.Kind == judge.TooClose:
		w.item("note").own("the uncertainty reaches over the limit, and this source is met only with all of it within").end()
	}
	for _, other := range group[1:] {
		w.also(other)
		if w.sink.calculations {
			w.calculatedBound(other)
		}
	}
}

// asked writes what a limit asks for, behind a value.
func (t *lines) asked(what string) *lines {
	if what == "yes" || what == "no" {
		return t.own("; must be ").from(what)
	}
	return t.own("; the limit is ").from(what)
}

// hereText is the deciding bound where it is taken from a fact, as it stands beside
// the value; else empty.
func hereText(o *judge.Outcome) string {
	if list, ok := o.WordsHere(); ok {
		return limit.WordsOf(list)
	}
	if o.BoundFrom == nil || o.Bound.IsZero() {
		return ""
	}
	_, bound, _ := o.Leaf.Beside(o.Compared, o.Bound, o.Unit())
	return bound
}

// figure says where the deciding bound stands that is taken from a datasheet; a
// custom of the trade then asks no more than what the maker states. Else empty.
func (t *lines) figure(o *judge.Outcome) string {
	of, leaf := o.BoundAt.Of, o.BoundAt.Leaf
	if of == nil || leaf == nil || !of.Scope.List.IsEquipment() {
		return ""
	}
	where := of.AddressOf(leaf)
	if from := productOrigin(of, leaf); from.File != "" {
		where += ", " + placeText(t.path(from.File), from.Line)
	}
	return where
}

// valueNotes says what the reader of a value has to know besides.
func valueNotes(o *judge.Outcome) []string {
	var notes []string
	if o.Banded {
		notes = append(notes, "; with the band of the firm's policy: ", o.Compared.FormatBand(o.Unit()))
	}
	return notes
}

// value writes the value as its author did, and in the unit of the limit where
// that is another one.
func (t *lines) value(o *judge.Outcome) {
	v, u := o.Value, o.Unit()
	numeric := o.Leaf.Type == fact.Quantity || o.Leaf.Type == fact.Count
	switch {
	case v == nil || v.State != fact.Known:
		t.own("not known")
	case o.Leaf.Type == fact.Truth && !o.Leaf.Many:
		t.own(yesOrNo(v.Truth))
	case o.Leaf.Many:
		t.from(v.Written)
	case !numeric:
		t.own(`"`).from(v.Written).own(`"`)
	case v.Written == "":
		text, _, _ := o.Leaf.Beside(v.Quantity, o.Bound, u)
		t.from(text)
	default:
		t.from(withNoun(v.Written, o.Leaf))
		if o.Leaf.Type == fact.Quantity && v.Quantity.Unit() != u {
			t.own(" (", v.Quantity.Format(u), ")")
		}
	}
}

func yesOrNo(truth bool) string {
	if truth {
		return "yes"
	}
	return "no"
}

// withNoun puts what is counted behind a bare number.
func withNoun(written string, l *fact.Leaf) string {
	if l.Type == fact.Count && !l.Many {
		return fact.CountOf(written, l.Noun)
	}
	return written
}

// marginText says by how much the value is beside the limit, empty where the
// limit has no number.
func marginText(o *judge.Outcome) string {
	room, _ := o.Margin()
	if _, _, difference := o.Leaf.Beside(o.Compared, o.Bound, o.Unit()); room != "" && difference != "" {
		room = difference // of the numbers as they are shown
	}
	switch {
	case room == "":
		return ""
	case outsideOf(o):
		return room + " outside the limit"
	}
	return room + " within the limit as written"
}

// limit writes what bounds the value. Where the bound is taken from another fact
// its value here is added.
func (t *lines) limit(l *limit.Planned, second bool, here string) {
	t.item("limit").from(l.Describe(second))
	if here != "" {
		t.own(", here ").from(here)
	}
	t.own("  ").from(l.FullName).end()
}

// origin writes where a limit comes from, how it is known, who decides and where
// it is defined.
func (t *lines) origin(l *limit.Planned) {
	t.item("source").document(l).end()
	t.item("grade").own(string(l.Grade), " (", gradeWords(l.Grade), "), ", blockingWords(l), "; reviewed ").from(l.Reviewed)
	if t.overdue(l) {
		t.own(", review overdue since ").from(l.ReviewBy).end()
	} else {
		t.own(", again due ").from(l.ReviewBy).end()
	}
	if l.Address != "" {
		t.item("read at").from(l.Address).end()
	}
	if l.Why != "" {
		t.item("why").from(l.Why).end()
	}
	t.item("decided by").from(l.Source.DecidedBy).end()
	t.item("defined").defined(l.At).end()
}

// overdue tells whether the limit should have been compared with its source anew.
func (t *lines) overdue(l *limit.Planned) bool {
	by, ok := fact.ParseDay(l.ReviewBy)
	return ok && by < t.asOf
}

// document names the source with its edition and clause.
func (t *lines) document(l *limit.Planned) *lines {
	return t.from(l.Source.Title).own(", edition ").from(l.Source.Edition).own(", ").from(l.Clause)
}

func (t *lines) defined(at fact.Origin) *lines {
	from := len(t.b)
	t.from(t.path(at.File)).own(":", strconv.Itoa(at.Line))
	t.keep(from, len(t.b))
	return t
}

// also writes a further limit that the same value is beside, in one line.
func (t *lines) also(o *judge.Outcome) {
	l := o.Limit
	t.item("also").in(t.paint.of(o.Kind), spoken(o.Kind)).own(" ").from(l.DescribeHere(o.Second, hereText(o))).own("  ").from(l.FullName)
	if text := marginText(o); text != "" {
		t.own(", ").from(text)
	}
	t.own("; ").document(l).own("; grade ", string(l.Grade), ", ", blockingWords(l))
	if t.overdue(l) {
		t.own("; review overdue since ").from(l.ReviewBy)
	}
	if where := t.figure(o); where != "" {
		t.own("; the figure: ").from(where)
	}
	t.own("; decided by: ").from(l.Source.DecidedBy).own(" Defined in ").defined(l.At).end()
}

// builtIn writes a value that a built-in check does not let pass.
func (w *jobWriter) builtIn(o *judge.Outcome) {
	w.head(w.job.Result, o)
	w.own(": ").from(o.Reason).end()
	w.item("check").from(o.Name()).end()
}

// notChecked writes an outcome that could not be decided for a reason of its own.
func (w *jobWriter) notChecked(o *judge.Outcome) {
	w.head(w.job.Result, o)
	w.own("; ").from(o.Reason).end()
	if o.Value != nil && o.Value.State == fact.Known {
		w.item("value")
		w.value(o)
		w.end()
	}
	if o.Limit == nil {
		return
	}
	w.limit(o.Limit, o.Second, "")
	w.origin(o.Limit)
	if o.By != nil {
		w.item("against").from(o.By.FullName).own(", ").from(o.By.Describe(false)).own(", defined in ").defined(o.By.At).end()
	}
}
