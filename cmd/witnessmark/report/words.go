package report

import (
	"strconv"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// reachesOver is the note on a value that a simple decision accepts as written.
const reachesOver = "decided as written; its uncertainty reaches over the limit"

// spoken is the outcome in the words of the text report.
func spoken(k judge.Kind) string {
	switch k {
	case judge.TooClose:
		return "too close to call"
	case judge.NotChecked:
		return "not checked"
	case judge.NotDue:
		return "not due"
	case judge.NotApplicable:
		return "not applicable"
	}
	return k.String()
}

// compared tells whether a value was compared with a limit.
func compared(k judge.Kind) bool {
	return k == judge.Within || k == judge.Outside || k == judge.TooClose || k == judge.Accepted
}

// outsideOf tells on which side of the limit the value lies. A value on a bound
// that must not be reached has no distance to it and is outside all the same.
func outsideOf(o *judge.Outcome) bool { return o.Kind == judge.Outside || o.Signed < 0 }

// clearSoFar is the state of a gate before which nothing is open of what the job
// says by itself; what runs across files is judged after the last job.
const clearSoFar = "clear so far"

// gateState is the state of a gate in one phrase.
func gateState(g *judge.Gate) string {
	switch {
	case g.Passed && len(g.Open) > 0:
		return "passed with open points"
	case g.Passed:
		return "passed"
	case len(g.Open) > 0:
		return "open"
	}
	return clearSoFar
}

// planBeside returns the planned value where it says something else than the
// value that was judged, else nil.
func planBeside(o *judge.Outcome) *fact.Value {
	if o.Of.Scope != o.Leaf.Scope {
		return nil
	}
	plan := o.Of.PlannedValue(o.Leaf)
	if plan == nil || plan.State == fact.Absent || plan.Written == "" {
		return nil
	}
	if o.Kind != judge.Missing && o.Value != nil && o.Value.Written == plan.Written {
		return nil
	}
	return plan
}

// positionOf is where to look for the value of an outcome: the value itself, the
// block where it belongs, or the entry that has it.
func positionOf(r *judge.Result, o *judge.Outcome) jobfile.Position {
	if v := o.Value; v != nil && v.At.Line > 0 && o.Kind != judge.Missing && !o.Of.Scope.List.IsElsewhere() {
		return v.At
	}
	return placeOf(r, o.Of, o.Leaf)
}

// placeOf is where an absent or calculated value of the job belongs.
func placeOf(r *judge.Result, in *fact.Instance, l *fact.Leaf) jobfile.Position {
	if l != nil && in.Scope == l.Scope && in.Node != nil {
		if at, _ := in.BlockOf(l); at.Line > 0 {
			return at
		}
	}
	for ; in != nil; in = in.Parent {
		if in.At.Line > 0 {
			return in.At
		}
	}
	return r.Facts.Root.At
}

// label is what people call a value.
func label(l *fact.Leaf) string {
	if s := l.Label.In("en"); s != "" {
		return s
	}
	return l.Path
}

// dueWords says when something is due: "due energise", "due 30 days after handed-over".
func dueWords(d fact.Due) string {
	if d.Days == 0 {
		return "due " + d.At.String()
	}
	return "due " + plural(d.Days, "day", "days") + " after " + d.At.String()
}

// gradeWords says how a limit is known.
func gradeWords(g limit.Grade) string {
	switch g {
	case limit.Document:
		return "its own text was read"
	case limit.Copy:
		return "an unofficial copy of its text was read"
	case limit.Official:
		return "an authority restates it"
	case limit.Secondary:
		return "known from someone's account of it"
	case limit.Memory:
		return "recalled, not read"
	case limit.Custom:
		return "common practice of the trade"
	}
	return "how it is known is not stated"
}

// blockingWords tells whether a limit decides by itself.
func blockingWords(l *limit.Planned) string {
	switch {
	case l.Blocking && !l.Grade.Blocks():
		return "blocking by the firm's policy"
	case l.Blocking:
		return "blocking"
	}
	return "advisory"
}

// plural writes a number with the word for what is counted.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
