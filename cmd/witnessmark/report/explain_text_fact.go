package report

import "witnessmark.example/checks/explain"

// fact writes what is said of a field or measure.
func (t explainLines) fact(e *explain.Explanation) {
	x := e.Fact
	if x == nil {
		return
	}
	t.say("called", e.Label)
	t.say("why", e.Why)
	t.say("written", x.Written)
	t.say("unit", x.Unit)
	t.each("words", "one of these:", x.Words)
	t.say("pattern", x.Pattern)
	if x.Names != "" {
		t.item("names").own("an entry of ").from(x.Names)
		if x.Back != "" {
			t.own(", which leads back here as ").from(x.Back)
		}
		t.end()
	}
	if x.Least > 0 {
		t.item("at least").own(itoa(x.Least)).end()
	}
	if x.ValidOn != "" {
		t.item("valid").own("the entry must be good on the day in ").from(x.ValidOn).end()
	}
	if x.RulesOn != "" {
		t.item("rules on").own("the person must be allowed to rule on what ").from(x.RulesOn).own(" says").end()
	}
	if x.Unique {
		t.item("unique").own("a value stands in one place of the repository only").end()
	}
	if x.Private {
		t.item("private").own("left out when a report is redacted").end()
	}
	t.each("bound by", plural(len(x.BoundBy), "limit:", "limits:"), x.BoundBy)
	t.each("looked at", "to see whether or how far these apply:", x.ConditionOf)
	t.all("used by", x.UsedBy)
}

// calculation writes how a measure comes about.
func (t explainLines) calculation(e *explain.Explanation) {
	c := e.Calculation
	if c == nil {
		return
	}
	t.say("formula", c.Formula)
	t.say("valid", c.Validity)
	t.say("source", c.Source)
	for _, i := range c.Inputs {
		t.item("input")
		if i.Symbol != "" {
			t.from(i.Symbol).own(" = ")
		}
		t.input(i)
		if i.Over != "" {
			t.own(", tied by ").from(i.Over)
		}
		t.end()
	}
	for _, w := range c.Where {
		t.item("only where").from(w.Fact).own(" is one of: ")
		for n, word := range w.Words {
			if n > 0 {
				t.own(", ")
			}
			t.from(word)
		}
		t.end()
	}
	if c.Across {
		t.item("over").own("all jobs of the premises, after the last job was read").end()
	}
}

// input writes a fact with what people call it and its unit.
func (t explainLines) input(i explain.Input) {
	t.from(i.Fact)
	if i.Label != "" {
		t.own(" (").from(i.Label)
		if i.Unit != "" {
			t.own(", ").from(i.Unit)
		}
		t.own(")")
	}
}

// list writes what is said of a list, with its fields.
func (t explainLines) list(e *explain.Explanation) {
	x := e.List
	if x == nil {
		return
	}
	t.say("key", x.Key)
	t.say("stands in", x.Parent)
	t.all("lists", x.Lists)
	t.item("fields").own(plural(len(x.Fields), "field or measure:", "fields and measures:")).end()
	for _, f := range x.Fields {
		t.own("    - ")
		t.input(f)
		t.end()
	}
	t.each("limits", "judged once for each entry:", x.BoundBy)
}
