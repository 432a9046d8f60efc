package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// unreadable is a wrong value of a field by its type.
func unreadable(l *fact.Leaf, text string, says, mend string) try {
	return wrong(l, text, "unreadable-value", []string{says}, []string{mend})
}

func dateTries(l *fact.Leaf) []try {
	out := []try{good(l, "2024-02-29"), good(l, "1999-12-31")}
	for _, bad := range []string{"2026-02-31", "2025-02-29", "2026-13-01", "2026-00-10", "11-03-2026", "03/11/2026", "11.3.2026", "2026-3-1", "20260311", "2026-03", "2026-03-11T09:00:00Z", "11 March 2026", "soon", "yes"} {
		out = append(out, unreadable(l, bad, fmt.Sprintf("takes a date, not %q", bad), "write year-month-day, for example 2026-03-11"))
	}
	return out
}

func countTries(l *fact.Leaf) []try {
	out := []try{good(l, fmt.Sprint(l.Least)), good(l, fmt.Sprint(l.Least+3))}
	for _, bad := range []string{"-1", "2.5", "2,5", "3 " + l.Unit, "3 m", "1e3", "1000001", "three", "~3", "3-4", "NaN"} {
		out = append(out, unreadable(l, bad, fmt.Sprintf("takes a whole number without a unit, not %q", bad), "write the number of "+l.Noun+" alone, in digits"))
	}
	for n := range l.Least {
		out = append(out, unreadable(l, fmt.Sprint(n), fmt.Sprintf("cannot be %d", n), fmt.Sprintf("write at least %d, or leave it out", l.Least)))
	}
	return out
}

func truthTries(l *fact.Leaf) (out []try) {
	for _, right := range []string{"true", "false", "yes", "no"} {
		out = append(out, good(l, right))
	}
	for _, bad := range []string{"maybe", "True", "NO", "on", "1", "0", "x", "ja", "unknown"} {
		out = append(out, unreadable(l, bad, fmt.Sprintf("takes true or false, not %q", bad), "write "+l.Name()+": true, or false"))
	}
	return out
}

// quantityTries write a number without its unit, with one of another kind, and
// with more than a number can be.
func quantityTries(l *fact.Leaf) []try {
	kind, other := l.Of.Kind(), "kg"
	if kind == quantity.Mass {
		other = "V"
	}
	takes := "takes " + article(kind.String()) + " in " + l.Unit + ": "
	if l.Unit == kind.String() { // a ratio
		takes = "takes " + article(kind.String()) + ": "
	}
	out := []try{good(l, rightValue(l))}
	if bare := unreadable(l, "22", takes, "write 22 "+l.Unit); kind == quantity.Ratio && l.Unit == "ratio" {
		out = append(out, good(l, "22"))
	} else {
		bare.says = append(bare.says, "no unit")
		out = append(out, bare)
	}
	if below := "-22 " + l.Unit; l.MayBeNegative() {
		out = append(out, good(l, below))
	} else {
		out = append(out, unreadable(l, below, "cannot be below zero, as "+below+" is", "write the amount without a minus"))
	}
	write := "write " + article(kind.String()) + " in " + l.Unit + ", for example " + rightValue(l)
	for _, b := range []struct{ text, says string }{
		{"22 " + other, "where " + article(kind.String()) + " is expected"},
		{"22 qxzq", `a unit that is not known, "qxzq"`},
		{"1e400 " + l.Unit, "absurd exponent"},
		{"1234567890123456789 " + l.Unit, "more than 18 digits"},
		{"NaN " + l.Unit, "not a finite number"},
		{"about 22 " + l.Unit, "does not start with a number"},
		{l.Unit, "does not start with a number"},
		{"22 " + l.Unit + " or so", fmt.Sprintf("not known, %q", l.Unit+" or so")},
		{"2-3 " + l.Unit, "more than one number"},
		{"many", "does not start with a number"},
	} {
		one := unreadable(l, b.text, takes, write)
		one.says = append(one.says, b.says)
		out = append(out, one)
	}
	return out
}

