package judge

import (
	"fmt"
	"regexp"

	"witnessmark.example/checks/fact"
)

// SerialForm is the built-in check that a serial number has the form that the
// datasheet states: one that has not was read wrong, or belongs to something else.
const SerialForm = "record#serial-form"

// serialForm matches values with the patterns of datasheets. A datasheet that
// states none asks nothing; a pattern that is none is a problem of the equipment
// data.
func (j *Judge) serialForm(facts *fact.Facts) {
	for _, l := range facts.Shape.FormedLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			v := in.Get(l)
			if v.State != fact.Known {
				continue
			}
			pattern, of, _, broken := l.Form.Value(in)
			if broken || pattern.State != fact.Known {
				continue
			}
			re := j.pattern(pattern.Text)
			if re == nil || re.MatchString(v.Text) {
				continue
			}
			j.result.Outcomes = append(j.result.Outcomes, Outcome{Kind: Outside, Check: SerialForm, Blocking: true, Of: in, Leaf: l, Value: v,
				Reason: fmt.Sprintf("%q has not the form that %s states, %s", v.Text, of.Key, pattern.Text)})
		}
	}
}

// pattern compiles a pattern once.
func (j *Judge) pattern(text string) *regexp.Regexp {
	re, ok := j.patterns[text]
	if !ok {
		re, _ = regexp.Compile(`\A(?:` + text + `)\z`)
		j.patterns[text] = re
	}
	return re
}
