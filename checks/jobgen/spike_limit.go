package jobgen

import (
	"fmt"

	"witnessmark.example/checks/limit"
)

// spikeLimit makes the n-th limit: its list and its form go round.
func spikeLimit(n int) limit.Limit {
	list, form := n%SpikeLists, n/SpikeLists
	l := limit.Limit{Name: fmt.Sprintf("limit-%03d", n), Measure: fieldName(list, firstSize+form%10), Unit: "mm", Clause: "1", Grade: limit.Document,
		Reviewed: "2026-11-01", ReviewBy: "2027-11-01", Why: "made up"}
	l.Within = band(fmt.Sprint(20+form), fmt.Sprint(400+form))
	switch form % 10 {
	case 0: // a band and nothing else
	case 1:
		l.When = []limit.Condition{word(fieldName(list, wordField), "oak", "elm")}
	case 2: // along the link, and the job itself
		l.When = []limit.Condition{word(fmt.Sprintf("%s.f%02d", fieldName(list, linkField), wordField), "ash", "elm"), word("site.w00", "oak", "larch")}
	case 3: // a bound taken from another fact
		l.Within = limit.Constraint{Op: limit.AtMost, Operand: &limit.Operand{Fact: fieldName(list, firstSize+1), Times: "1.5", Plus: "200"}}
	case 4: // a word
		l.Measure, l.Unit = fieldName(list, wordField), ""
		l.Within = words("oak", "ash", "elm")
	case 5:
		l.When = []limit.Condition{{Quantifier: "some", List: listName((list + 2) % (SpikeLists - 2)), Of: []limit.Condition{word(fieldName((list+2)%(SpikeLists-2), wordField), "oak")}}}
	case 6:
		l.When = []limit.Condition{{Quantifier: "every", List: listName((list + 3) % (SpikeLists - 2)), Of: []limit.Condition{truth(fieldName((list+3)%(SpikeLists-2), truthField))}}}
	case 7: // a calculated measure
		l.Measure, l.Unit = calcName(list, form%4), "kWh"
		l.Within = limit.Constraint{Op: limit.AtMost, Operand: &limit.Operand{Number: fmt.Sprint(30 + form)}}
	case 8: // a printed pair
		l.Unit, l.Within = "in", band("1", "16")
		l.Printed = &limit.Printed{Unit: "mm", Within: band("25", "400")}
	case 9: // one condition on a calculated measure
		l.When = []limit.Condition{{Fact: calcName(list, 0), Is: &limit.Constraint{Op: limit.Greater, Operand: &limit.Operand{Number: "10"}}}}
	}
	return l
}

func band(low, high string) limit.Constraint {
	return limit.Constraint{Op: limit.All, Args: []limit.Constraint{
		{Op: limit.AtLeast, Operand: &limit.Operand{Number: low}},
		{Op: limit.AtMost, Operand: &limit.Operand{Number: high}},
	}}
}

// words accepts one of several words.
func words(list ...string) limit.Constraint {
	any := limit.Constraint{Op: limit.Any}
	for _, w := range list {
		any.Args = append(any.Args, limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Text: w}})
	}
	return any
}

func word(path string, list ...string) limit.Condition {
	is := words(list...)
	return limit.Condition{Fact: path, Is: &is}
}

func truth(path string) limit.Condition {
	yes := true
	return limit.Condition{Fact: path, Is: &limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Truth: &yes}}}
}
