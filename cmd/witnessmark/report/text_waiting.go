package report

import "witnessmark.example/checks/limit"

// waitingLimit is a limit that could not be judged for one value.
type waitingLimit struct {
	limit  *limit.Planned
	second bool
	fact   string
}

// waiting lists limits that could not be judged, in one block for each source with
// who decides below it. Each limit stands there once. The values it would have
// judged are named where they are not the one that the finding is about.
func (t *lines) waiting(all []waitingLimit, about string) {
	var sources []*limit.Source
	bySource := map[*limit.Source][]string{} // names of limits, in the order found
	byLimit := map[string][]waitingLimit{}
	for _, one := range all {
		source, name := one.limit.Source, one.limit.FullName
		if bySource[source] == nil {
			sources = append(sources, source)
		}
		if byLimit[name] == nil {
			bySource[source] = append(bySource[source], name)
		}
		byLimit[name] = append(byLimit[name], one)
	}
	for _, source := range sources {
		var advisory []*limit.Planned
		for _, name := range bySource[source] {
			if l := byLimit[name][0].limit; !l.Blocking {
				advisory = append(advisory, l)
				continue
			}
			t.waitingLine(byLimit[name], about)
		}
		switch {
		case len(advisory) == 1:
			t.waitingLine(byLimit[advisory[0].FullName], about)
		case len(advisory) > 1:
			t.advisoryLine(source, advisory)
		}
		if source.Kind != limit.Practice {
			t.item("decided by").from(source.DecidedBy).end()
		}
	}
}

// advisoryLine names the advisory limits of one source that wait on the same fact
// in one line; what each says is for whoever asks (witnessmark explain).
func (t *lines) advisoryLine(source *limit.Source, all []*limit.Planned) {
	t.item("waiting").own(plural(len(all), "advisory limit", "advisory limits"), " of ").from(source.Name)
	for i, l := range all {
		if i == 0 {
			t.own(": ")
		} else {
			t.own(", ")
		}
		t.from(l.Name)
	}
	t.end()
}

func (t *lines) waitingLine(group []waitingLimit, about string) {
	l := group[0].limit
	t.item("waiting").from(l.FullName).own(": ").from(l.Describe(group[0].second)).own("; grade ", string(l.Grade), ", ", blockingWords(l))
	var facts []string
	for _, one := range group {
		facts = appendNew(facts, one.fact)
	}
	if len(facts) > 1 || facts[0] != about {
		t.own("; for ").from(facts[0])
		if n := len(facts) - 1; n > 0 {
			t.own(" and ", plural(n, "other value", "other values"))
		}
	}
	t.end()
}
