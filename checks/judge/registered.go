package judge

import (
	"fmt"
	"slices"

	"witnessmark.example/checks/fact"
)

// The built-in checks of entries of registers.
const (
	ValidWhenUsed = "record#valid-when-used" // an instrument was in calibration, a licence in force, on the day it was used
	Entitled      = "record#entitled"        // who passed a gate or signed may rule on that
)

// registered holds every use of an instrument or a person to what the firm's
// register says of it.
func (j *Judge) registered(facts *fact.Facts) {
	for _, l := range facts.Shape.RegisterLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			v := in.Get(l)
			if v.State != fact.Known || v.Target == nil {
				continue
			}
			j.validWhenUsed(in, l, v)
			j.entitled(in, l, v)
		}
	}
}

// validWhenUsed compares the times in which the entry was good with the day it
// was used. A day that is not recorded is missing by itself once it is due.
func (j *Judge) validWhenUsed(in *fact.Instance, l *fact.Leaf, v *fact.Value) {
	if l.ValidOn == nil {
		return
	}
	day := in.Get(l.ValidOn)
	if day.State != fact.Known || v.Target.ValidOn(day.Day) {
		return
	}
	j.result.Outcomes = append(j.result.Outcomes, Outcome{Kind: Outside, Check: ValidWhenUsed, Blocking: true, Of: in, Leaf: l, Value: v,
		Reason: fmt.Sprintf("%s is used on %s, but by the register (%s) it was good %s", v.Text, day.Day, placeOf(v.Target), spans(v.Target))})
}

// entitled asks whether the person may rule on what is ruled on here.
func (j *Judge) entitled(in *fact.Instance, l *fact.Leaf, v *fact.Value) {
	if l.RulesOn == nil {
		return
	}
	on := in.Get(l.RulesOn)
	if on.State != fact.Known || MayRuleOn(v.Target, on.Text) {
		return
	}
	j.result.Outcomes = append(j.result.Outcomes, Outcome{Kind: Outside, Check: Entitled, Blocking: true, Of: in, Leaf: l, Value: v,
		Reason: fmt.Sprintf("by the register (%s) %s may not rule on %s", placeOf(v.Target), v.Text, on.Text)})
}

// MayRuleOn tells whether an entry of the register of people says that the person
// may rule on something.
func MayRuleOn(person *fact.Instance, what string) bool {
	for _, l := range person.Scope.Leaves {
		if l.Name() != "may_rule_on" {
			continue
		}
		v := person.Get(l)
		return v.State == fact.Known && v.More != nil && slices.ContainsFunc(v.More.List, func(one fact.Value) bool { return one.Text == what })
	}
	return false
}

func placeOf(in *fact.Instance) string {
	return fact.Origin{File: in.File, Line: in.At.Line}.String()
}

// spans says in words when an entry was good.
func spans(in *fact.Instance) string {
	out := ""
	for _, s := range in.Valid {
		if out != "" {
			out += ", "
		}
		switch {
		case s.From == fact.NoDay:
			out += "until " + s.Until.String()
		case s.Until == fact.NoDay:
			out += "from " + s.From.String()
		default:
			out += "from " + s.From.String() + " to " + s.Until.String()
		}
	}
	return out
}
