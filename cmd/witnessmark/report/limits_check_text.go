package report

import (
	"strconv"

	"witnessmark.example/checks"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/review"
)

// LimitsCheckText writes what is to mend in definitions for people: one line for
// each thing with its place first, what to do below it, then what was looked at
// and what was not.
func LimitsCheckText(r *checks.Review, s Settings) []byte {
	t := &lines{paint: newPalette(s.Colour), path: s.pathOf()}
	for i := range r.Remarks {
		t.remark(&r.Remarks[i])
	}
	if len(r.Remarks) > 0 {
		t.end()
	}
	t.lookedAt(r)
	t.toMend(r)
	t.in(t.paint.faint, "Not looked at:").end()
	for _, n := range r.Notes {
		t.own("  ").from(n).end()
	}
	if r.Unchecked > 0 {
		t.own("  Stated examples of ", plural(r.Unchecked, "limit", "limits"), " whose bounds are facts: they were read, but not held to the limit.").end()
	}
	return t.b
}

func (t *lines) remark(r *review.Remark) {
	paint := t.paint.close
	if r.Breaks {
		paint = t.paint.outside
	}
	t.place(t.path(r.At.File), jobfile.Position{Line: r.At.Line}).in(paint, r.Code).own(": ").from(r.Message).end()
	if r.Mend != "" {
		t.item("mend").from(r.Mend).end()
	}
}

func (t *lines) lookedAt(r *checks.Review) {
	t.own("Looked at ", plural(r.Limits, "limit", "limits"), " of ", plural(r.RuleSets, "rule set", "rule sets"), " (", strconv.Itoa(r.Shipped), " with the tool), at ", plural(r.Tables, "table", "tables"), " of figures, and ",
		plural(r.Revisions, "revision", "revisions"), " of ", plural(r.Products, "product", "products"), ", and at ", plural(r.Entries, "entry", "entries"), " of the map of required rule sets")
	if r.Firm != "" {
		t.own(", of ").from(r.Firm)
	}
	t.own(", as of ").from(r.AsOf.String()).own(".").end()
}

func (t *lines) toMend(r *checks.Review) {
	broken := 0
	for i := range r.Remarks {
		if r.Remarks[i].Breaks {
			broken++
		}
	}
	rest := len(r.Remarks) - broken
	switch {
	case len(r.Remarks) == 0:
		t.own("Nothing to mend was found.").end()
	case broken == 0:
		t.own(plural(rest, "thing", "things"), " to mend; every limit is applied as it is written.").end()
	default:
		t.own(plural(broken, "thing is", "things are"), " broken, so that something is not applied or cannot be met; ", strconv.Itoa(rest), " more to mend.").end()
	}
}
