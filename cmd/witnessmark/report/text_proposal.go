package report

import (
	"strconv"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/propose"
	"witnessmark.example/checks/quantity"
)

// proposals writes with which other values the findings on one value would go away,
// and where none of several is enough, which were tried.
func (w *jobWriter) proposals(group []*judge.Outcome) {
	var without []*propose.Proposal
	found := false
	for i := range w.job.Proposals {
		p := &w.job.Proposals[i]
		switch {
		case !w.mends(p, group):
		case len(p.Values) > 0:
			w.proposal(p)
			found = true
		default:
			without = append(without, p)
		}
	}
	if found || len(without) == 0 {
		return
	}
	w.item("would pass").own("none of the values that were tried, each by itself: ")
	for i, p := range without {
		if i > 0 {
			w.own(", ")
		}
		w.own(strconv.Itoa(p.Tried), " of ").from(p.Of.AddressOf(p.Leaf))
	}
	w.end()
}

// mends tells whether the proposal is about one of these outcomes.
func (w *jobWriter) mends(p *propose.Proposal, group []*judge.Outcome) bool {
	for _, i := range p.Mends {
		for _, o := range group {
			if o == &w.job.Result.Outcomes[i] {
				return true
			}
		}
	}
	return false
}

func (w *jobWriter) proposal(p *propose.Proposal) {
	w.item("would pass").subject(p.Of, p.Leaf)
	for i, in := range p.With {
		if i == len(p.With)-1 {
			w.own(" and ")
		} else {
			w.own(", ")
		}
		w.subject(in, p.Leaf)
	}
	w.own(": ").from(runsOf(p.Values, p.Leaf))
	if len(p.With) > 0 {
		w.own(" in each of them, all the same number")
	}
	if p.Leaf.Type == fact.Count {
		w.own("; every count up to ", strconv.Itoa(p.Tried), " was judged anew")
	} else {
		w.own(", the smallest of a standard series; each was judged anew")
	}
	if n := len(p.Open); n > 0 {
		w.own(", but ", countNoun(n, "limit on it", "limits on it"), " cannot be checked either way")
	}
	w.end()
}

func countNoun(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// runsOf writes values; counts that follow each other as "6 to 9 modules".
func runsOf(values []quantity.Quantity, l *fact.Leaf) string {
	if l.Type != fact.Count {
		return values[0].String()
	}
	text := ""
	for i := 0; i < len(values); {
		k := i
		for k+1 < len(values) && values[k+1].Base() == values[k].Base()+1 {
			k++
		}
		if text != "" {
			text += ", "
		}
		text += strconv.Itoa(int(values[i].Base()))
		if k > i {
			text += " to " + strconv.Itoa(int(values[k].Base()))
		}
		i = k + 1
	}
	return fact.CountOf(text, l.Noun)
}

// appendProposals writes them as JSON: the fact, the values with which the
// findings on it would go away, and which findings those are.
func appendProposals(b []byte, r *judge.Result, all []propose.Proposal) []byte {
	b = append(b, `,"proposals":[`...)
	for i := range all {
		p := &all[i]
		b = appendFact(append(comma(b, i), `{"fact":`...), p.Of, p.Leaf)
		if len(p.With) > 0 {
			b = append(b, `,"together_with":[`...)
			for k, in := range p.With {
				b = appendFact(comma(b, k), in, p.Leaf)
			}
			b = append(b, ']')
		}
		b = append(b, `,"values":[`...)
		for k := range p.Values {
			b = AppendJSON(comma(b, k), p.Values[k].String())
		}
		b = append(b, `],"mends":[`...)
		for k, m := range p.Mends {
			o := &r.Outcomes[m]
			b = AppendJSON(append(comma(b, k), `{"limit":`...), o.Name())
			b = append(appendFact(append(b, `,"fact":`...), o.Of, o.Leaf), '}')
		}
		b = appendNumber(append(b, ']'), "tried", p.Tried)
		b = append(b, `,"not_checked":[`...)
		for k, name := range p.Open {
			b = AppendJSON(comma(b, k), name)
		}
		b = append(b, `]}`...)
	}
	return append(b, ']')
}
