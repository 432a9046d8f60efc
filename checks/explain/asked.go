package explain

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/register"
)

// ofLink says what the engine asks of a link by its kind.
func ofLink(l *fact.Leaf) []string {
	if l.Type != fact.Link {
		return nil
	}
	var out []string
	switch {
	case l.Target.List.IsEquipment() && inJob(l.Scope):
		out = append(out, "It says whose datasheet holds: its figures are used and its limits are judged; "+judge.DatasheetRead+" asks that it could be read.")
	case l.Target.List.IsRegister():
		out = append(out, "The firm's register must have the entry that it names.")
	}
	if l.ValidOn != nil {
		out = append(out, judge.ValidWhenUsed+" asks the firm's register whether the entry was good on the day.")
	}
	if l.RulesOn != nil {
		out = append(out, judge.Entitled+" asks the firm's register whether the person may rule on it.")
	}
	if l.Belongs {
		out = append(out, "It is one of the links that say what its entry belongs to.")
	}
	if s := stageAlong(l); s != "" {
		out = append(out, s)
	}
	return out
}

// leadsToProduct tells whether entries of a list name a product themselves.
func leadsToProduct(sc *fact.Scope) bool {
	return slices.ContainsFunc(sc.Leaves, func(l *fact.Leaf) bool { return l.Type == fact.Link && l.Target.List.IsEquipment() })
}

// stageAlong says that the stage of an entry is that of what it names: where this
// is its only link to a list whose entries have one.
func stageAlong(l *fact.Leaf) string {
	hasStage := func(sc *fact.Scope) bool {
		return slices.ContainsFunc(sc.Leaves, func(l *fact.Leaf) bool { return l.Stage })
	}
	if l.Many || hasStage(l.Scope) || !hasStage(l.Target) {
		return ""
	}
	for _, other := range l.Scope.Leaves {
		if other != l && other.Type == fact.Link && !other.Many && hasStage(other.Target) {
			return ""
		}
	}
	return "The stage of what it names says what is due of its entry."
}

// ofValue says what the engine asks of a value by the attributes of its field.
func ofValue(l *fact.Leaf) []string {
	var out []string
	add := func(yes bool, s string) {
		if yes {
			out = append(out, s)
		}
	}
	add(l.Unique, register.SerialUnique+" looks for the same value in every other job.")
	add(l.Form != nil, judge.SerialForm+" holds it to the form that the datasheet states.")
	add(l.Stage, "It says what is due, and from when on readings on site decide and no longer plans.")
	if l.After != nil {
		out = append(out, judge.DatesInOrder+" asks that it is not before "+l.After.Path+".")
	}
	add(l.Past, judge.DatesInOrder+" asks that it is not still to come.")
	return out
}

// forOthers says what a fact is for where the check is of another field: the day
// of a use, what is ruled on, the pattern of a serial number.
func (b *Book) forOthers(l *fact.Leaf) []string {
	var out []string
	add := func(s string) {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	for _, other := range b.Shape.Leaves {
		switch {
		case other.ValidOn == l:
			add(judge.ValidWhenUsed + " takes it as the day on which " + other.Path + " was used.")
		case other.RulesOn == l:
			add(judge.Entitled + " takes it as what " + other.Path + " rules on.")
		}
		switch {
		case other.After == l:
			add(judge.DatesInOrder + " asks that " + other.Path + " is not before it.")
		case other.Gone == l:
			add(register.SerialUnique + " counts " + other.Path + " until then only.")
		case other.Form != nil && other.Form.Leaf == l:
			add(judge.SerialForm + " holds " + other.Path + " to it.")
		}
	}
	if l.Calculation == nil {
		for _, m := range b.Shape.Leaves {
			if m.Calculation != nil && slices.ContainsFunc(b.testsOf(m.Calculation), func(path string) bool { w, err := b.Shape.Way(path); return err == nil && w.Leaf == l }) {
				add("It says what " + m.Path + " adds up.")
			}
		}
	}
	return out
}

// ofDate says what a date of the job decides: what is due by then, and which
// limits are in force.
func (b *Book) ofDate(l *fact.Leaf) []string {
	name, ok := strings.CutPrefix(l.Path, "dates.")
	m, known := fact.ParseMoment(name)
	if !ok || !known || l.Type != fact.Date {
		return nil
	}
	var out []string
	due, selects := 0, 0
	for _, d := range b.Shape.DueLeaves() {
		if d.Due.At == m {
			due++
		}
	}
	for _, s := range b.Sets {
		if s.Source.SelectedBy == name {
			selects++
		}
	}
	if due > 0 {
		out = append(out, sentence(counted(due, "fact is due by it", "facts are due by it")))
	}
	if selects > 0 {
		out = append(out, sentence(counted(selects, "source of limits goes", "sources of limits go")+" by it, with what of them is in force"))
	}
	if m == fact.AtPermit {
		out = append(out, judge.RuleSetsRequired+" asks by it which rule sets the firm's map requires.")
	}
	if s, isStage := fact.ParseStage(name); isStage && s >= fact.Delivered {
		out = append(out, judge.StageByDates+" holds the stage of the job to it.")
	}
	return out
}
