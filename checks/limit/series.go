package limit

import (
	"math"
	"slices"

	"witnessmark.example/checks/fact"
)

// Row is a limit as a row of a printed table: it applies for one range of one
// number, beside conditions that all rows share.
type Row struct {
	Limit     *Compiled
	Fact      string  // the number, as the condition names it: "stacks.voltage_high"
	Asked     string  // its range in words: "> 150 V and <= 600 V"
	Low, High float64 // its range in base units; infinite where it is open

	highIn, lowIn, whole bool
}

// Series gathers limits that are rows of one table, in the order given: they
// bound one measure from the same side, in force on the same days, and their
// conditions mean the same but for the range of one number. A limit whose range
// is not one piece, or depends on facts, belongs to none.
func Series(limits []*Compiled) [][]Row {
	var tables []table
	for _, l := range limits {
		for i := range l.when {
			row, ok := l.row(i)
			if !ok {
				continue
			}
			one := table{[]Row{row}, slices.Delete(slices.Clone(l.when), i, i+1)}
			if at := slices.IndexFunc(tables, one.same); at >= 0 {
				tables[at].rows = append(tables[at].rows, row)
			} else {
				tables = append(tables, one)
			}
		}
	}
	var out [][]Row
	for _, t := range tables {
		if len(t.rows) > 1 {
			out = append(out, t.rows)
		}
	}
	return out
}

// table is rows with the conditions that they share.
type table struct {
	rows []Row
	rest []condition
}

func (t table) same(o table) bool {
	x, y := t.rows[0].Limit, o.rows[0].Limit
	return t.rows[0].Fact == o.rows[0].Fact && x.Way.Text == y.Way.Text && x.From == y.From && x.Until == y.Until &&
		slices.Equal(x.within.sides(), y.within.sides()) && impliedAll(t.rest, o.rest) && impliedAll(o.rest, t.rest)
}

// row reads the i-th condition as the range of a number that no other condition
// speaks of.
func (l *Compiled) row(i int) (Row, bool) {
	k := &l.when[i]
	if k.list != nil || k.way.Leaf.Type != fact.Quantity && k.way.Leaf.Type != fact.Count || k.way.Leaf.Many || k.is.refers() {
		return Row{}, false
	}
	r := Row{Limit: l, Fact: k.way.Text, Asked: k.is.describe(), Low: math.Inf(-1), High: math.Inf(1), lowIn: true, highIn: true, whole: k.way.Leaf.Type == fact.Count}
	for _, p := range parts([]*predicate{&k.is}) {
		switch b := p.bound.Base(); p.op {
		case AtLeast, Greater:
			if b >= r.Low {
				r.Low, r.lowIn = b, p.op == AtLeast
			}
		case AtMost, Less:
			if b <= r.High {
				r.High, r.highIn = b, p.op == AtMost
			}
		case Equals:
			r.Low, r.High = b, b
		default:
			return Row{}, false
		}
	}
	return r, true
}

// LeavesHole tells whether values lie between the end of a row and the beginning
// of the next that belong to neither. Ends within 1e-9 of each other meet.
func (r Row) LeavesHole(next Row) bool {
	if math.IsInf(r.High, 0) || math.IsInf(next.Low, 0) {
		return false
	}
	high, low := r.High, next.Low
	if r.whole { // the last whole number of one, the first of the other
		if high = math.Floor(high); !r.highIn && high == r.High {
			high--
		}
		if low = math.Ceil(low); !next.lowIn && low == next.Low {
			low++
		}
		return low > high+1
	}
	if math.Abs(low-high) <= 1e-9*math.Max(math.Abs(low), math.Abs(high)) {
		return !r.highIn && !next.lowIn
	}
	return low > high
}

// Reaches tells whether a row ends behind another one.
func (r Row) Reaches(o Row) bool { return r.High > o.High || r.High == o.High && r.highIn && !o.highIn }
