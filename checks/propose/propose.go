// Package propose looks for other values of a job with which its findings would
// go away: the next conductor, the next device, another number of modules. It
// supposes each standard value in turn and has every limit judged again that may
// come out otherwise then, so that what it proposes passes all that apply. It decides nothing: a
// proposal is where to look, and whoever designs the job answers for it.
package propose

import (
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// Proposal says with which values of one fact the findings that depend on it
// would go away. It refers to the facts of the job and must not be kept beyond
// them.
type Proposal struct {
	Of     *fact.Instance
	Leaf   *fact.Leaf
	With   []*fact.Instance    // others that would have to have the same value too
	Values []quantity.Quantity // that would pass; of a standard series only the smallest; none where no value passes
	Mends  []int               // the findings: places in the outcomes of the job
	Tried  int                 // values that were judged
	Open   []string            // limits on it that could not be checked before and cannot now, by name
}

// Job is what one job is judged by, again and again.
type Job struct {
	Decoder *fact.Decoder
	Tables  *table.Set
	Effect  func(*fact.Leaf) *Effect
	// Judge judges some limits, with memory of its own and leaving no marks.
	Judge  func(*fact.Facts, [][]*limit.Planned) *judge.Result
	Metric bool // devices come in the ratings of IEC rather than of the NEC
}

// For looks for proposals to the findings of a result, which stays as it is. It
// returns nil where no finding depends on a value that comes in a series.
func (j *Job) For(r *judge.Result) []Proposal {
	var out []Proposal
	for _, l := range levers {
		leaf := r.Facts.Shape.Leaf(l.fact)
		if leaf == nil {
			continue
		}
		for _, in := range r.Facts.Entries[leaf.Scope.ID] {
			if v := in.Get(leaf); v.State != fact.Known {
				continue
			}
			p := Proposal{Of: in, Leaf: leaf}
			if sound := p.findings(r); sound && len(p.Mends) > 0 {
				out = append(out, p)
			}
		}
	}
	if len(out) == 0 {
		return nil
	}
	before := standing(r)
	for i := range out {
		j.look(&out[i], before)
	}
	return j.together(r.Facts, out, before)
}

// findings notes the findings that depend on the fact, and the limits on it that
// could not be checked. Where one of these blocks, nothing sound can be proposed:
// no value would be known to pass.
func (p *Proposal) findings(r *judge.Result) (sound bool) {
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if o.Limit == nil || !o.Kind.IsFinding() || !p.bears(o) {
			continue
		}
		if o.Kind == judge.Outside || o.Kind == judge.TooClose {
			p.Mends = append(p.Mends, i)
			continue
		}
		if o.Blocking {
			return false
		}
		p.Open = append(p.Open, strings.Clone(o.Name()))
	}
	return true
}

// bears tells whether an outcome depends on the fact: by its value or its bound.
func (p *Proposal) bears(o *judge.Outcome) bool {
	if p.bearsOn(p.Of, o) {
		return true
	}
	for _, in := range p.With {
		if p.bearsOn(in, o) {
			return true
		}
	}
	return false
}

func (p *Proposal) bearsOn(in *fact.Instance, o *judge.Outcome) bool {
	if o.Of == in && o.Leaf == p.Leaf {
		return true
	}
	v := in.Get(p.Leaf)
	for _, k := range o.WaitsOn {
		if k.Of.Get(k.Leaf).ComesFrom(v) {
			return true
		}
	}
	return o.Value.ComesFrom(v) || o.BoundFrom.ComesFrom(v)
}

// look tries the values of the series. A value passes when nothing is a finding
// then but what was one before and does not depend on the fact.
func (j *Job) look(p *Proposal, before map[key]bool) {
	l, effect := leverOf(p.Leaf), j.Effect(p.Leaf)
	passes := func(value quantity.Quantity, measures []*fact.Leaf, limits [][]*limit.Planned) (passes bool) {
		j.Decoder.Suppose(p.changes(value), measures, func(f *fact.Facts) {
			passes = p.passes(j.Judge(f, limits), before)
		})
		return passes
	}
	for _, value := range l.values(j, p) {
		p.Tried++
		if !passes(value, nil, effect.Own) || !passes(value, effect.Measures, effect.Limits) {
			continue
		}
		p.Values = append(p.Values, value)
		if !l.all {
			return
		}
	}
}

// key names one outcome of one job.
type key struct {
	limit string
	of    *fact.Instance
	leaf  *fact.Leaf
}

// standing lists the findings of a result by what they are about.
func standing(r *judge.Result) map[key]bool {
	out := map[key]bool{}
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.Limit != nil && o.Kind.IsFinding() {
			out[key{o.Name(), o.Of, o.Leaf}] = true
		}
	}
	return out
}

func (p *Proposal) passes(r *judge.Result, before map[key]bool) bool {
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if o.Limit == nil || !o.Kind.IsFinding() {
			continue
		}
		if o.Leaf == p.Leaf && !before[key{o.Name(), o.Of, o.Leaf}] && o.HoldsRecord() {
			continue // with another value the record changes: another product, another list of modules
		}
		outside := o.Kind == judge.Outside || o.Kind == judge.TooClose
		if !before[key{o.Name(), o.Of, o.Leaf}] || outside && p.bears(o) {
			return false
		}
	}
	return true
}
