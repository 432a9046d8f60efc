package fact

import (
	"errors"
	"slices"

	"witnessmark.example/checks/quantity"
)

// calculate works out every calculated measure, inputs first.
func (f *Facts) calculate(mem *arena) {
	for _, l := range f.Shape.order {
		for _, in := range f.Entries[l.Scope.ID] {
			if l.run.function != nil {
				f.evaluate(mem, l, in)
			} else {
				f.sum(mem, l, in)
			}
		}
	}
}

// evaluate calls the function of one measure for one entry.
func (f *Facts) evaluate(mem *arena, l *Leaf, in *Instance) {
	r, out := l.run, in.Get(l)
	work := mem.working()
	work.Of, work.Leaf, work.Result = in, l, out
	args := mem.arguments(len(r.inputs))
	var lacks []Lack
	for i := range r.inputs {
		v, of, leaf, broken := r.inputs[i].way.Value(in)
		if v == nil || broken || v.State != Known {
			if !r.function.Parameters[i].Optional {
				lacks = append(lacks, LacksOf(v, of, leaf)...)
			}
			work.Inputs = append(work.Inputs, WorkingInput{r.inputs[i].symbol, of, leaf, nil})
			continue
		}
		args[i] = quantity.Argument{Known: true, Quantity: v.Quantity, Word: v.Text}
		work.Inputs = append(work.Inputs, WorkingInput{r.inputs[i].symbol, of, leaf, v})
	}
	if len(lacks) > 0 {
		f.uncalculated(out, lacks, "")
		return
	}
	q, err := r.function.Of(args)
	var absent *quantity.Absent
	switch {
	case errors.As(err, &absent):
		v, of, leaf, _ := r.inputs[absent.Input].way.Value(in)
		f.uncalculated(out, LacksOf(v, of, leaf), "")
	case err != nil:
		f.uncalculated(out, nil, err.Error())
	default:
		f.known(out, q, work)
	}
}

func (f *Facts) known(out *Value, q quantity.Quantity, work *Working) {
	out.State, out.Quantity = Known, q
	out.More = &work.more
	out.More.From = work
	f.Workings = append(f.Workings, work)
}

func (f *Facts) uncalculated(out *Value, lacks []Lack, reason string) {
	out.State = Uncalculated
	out.More = &More{Lacks: lacks, Reason: reason}
}

// LacksOf names what is absent behind a value that is not known: the value
// itself, or what its own calculation lacks.
func LacksOf(v *Value, of *Instance, leaf *Leaf) []Lack {
	if v != nil && v.State == Uncalculated && len(v.More.Lacks) > 0 {
		return v.More.Lacks
	}
	return []Lack{{of, leaf}}
}

// sum adds up (or counts) the entries that belong to the measure's entry. One
// entry whose part is not known leaves the whole sum unknown.
func (f *Facts) sum(mem *arena, l *Leaf, in *Instance) {
	out, work := in.Get(l), mem.working()
	work.Of, work.Leaf, work.Result = in, l, out
	var lacks []Lack
	reason := ""
	total, spread, count := 0.0, 0.0, 0
	for i := range l.run.terms {
		t := &l.run.terms[i]
		members, lack := f.members(t, in)
		if lack != nil {
			lacks = append(lacks, *lack)
		}
		lacks = append(lacks, f.leftOut(t)...)
		for _, m := range members {
			if belongs, missing := l.run.holds(t.scope, m); missing != nil {
				lacks = append(lacks, missing...)
				continue
			} else if !belongs {
				continue
			}
			count++
			if t.leaf == nil {
				work.Inputs = append(work.Inputs, WorkingInput{"", m, nil, nil})
				continue
			}
			v := m.Get(t.leaf)
			if v.State != Known {
				lacks = append(lacks, LacksOf(v, m, t.leaf)...)
				if v.More != nil && v.State == Uncalculated && len(v.More.Lacks) == 0 {
					reason = v.More.Reason
				}
				continue
			}
			total += v.Quantity.Base()
			spread += v.Quantity.BaseUncertainty() // added up in full, since nothing says that errors cancel
			work.Inputs = append(work.Inputs, WorkingInput{"", m, t.leaf, v})
		}
	}
	if len(lacks) > 0 {
		f.uncalculated(out, lacks, reason)
		return
	}
	if l.run.counts {
		f.known(out, quantity.New(quantity.Decimal{Coef: int64(count)}, l.Of), work)
		return
	}
	q, err := quantity.Calculated(total, l.Of)
	if err != nil {
		f.uncalculated(out, nil, err.Error())
		return
	}
	if band, err := quantity.Calculated(spread, l.Of); err == nil && spread > 0 {
		q = q.WithUncertainty(band)
	}
	f.known(out, q, work)
}

// members lists the entries a term runs over for one entry, and what is absent
// where the list of them is not known.
func (f *Facts) members(t *runTerm, in *Instance) ([]*Instance, *Lack) {
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
		switch v := m.Get(t.link); {
		case v.State != Known:
			return nil, &Lack{m, t.link} // it may belong here
		case v.Target == in:
			out = append(out, m)
		}
	}
	return out, nil
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
		w := r.where[i].ways[sc]
		v, of, leaf, broken := w.Value(m)
		if v == nil || broken || v.State != Known {
			missing = append(missing, LacksOf(v, of, leaf)...)
		} else if !slices.Contains(r.where[i].words, v.Text) {
			return false, nil
		}
	}
	return true, missing
}
