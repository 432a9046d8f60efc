package fact

import "witnessmark.example/checks/quantity"

// Change is another value that a fact might have.
type Change struct {
	Of    *Instance
	Leaf  *Leaf
	Value quantity.Quantity
}

// Suppose works out what the job that was decoded last would be if some of its
// facts had other values, calls do, and then puts every value back as it was.
// Only the named measures are calculated anew, see Compiled.Dependents; meanwhile
// Facts.Workings lists both calculations of those.
func (d *Decoder) Suppose(changes []Change, measures []*Leaf, do func(*Facts)) {
	f, kept := &d.facts, d.kept[:0]
	workings, worked := len(f.Workings), d.memory.worked
	put := func(v *Value, instead Value) {
		kept = append(kept, keptValue{v, *v})
		*v = instead
	}
	for _, c := range changes {
		v, written := c.Of.Get(c.Leaf), c.Value.String()
		put(v, Value{State: Known, Quantity: c.Value, Written: written, Text: written, At: v.At})
	}
	for _, l := range measures {
		for _, in := range f.Entries[l.Scope.ID] {
			put(in.Get(l), Value{})
		}
	}
	f.calculate(&d.memory, measures)
	do(f)
	for i := len(kept) - 1; i >= 0; i-- {
		*kept[i].at = kept[i].was
	}
	f.Workings, d.memory.worked = f.Workings[:workings], worked
	d.kept = kept
}

// keptValue is a value that was put aside, and where it belongs.
type keptValue struct {
	at  *Value
	was Value
}

// Dependents lists the calculated measures that a fact goes into, by itself or
// through others, in the order in which they are calculated.
func (c *Compiled) Dependents(l *Leaf) []*Leaf {
	reached := map[*Leaf]bool{l: true}
	var out []*Leaf
	for _, m := range c.order {
		for _, need := range m.run.needs() {
			if reached[need] {
				reached[m] = true
				out = append(out, m)
				break
			}
		}
	}
	return out
}
