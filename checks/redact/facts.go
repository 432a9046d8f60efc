package redact

import "witnessmark.example/checks/fact"

// Facts leaves private values out of the facts of one job, in place. They cannot
// be judged any more afterwards.
func (p *Places) Facts(f *fact.Facts, w *Words) {
	f.File, f.Problems = nil, nil // both hold the words of the file
	for _, entries := range f.Entries {
		for i, in := range entries {
			p.Entry(in, w)
			if key := in.Scope.Key(); key != nil && key.IsPrivate() {
				in.Key = LeftOutAs(i + 1)
			}
		}
	}
}

// Entry leaves the private values of one entry out. Of an entry of a register
// whose keys are private the key is left out too.
func (p *Places) Entry(in *fact.Instance, w *Words) {
	for _, l := range in.Scope.Leaves {
		value(in.Get(l), l, w)
		if plan := in.PlannedValue(l); plan != nil {
			value(plan, l, w)
		}
	}
	if p.Registered(in.Scope) {
		in.Key = LeftOut
	}
}

// value leaves one value out where its field is private. Elsewhere it scrubs what
// may quote a private value: text, which may name an entry, and what could not be
// read.
func value(v *fact.Value, l *fact.Leaf, w *Words) {
	switch {
	case v.State == fact.Absent:
	case l.IsPrivate():
		v.Text, v.Written = LeftOut, LeftOut
	case l.Type == fact.Text || v.State == fact.Unreadable:
		v.Text, v.Written = w.Scrub(v.Text), w.Scrub(v.Written)
	}
	if v.More == nil {
		return
	}
	v.More.Reason = w.Scrub(v.More.Reason)
	for i := range v.More.List {
		value(&v.More.List[i], l, w)
	}
}

// Copy returns a copy of an entry of a register that may be changed.
func Copy(in *fact.Instance) *fact.Instance {
	out := *in
	out.Values = make([]fact.Value, len(in.Values))
	for i := range in.Values {
		out.Values[i] = copied(&in.Values[i])
	}
	return &out
}

func copied(v *fact.Value) fact.Value {
	out := *v
	if v.More != nil {
		more := *v.More
		more.List = make([]fact.Value, len(v.More.List))
		for i := range v.More.List {
			more.List[i] = copied(&v.More.List[i])
		}
		out.More = &more
	}
	return out
}
