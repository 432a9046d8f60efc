package report

import (
	"sort"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// valueRow is one value of a job with everything that was judged of it.
type valueRow struct {
	slot
	outcomes []*judge.Outcome // the strictest first; none for a value that no limit judges
}

// valueRows puts together what was judged of each value, in the order in which it was
// judged.
func valueRows(r *judge.Result) []valueRow {
	var out []valueRow
	at := map[slot]int{}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		key := slot{o.Of, o.Leaf}
		n, ok := at[key]
		if !ok {
			n = len(out)
			at[key] = n
			out = append(out, valueRow{slot: key})
		}
		out[n].outcomes = append(out[n].outcomes, o)
	}
	for i := range out {
		all := out[i].outcomes
		sort.SliceStable(all, func(i, k int) bool { return rowsBefore(all[i], all[k]) })
	}
	return out
}

// unjudgedRows are the values that are recorded or calculated and that nothing judges,
// in the order of the lists. What judged says of a value does not matter here.
func unjudgedRows(r *judge.Result, judged []valueRow) []valueRow {
	known := make(map[slot]bool, len(judged))
	for i := range judged {
		known[judged[i].slot] = true
	}
	var out []valueRow
	for _, entries := range r.Facts.Entries {
		for _, in := range entries {
			if in.Scope.List.IsElsewhere() {
				continue
			}
			for _, l := range in.Scope.Leaves {
				key := slot{in, l}
				if v := in.Get(l); v.State == fact.Known && l.Type != fact.Key && !known[key] {
					out = append(out, valueRow{slot: key})
				}
			}
		}
	}
	return out
}

// rowsBefore puts what decides first: by outcome in the order in which outcomes are
// counted, then as decidesBefore does.
func rowsBefore(a, b *judge.Outcome) bool {
	if x, y := rank[a.Kind], rank[b.Kind]; x != y {
		return x < y
	}
	if (a.Limit == nil) != (b.Limit == nil) {
		return b.Limit == nil // limits before built-in checks
	}
	return decidesBefore(a, b)
}

// rank is the place of an outcome among those of one value: what somebody has to look
// at first, what does not apply last.
var rank = func() [judge.Accepted + 1]int {
	var out [judge.Accepted + 1]int
	for i, k := range []judge.Kind{judge.Outside, judge.TooClose, judge.Missing, judge.NotChecked, judge.Accepted, judge.Within, judge.NotDue, judge.NotApplicable} {
		out[k] = i
	}
	return out
}()

// kind is the outcome of the value as a whole; zero where nothing judges it.
func (v *valueRow) kind() judge.Kind {
	if len(v.outcomes) == 0 {
		return 0
	}
	return v.outcomes[0].Kind
}

// decisive is the outcome of the limit that decides: the first that compared the value
// with a limit, else nil.
func (v *valueRow) decisive() *judge.Outcome {
	for _, o := range v.outcomes {
		if o.Limit != nil && compared(o.Kind) {
			return o
		}
	}
	return nil
}
