package report

import (
	"strconv"

	"witnessmark.example/checks/explain"
)

func itoa(n int) string { return strconv.Itoa(n) }

// limit writes what is said of a limit.
func (t explainLines) limit(e *explain.Explanation) {
	x := e.Limit
	if x == nil {
		return
	}
	t.item("limit").from(x.Within).end()
	if p := x.Printed; p != nil {
		t.item("printed").from(p.Within).own("  for a value written in that system of units, as the source prints it").end()
	}
	t.say("unit", x.Unit)
	t.say("why", e.Why)
	t.source(e)
	t.say("clause", x.Clause)
	t.item("grade").from(x.Grade).own(" (").from(x.Meaning).own("), ", weight(x))
	if x.Promoted != "" {
		t.own(": promoted by ").from(x.Promoted)
	}
	t.own("; reviewed ").from(x.Reviewed).own(", again due ").from(x.ReviewBy).end()
	t.say("judged", x.JudgedFor)
	t.say("applies", x.Applies)
	t.conditions(x.When)
	if f := x.InForce; f != nil {
		t.item("in force").own("for jobs whose ").from(f.Date).own(" is ")
		if f.From != "" {
			t.own("on or after ").from(f.From)
		}
		if f.From != "" && f.Until != "" {
			t.own(" and ")
		}
		if f.Until != "" {
			t.own("on or before ").from(f.Until)
		}
		t.end()
	}
	t.all("replaces", x.Replaces)
	t.all("replaced by", x.ReplacedBy)
	t.say("hands over", x.HandsOverTo)
	t.all("beside it", x.Beside)
	t.say("address", x.Address)
}

func weight(x *explain.Limit) string {
	switch {
	case x.Promoted != "" && x.Blocking:
		return "blocking by the firm's policy"
	case x.Blocking:
		return "blocking"
	}
	return "advisory until the firm's policy promotes it"
}

// conditions writes when a limit applies, one part on each line.
func (t explainLines) conditions(all []explain.Condition) {
	if len(all) == 0 {
		return
	}
	t.item("when").own("all of this holds:").end()
	var below func(all []explain.Condition, lead string)
	below = func(all []explain.Condition, lead string) {
		for _, c := range all {
			t.own(lead, "- ").from(c.Text).end()
			below(c.Of, lead+"  ")
		}
	}
	below(all, "    ")
}

// source writes the document behind a limit or rule set.
func (t explainLines) source(e *explain.Explanation) {
	s := e.Source
	if s == nil {
		return
	}
	t.item("source").from(s.Title).own(", edition ").from(s.Edition).own(" (").from(s.Name).own(", ").from(s.Kind)
	if !s.Ships {
		t.own(", of this firm")
	}
	t.own(")").end()
	if s.SelectedBy != "" {
		t.item("edition by").from(s.SelectedBy).own(" of the job").end()
	}
	t.item("decision").from(s.Decision).own(": ").from(s.Decides).end()
	t.say("decided by", s.DecidedBy)
	t.say("address", s.Address)
}

// ruleSet writes what is said of a rule set, with its limits.
func (t explainLines) ruleSet(e *explain.Explanation) {
	x := e.RuleSet
	if x == nil {
		return
	}
	t.source(e)
	t.say("applies", x.Applies)
	t.each("required", "by the firm's map of regions:", x.Required)
	t.all("promotes", x.Promotes)
	for _, b := range x.Bands {
		t.item("band").from(b.Fact).own(" ± ").from(b.Band).own(" where a reading states none").end()
	}
	t.item("limits").own(plural(len(x.Limits), "limit:", "limits:")).end()
	for _, l := range x.Limits {
		t.own("    - ").from(l.Name).own("  ").from(l.Measure).own(" ").from(l.Within).own("  grade ").from(l.Grade)
		if l.Blocking {
			t.own(", blocking").end()
		} else {
			t.own(", advisory").end()
		}
	}
}
