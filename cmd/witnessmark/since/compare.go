// Package since compares two judgements of one repository: of the commit where a
// branch began, the base, and of the files as they lie, the head. It says of each
// finding whether it is new or was known in the base, and what became of those that
// stand no more.
package since

import (
	"cmp"
	"math"
	"slices"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// State is what the comparison says of a finding. The zero value says nothing.
type State string

// The states. Only Fixed is good news: what is Gone was not judged again.
const (
	New   State = "new"   // in the head only, or there for another reason or farther outside
	Known State = "known" // in base and head
	Fixed State = "fixed" // in the base only, and judged well in the head
	Gone  State = "gone"  // in the base only, and not judged any more
)

// Finding is one outcome as the comparison knows it: of a limit or built-in check for
// one value of one job, of several jobs, or a problem.
type Finding struct {
	Name     string     // of the limit or built-in check; "problem/CODE" of a problem
	Fact     string     // address of the value; of a sum with its premises, of a problem its message
	Kind     judge.Kind // zero for a problem
	Blocking bool
	Value    string  // as written, or calculated with its unit; empty where none is known
	Room     float64 // to the bound in base units, negative outside; NaN where there is none

	File  string          // of the head where the finding is in it, else of the base
	Job   string          // number of the job; empty across jobs
	About string          // what people call the value
	Of    string          // across jobs: the premises of a sum, else the file, by its name in the base
	Sum   string          // of a sum over premises: its measure
	id    checks.Identity // where private values are left out of what is above
	leaf  *fact.Leaf      // of the value; nil of a problem and of a check across jobs
}

// key is what a problem is known by within one run.
func (f *Finding) key() Finding { return Finding{Name: f.Name, Fact: f.Fact, File: f.File} }

// worseFirst orders by how far outside the value is.
func (f *Finding) worseFirst(o *Finding) int { return cmp.Compare(f.Room, o.Room) }

// IsFinding tells whether somebody has to look at it: an accepted deviation and what
// waits on a later stage are compared too, but are no findings.
func (f *Finding) IsFinding() bool { return f.Kind == 0 || f.Kind.IsFinding() }

// Verdict is what the comparison says of a finding of the head.
type Verdict struct {
	State State
	Was   *Finding // the same in the base where it came out otherwise there or with another value; else nil
}

// subject is what a finding is about. Where it stands is no part of it.
type subject struct {
	name, fact string
	id         uint64 // in place of fact, where private values are left out of it
}

func subjectOf(name, fact string, id checks.Identity) subject {
	if id.Fact != 0 {
		return subject{name: name, id: id.Fact}
	}
	return subject{name: name, fact: fact}
}

func (f *Finding) subject() subject {
	s := subjectOf(f.Name, f.Fact, f.id)
	if s.id != 0 && f.Sum == "" {
		s.fact = f.Of // the file, which may have another name by now
	}
	return s
}

// sameValue tells whether two have the same value, also where it is left out.
func (f *Finding) sameValue(o *Finding) bool {
	return f.Value == o.Value && (f.Value == "" || f.id.Value == o.id.Value)
}

// Compare compares the findings of one job, or of what runs across jobs. There is one
// verdict for each of head; left are those of base without a counterpart. Of several
// findings about the same subject each takes one of base: the one that came out alike
// with the same value before one that came out alike, and that before any other, the
// worst with the worst. So what there is more of is new, in whatever order they stand.
func Compare(base, head []*Finding) (verdicts []Verdict, left []*Finding) {
	verdicts = make([]Verdict, len(head))
	by := map[subject][]*Finding{}
	for _, b := range base {
		key := b.subject()
		by[key] = append(by[key], b)
	}
	for _, group := range by {
		slices.SortStableFunc(group, (*Finding).worseFirst)
	}
	order := make([]int, len(head))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return head[i].worseFirst(head[k]) })
	taken := map[*Finding]bool{}
	for _, alike := range []func(b, h *Finding) bool{
		func(b, h *Finding) bool { return b.Kind == h.Kind && b.sameValue(h) },
		func(b, h *Finding) bool { return b.Kind == h.Kind },
		func(b, h *Finding) bool { return true },
	} {
		for _, i := range order {
			h := head[i]
			if verdicts[i].State != "" {
				continue
			}
			for _, b := range by[h.subject()] {
				if !taken[b] && alike(b, h) {
					taken[b] = true
					verdicts[i] = judged(b, h)
					break
				}
			}
		}
	}
	for i := range verdicts {
		if verdicts[i].State == "" {
			verdicts[i].State = New
		}
	}
	for _, b := range base {
		if !taken[b] {
			left = append(left, b)
		}
	}
	return verdicts, left
}

// judged compares two findings about the same subject. One that came out otherwise is
// new: that a value was missing says nothing of its being outside. So is another value
// that is farther outside, or that is no number, and what was advisory and blocks now; a
// value nearer to the limit, or the
// same value with a limit that moved, is known.
func judged(b, h *Finding) Verdict {
	switch {
	case b.Kind != h.Kind || h.Blocking && !b.Blocking:
		return Verdict{New, b}
	case b.sameValue(h):
		return Verdict{State: Known}
	case farther(b.Room, h.Room):
		return Verdict{New, b}
	}
	return Verdict{Known, b}
}

// farther tells whether the room became less, beyond rounding, or is not a number.
func farther(base, head float64) bool {
	const rounding = 1e-9
	return !(head >= base-rounding*math.Max(math.Abs(base), math.Abs(head)))
}
