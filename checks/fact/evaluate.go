package fact

import (
	"errors"
	"slices"

	"witnessmark.example/checks/quantity"
)

// calculate works out calculated measures, inputs first: all of Shape.order, or
// some of it in that order.
func (f *Facts) calculate(mem *arena, order []*Leaf) {
	for _, l := range order {
		for _, in := range f.Entries[l.Scope.ID] {
			if in.Get(l).State != Absent {
				continue // given by hand, see Trial
			}
			if l.run.function != nil {
				f.evaluate(mem, l, in)
			} else {
				f.fold(mem, l, in)
			}
		}
	}
}

// evaluate calls the function of one measure for one entry. An optional input
// may be absent, and so may the link that leads to it; one that is written and
// cannot be read, or a link that names nothing, is never taken for that.
func (f *Facts) evaluate(mem *arena, l *Leaf, in *Instance) {
	r, out := l.run, in.Get(l)
	work := mem.working()
	work.Of, work.Leaf, work.Result = in, l, out
	args := mem.arguments(len(r.inputs))
	var lacks []Lack
	reason := ""
	for i := range r.inputs {
		v, of, leaf, broken := r.inputs[i].way.Value(in)
		if v == nil || broken || v.State != Known {
			if !r.function.Parameters[i].Optional || unreadable(v, broken) {
				lacks, reason = waits(lacks, reason, v, of, leaf)
			}
			work.Inputs = append(work.Inputs, WorkingInput{r.inputs[i].symbol, of, leaf, nil})
			continue
		}
		args[i] = argument(v, leaf)
		work.Inputs = append(work.Inputs, WorkingInput{r.inputs[i].symbol, of, leaf, v})
	}
	if len(lacks) > 0 || reason != "" {
		f.uncalculated(out, work, lacks, reason)
		return
	}
	q, err := r.function.Of(args, nil)
	if err != nil {
		lacks, reason = r.failed(err, in)
		f.uncalculated(out, work, lacks, reason)
		return
	}
	if q, err = r.banded(q, args); err != nil {
		f.uncalculated(out, work, nil, err.Error())
		return
	}
	f.known(out, q, work)
}

// failed tells what a function waits on, or why it gave no result.
func (r *run) failed(err error, in *Instance) ([]Lack, string) {
	var absent *quantity.Absent
	if !errors.As(err, &absent) {
		return nil, err.Error()
	}
	v, of, leaf, _ := r.inputs[absent.Input].way.Value(in)
	return waits(nil, "", v, of, leaf)
}

// unreadable tells whether something is written where the value, or an input it is
// calculated from, should be.
func unreadable(v *Value, broken bool) bool {
	switch {
	case v == nil:
		return false
	case v.State == Uncalculated:
		for _, l := range v.More.Lacks {
			if at := l.Of.Get(l.Leaf); at.State == Unreadable || at.State == Known {
				return true
			}
		}
		return false
	}
	return v.State == Unreadable || broken && v.State != Absent
}

// argument is a known value as a function takes it.
func argument(v *Value, l *Leaf) quantity.Argument {
	a := quantity.Argument{Known: true, Quantity: v.Quantity, Word: v.Text}
	if l.Type == Truth {
		a.Word = quantity.No
		if v.Truth {
			a.Word = quantity.Yes
		}
	}
	return a
}

// waits adds what an unknown value waits on: facts that are absent, or the
// reason why it could not be calculated though all of its inputs are there.
func waits(lacks []Lack, reason string, v *Value, of *Instance, leaf *Leaf) ([]Lack, string) {
	if v != nil && v.State == Uncalculated && len(v.More.Lacks) == 0 {
		return lacks, v.More.Reason
	}
	return append(lacks, LacksOf(v, of, leaf)...), reason
}

func (f *Facts) known(out *Value, q quantity.Quantity, work *Working) {
	out.State, out.Quantity = Known, q
	out.More = &work.more
	out.More.From = work
	f.Workings = append(f.Workings, work)
}

func (f *Facts) uncalculated(out *Value, work *Working, lacks []Lack, reason string) {
	out.State = Uncalculated
	work.more = More{Lacks: lacks, Reason: reason, Tried: work}
	out.More = &work.more
}

// LacksOf names what is absent behind a value that is not known: the value
// itself, or what its own calculation lacks.
func LacksOf(v *Value, of *Instance, leaf *Leaf) []Lack {
	if v != nil && v.State == Uncalculated && len(v.More.Lacks) > 0 {
		return v.More.Lacks
	}
	return []Lack{{of, leaf}}
}

// members lists the entries a term runs over for one entry, and what is absent
// where the list of them is not known. One whose link is not recorded keeps it
// from being known, unless the conditions leave it out wherever it belongs.
func (f *Facts) members(r *run, t *runTerm, in *Instance) ([]*Instance, *Lack) {
	if t.link == nil {
		if in.Parent == nil {
			return f.Entries[t.scope.ID], nil
		}
		return in.Children[t.scope.place], nil
	}
	if !t.toHere {
		v := in.Get(t.link)
		if v.State != Known {
			return nil, &Lack{in, t.link}
		}
		if !t.link.Many {
			return []*Instance{v.Target}, nil
		}
		out := make([]*Instance, 0, len(v.More.List))
		for i := range v.More.List {
			out = append(out, v.More.List[i].Target)
		}
		return out, nil
	}
	var out []*Instance
	for _, m := range f.Entries[t.scope.ID] {
		owner := t.owner(m)
		switch v := owner.Get(t.link); {
		case v.State != Known:
			if may, _ := r.holds(t.scope, m); may {
				return nil, &Lack{owner, t.link} // it may belong here
			}
		case v.Target == in:
			out = append(out, m)
		}
	}
	return out, nil
}

// owner is the entry whose link ties m to the one that has the sum.
func (t *runTerm) owner(m *Instance) *Instance {
	if t.above {
		return m.Parent
	}
	return m
}

// leftOut names the entries that a sum of sums would silently leave out: a stack
// that no unit lists adds nothing to any unit's energy, and so nothing to the
// energy on the premises.
func (f *Facts) leftOut(t *runTerm) []Lack {
	if t.leaf == nil || t.leaf.run == nil {
		return nil
	}
	var out []Lack
	for i := range t.leaf.run.terms {
		inner := &t.leaf.run.terms[i]
		if inner.link == nil || inner.toHere || inner.link.back < 0 {
			continue
		}
		for _, m := range f.Entries[inner.scope.ID] {
			if m.Backs[inner.link.back] == nil {
				out = append(out, Lack{m, inner.link})
			}
		}
	}
	return out
}

// holds tells whether an entry meets the conditions of a sum; missing names what
// keeps that from being known.
func (r *run) holds(sc *Scope, m *Instance) (belongs bool, missing []Lack) {
	for i := range r.where {
		w, words := r.where[i].ways[sc], r.where[i].words
		v, of, leaf, broken := w.Value(m)
		absent := v != nil && v.State == Absent
		switch {
		case v != nil && !broken && v.State == Known:
			if !slices.Contains(words, argument(v, leaf).Word) && words[0] != Recorded {
				return false, nil
			}
		case absent && !broken && slices.Contains(words, NotRecorded):
		case absent && slices.Contains(words, Recorded):
			return false, nil
		default:
			missing = append(missing, LacksOf(v, of, leaf)...)
		}
	}
	return true, missing
}
