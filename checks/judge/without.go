package judge

import (
	"iter"
	"slices"
	"strings"

	"witnessmark.example/checks/limit"
)

// Without is a list of which the job has no entry, or a block of which it has
// nothing, and the limits of its plan that therefore found nothing to judge. The
// limits belong to the plan.
type Without struct {
	List   string
	Limits []*limit.Planned
}

// Blocking counts the limits that block.
func (w Without) Blocking() int {
	n := 0
	for _, l := range w.Limits {
		if l.Blocking {
			n++
		}
	}
	return n
}

// withoutBlock tells whether a limit that only advises found nothing to judge: all it
// waits on belongs to one block of the job of which nothing is written ("supply"). A
// limit that blocks is not checked instead.
func (j *Judge) withoutBlock(o *Outcome) bool {
	r := &j.result
	if o.Kind != NotChecked || o.Blocking || len(o.WaitsOn) == 0 {
		return false
	}
	block := ""
	for _, k := range o.WaitsOn {
		name, _, inner := strings.Cut(k.Leaf.Inside(), ".")
		if k.Of != r.Facts.Root || k.Of.Scope != k.Leaf.Scope || !inner || block != "" && name != block {
			return false
		}
		if _, absent := k.Of.BlockOf(k.Leaf); absent != k.Leaf.Inside() {
			return false
		}
		block = name
	}
	i := slices.IndexFunc(r.blocks, func(w Without) bool { return w.List == block })
	if i < 0 {
		i, r.blocks = len(r.blocks), append(r.blocks, Without{List: block})
	}
	r.blocks[i].Limits = append(r.blocks[i].Limits, o.Limit)
	return true
}

// WithoutEntry yields the lists of which the job has no entry although limits of its
// plan are judged for them, in the order of the shape, and the blocks of which it has
// nothing. Limits on sums over the premises are none of them.
func (r *Result) WithoutEntry() iter.Seq[Without] {
	return func(yield func(Without) bool) {
		for id, limits := range r.plan.ByScope {
			if len(limits) == 0 || len(r.Facts.Entries[id]) > 0 {
				continue
			}
			if !yield(Without{r.Facts.Shape.Scopes[id].List.Name, limits}) {
				return
			}
		}
		for _, w := range r.blocks {
			if !yield(w) {
				return
			}
		}
	}
}

// BrokenLimits yields the full names of limits that would have been in the plan,
// but are not understood: they judged nothing.
func (r *Result) BrokenLimits() iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, set := range r.plan.Sets {
			for _, name := range set.Broken {
				if !yield(name) {
					return
				}
			}
		}
	}
}

// Sums lists the limits of the plan on sums over all jobs of the premises. They are
// judged after the last job and have no outcome here.
func (r *Result) Sums() []*limit.Planned { return r.plan.Across }

// SetAside tells whether the job is not judged as a whole.
func (r *Result) SetAside() bool { return len(r.Gates) == 0 }
