package explain

import (
	"witnessmark.example/checks/fact"
)

// moment is what is said of one word of the time line.
type moment struct{ what, why string }

// momentTable explains the stages, gates and events, by their words.
func momentTable() map[string]moment {
	const stage = "A stage is a fact about the site and is never forbidden; what is due by it is demanded once it is reached."
	const gate = "A gate is not written but worked out: what is still open before it is listed, whoever passes it."
	const event = "An event has a date of its own; what is due by it is demanded once the stage lies beyond it, or its date is reached."
	return map[string]moment{
		"surveyed":    {"Stage: somebody has been there and has seen the place.", stage},
		"designed":    {"Stage: the design is finished; what is written plainly is the plan.", stage},
		"contract":    {"Event: the contract is signed.", event},
		"permit":      {"Event: the permit is applied for. Its day usually fixes which edition of a code applies.", event},
		"delivered":   {"Stage: the equipment is on site.", stage},
		"start-work":  {"Gate: before work on site begins.", gate},
		"installed":   {"Stage: everything is in place and nothing is live. From here on readings on site decide and no longer the plan.", stage},
		"energise":    {"Gate: before anything is made live.", gate},
		"energised":   {"Stage: the installation is live for the first time.", stage},
		"hand-over":   {"Gate: before the owner takes over.", gate},
		"handed-over": {"Stage: the owner has it, and the papers with it.", stage},
		"completed":   {"Event: the authority or the supplier has confirmed completion.", event},
		"in-service":  {"Stage: the installation runs and is looked after. It is judged by what it was handed over under.", stage},
	}
}

// momentNames lists the words in the order of the time line.
func momentNames() []string { return fact.MomentNames() }

// moments explains a stage, gate or event, with what falls due then; nothing for
// another word.
func (b *Book) moments(name string) []*Explanation {
	m, ok := fact.ParseMoment(name)
	said, known := momentTable()[name]
	if !ok || !known || m == fact.Never {
		return nil
	}
	e := &Explanation{Kind: momentKind(m), Name: name, What: said.what, Why: said.why, Word: &Word{Shown: name}}
	for _, l := range b.Shape.DueLeaves() {
		gate, before := l.Due.At.Gate()
		if l.Due.At == m || m.IsGate() && before && gate == m {
			e.Word.Facts = append(e.Word.Facts, l.Path)
		}
	}
	e.Due = &Due{At: name, Text: name}
	if g, ok := m.Gate(); ok && !m.IsGate() {
		e.Due.Gate = g.String()
		e.Due.Text += "; what is due then is open before the gate " + e.Due.Gate
	} else if m.IsGate() {
		e.Due.Text = "what is listed here must be settled before it"
	}
	switch {
	case e.Kind == OfStage:
		e.Examples = append(e.Examples, Example{Title: "as the stage of a job", Text: "stage: " + name + "\n", Language: "yaml"})
		fallthrough
	default:
		if l := b.Shape.Leaf("dates." + name); l != nil {
			e.Examples = append(e.Examples, b.fieldExample("its day", l, sample(l)))
		}
		if l := b.Shape.Leaf("gates.gate"); m.IsGate() && l != nil {
			e.Examples = append(e.Examples, b.fieldExample("as a gate that was passed", l, name))
		}
	}
	return []*Explanation{e}
}

func momentKind(m fact.Moment) Kind {
	if m.IsGate() {
		return OfGate
	}
	if _, ok := fact.ParseStage(m.String()); ok {
		return OfStage
	}
	return OfEvent
}
