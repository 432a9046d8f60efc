package report

import (
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/since"
)

// outcome adds a test case for an outcome. What failed in the base already does not fail
// again, as it does not count for the exit status; it is skipped and no pass.
func (s *suite) outcome(name string, k judge.Kind, blocking bool, text string, v since.Verdict) {
	result := junitResult(k)
	switch {
	case result == junitFailure && v.State == since.Known:
		result, text = junitSkipped, "known since the base: "+text
	case result == junitFailure && v.State == since.New:
		text = "new, " + text
	}
	if was := inBaseText(v); was != "" {
		text += "\nin the base: " + was
	}
	s.add(name, result, junitKind(k, blocking), text)
}

// sinceSuite tells what the base had and the run has no more: what is fixed is a test
// that passes, what is gone was not judged again and is skipped.
func sinceSuite(c *since.Comparison) suite {
	out := suite{name: "since the base", class: "since the base", names: map[string]int{}}
	if c == nil {
		return out
	}
	out.add("compared with the base", junitSkipped, "", sentenceCase(sinceSentence(c))+".")
	for _, n := range c.Notes {
		out.add("not compared: "+n, junitSkipped, "", n)
	}
	for _, o := range leftOf(c) {
		name := string(o.State) + " " + o.Name + " " + o.File + "#" + o.Fact
		if o.State == since.Fixed {
			out.add(name, junitPass, "", "")
		} else {
			out.add(name, junitSkipped, "", string(o.State)+": "+o.Text)
		}
	}
	return out
}