func article(word string) string {
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

// patternTries hold a field with a pattern to it: its example fits, so that the
// message can show how it is written.
func patternTries(l *fact.Leaf) []try {
	out := []try{good(l, rightValue(l))}
	for _, bad := range []string{"§ 4", l.Example + " ?", ".", "é"} {
		out = append(out, wrong(l, bad, "unreadable-value", []string{fmt.Sprintf("cannot be %q", bad)}, []string{"write it as in " + l.Example}))
	}
	return out
}

// linkTries name what is not there.
func linkTries(l *fact.Leaf) []try {
	key := keyOf(l.Target)
	typo := misspell(key, nil)
	near := fmt.Sprintf("; did you mean %q?", key)
	out := []try{good(l, rightValue(l))}
	switch {
	case l.Target.List.IsEquipment():
		const name = "name a product of the equipment folder with its revision"
		missing := func(text, says, mend string) try {
			return wrong(l, text, "no-equipment-data", []string{says}, []string{mend})
		}
		out = append(out, good(l, key), // not pinned: not recorded, which is no mistake of the file
			missing(typo+"@A", fmt.Sprintf("there is no equipment data for %q%s", typo, near), name),
			missing(typo, fmt.Sprintf("there is no equipment data for %q%s", typo, near), name),
			missing(key+"@C", fmt.Sprintf("the equipment data of %q has no revision %q; it has A", key, "C"), name),
			missing(key+"@broken", "is broken (see the problems of equipment/"+key+".cue)", "mend the equipment data"))
	case l.Target.List.IsRegister():
		register := strings.TrimPrefix(l.Target.List.Name, "register.")
		out = append(out, wrong(l, typo, "not-in-register", []string{fmt.Sprintf("there is no %q in the register of %s%s", typo, register, near)}, []string{"name an entry of the register, or add it there"}),
			wrong(l, "nobody", "not-in-register", []string{fmt.Sprintf("there is no \"nobody\" in the register of %s", register)}, []string{"name an entry of the register"}))
	default:
		out = append(out, wrong(l, typo, "no-such-entry", []string{fmt.Sprintf("there is no %q among the %s; did you mean ", typo, l.Target.List.Name), fmt.Sprintf("%q", key)}, []string{"name an entry that exists, or add it"}))
	}
	return out
}

// formTries write a list or a block where a single value belongs, and a single
// value where a list belongs. Nothing at all is no mistake, save where the job
// cannot be read without it.
func formTries(l *fact.Leaf) []try {
	single := "takes a single value, not a list or a block"
	if l.Type == fact.Quantity {
		single = "takes a number with its unit, not a list or a block"
	}
	form := func(text, says, mend string) try {
		return try{leaf: l, text: text, code: "unreadable-value", says: []string{l.Name() + " " + says}, mends: []string{mend}}
	}
	list := form("[1]", single, "write "+l.Name()+": ")
	block := form("{a: 1}", single, "write "+l.Name()+": ")
	if l.Many {
		list, block = form("[[1]]", single, "write "+l.Name()+": "), form("{a: 1}", "takes a list", "write it in brackets: "+l.Name()+": […]")
		list.offset = 1
	}
	if l.Planned >= 0 {
		block.code, block.offset = "unknown-field", 1
		block.says, block.mends = []string{`"a" is neither planned nor built`}, []string{"write " + l.Name() + ": {planned: …, built: …}"}
	}
	out := []try{list, block}
	if l.Many {
		out = append(out, form(scalar(rightValue(l)), "takes a list", "write it in brackets"), try{leaf: l, text: "[]"})
	}
	if l.Type != fact.Key && l.Path != "stage" {
		out = append(out, try{leaf: l, text: "null"}, try{leaf: l, text: "~"}, try{leaf: l})
	}
	return out
}

// triesOf are the tries of a field by its type. A field read on site is tried both
// as a plan and as built.
func triesOf(t *testing.T, l *fact.Leaf) (out []try) {
	t.Helper()
	switch l.Type {
	case fact.Word:
		out = []try{wordTries(l)[1]} // the others have a test of their own
	case fact.Key:
		out = []try{good(l, rightValue(l)), wrong(l, "a[1]", "unreadable-value", []string{"cannot "}, nil)}
	case fact.Date:
		out = dateTries(l)
	case fact.Count:
		out = countTries(l)
	case fact.Quantity:
		out = quantityTries(l)
	case fact.Truth:
		out = truthTries(l)
	case fact.Link:
		out = linkTries(l)
	case fact.Text:
		out = []try{good(l, rightValue(l))}
	default:
		require.Fail(t, "no bad value is known for the type of a field", "%s is a %s", l.Path, l.Type)
	}
	if l.Planned >= 0 {
		for _, one := range out {
			one.built = true
			out = append(out, one)
		}
	}
	return append(out, formTries(l)...)
}

// Every field of a job, whatever its type: each way to write it wrongly is one
// problem at its line and column, and what is right is none.
func TestEveryFieldWrittenWrongly(t *testing.T) {
	t.Parallel()
	c := shapeOf(t)
	all, keys, wrongly := map[*fact.Leaf][]try{}, map[*fact.Leaf][]try{}, map[string]bool{}
	for _, l := range writtenLeaves(c) {
		tries := triesOf(t, l)
		if l.Type == fact.Key { // by themselves, since links lead to them
			keys[l] = tries
		} else {
			all[l] = tries
		}
		for _, one := range tries {
			wrongly[l.Path] = wrongly[l.Path] || one.code != ""
		}
	}
	for _, f := range c.Shape.Fields { // counted by another way than the tries are made
		if f.Calculation == nil && !strings.HasPrefix(f.Path, "equipment.") && !strings.HasPrefix(f.Path, "register.") {
			assert.True(t, wrongly[f.Path], "%s was never written wrongly", f.Path)
			delete(wrongly, f.Path)
		}
	}
	assert.Empty(t, wrongly)
	assert.Empty(t, lintTries(t, withEverything(c), c, keys))
	broken := lintTries(t, withEverything(c), c, all)
	for _, p := range broken { // the broken revisions, each at its line, once
		assert.Equal(t, 7, p.At.Line, p.File)
		assert.Equal(t, "broken-definition", p.Code)
	}
	assert.Len(t, broken, 5)
}

// Where a firm keeps no register, what a job names of it is taken as it is.
func TestNoRegisterIsNoProblem(t *testing.T) {
	t.Parallel()
	c := shapeOf(t)
	f := withEverything(c)
	all := map[*fact.Leaf][]try{}
	for _, l := range c.RegisterLeaves() {
		all[l] = []try{good(l, "anybody")}
	}
	require.Greater(t, len(all), 10)
	delete(f, "registers/people.cue")
	delete(f, "registers/instruments.cue")
	assert.Empty(t, lintTries(t, f, c, all))
}

// Every field with a pattern, keys and names of products among them, refuses what
// does not fit and shows an example that does.
func TestEveryPatternNotMet(t *testing.T) {
	t.Parallel()
	c := shapeOf(t)
	all := map[*fact.Leaf][]try{}
	for _, l := range writtenLeaves(c) {
		if l.Pattern != "" && assert.NotEmpty(t, l.Example, "%s has a pattern and needs an example", l.Path) {
			assert.Regexp(t, `\A(?:`+l.Pattern+`)\z`, l.Example, l.Path)
			all[l] = patternTries(l)
		}
	}
	require.Greater(t, len(all), 20)
	for _, p := range lintTries(t, withEverything(c), c, all) {
		assert.Contains(t, p.Message, "@broken ", p.File)
	}
}
