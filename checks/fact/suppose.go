package fact

import "witnessmark.example/checks/quantity"

// Change is another value that a fact might have.
type Change struct {
	Of    *Instance
	Leaf  *Leaf
	Value quantity.Quantity
}

// Suppose works the facts of the job that was decoded last out as if some had
// other values, calls do, and then puts everything back as it was. What a judge
// has noted at the values is gone afterwards, so the job must be judged anew.
func (d *Decoder) Suppose(changes []Change, do func(*Facts)) {
	kept := make([]Value, len(changes))
	for i, c := range changes {
		v := c.Of.Get(c.Leaf)
		kept[i] = *v
		v.State, v.Quantity, v.Written, v.Text, v.More = Known, c.Value, c.Value.String(), c.Value.String(), nil
	}
	d.again()
	do(&d.facts)
	for i := len(changes) - 1; i >= 0; i-- {
		*changes[i].Of.Get(changes[i].Leaf) = kept[i]
	}
	d.again()
}

// again works out every calculated measure from the facts as they are now.
func (d *Decoder) again() {
	f := &d.facts
	f.Workings = f.Workings[:0]
	d.memory.worked = 0
	for _, entries := range f.Entries {
		for _, in := range entries {
			for i := range in.Values {
				in.Values[i].Marks = [2]int32{}
			}
		}
	}
	for _, l := range f.Shape.order {
		for _, in := range f.Entries[l.Scope.ID] {
			*in.Get(l) = Value{}
		}
	}
	f.calculate(&d.memory)
}
