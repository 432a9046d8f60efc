package fact

import (
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
)

// folding is one measure over several entries while it is worked out.
type folding struct {
	base, spread float64 // sum, or extreme so far, and its uncertainty
	low, high    float64 // of an extreme: where it may lie, with the uncertainties of all entries; of a span its ends
	count        int     // entries that belong
	texts        []string
	lacks        []Lack
	reason       string
	work         *Working
}

// fold works out a measure over several entries: their sum, number, smallest,
// largest. One entry whose part is not known leaves the whole unknown, since it
// might be the one that decides.
func (f *Facts) fold(mem *arena, l *Leaf, in *Instance) {
	out, g := in.Get(l), folding{work: mem.working()}
	g.work.Of, g.work.Leaf, g.work.Result = in, l, out
	for i := range l.run.terms {
		t := &l.run.terms[i]
		members, lack := f.members(l.run, t, in)
		if lack != nil {
			g.lacks = append(g.lacks, *lack)
		}
		g.lacks = append(g.lacks, f.leftOut(t)...)
		for _, m := range members {
			if belongs, missing := l.run.holds(t.scope, m); missing != nil {
				g.lacks = append(g.lacks, missing...)
			} else if belongs {
				g.take(l.run.fold, t.leaf, m)
			}
		}
	}
	q, err := g.result(l)
	switch {
	case len(g.lacks) > 0 || g.reason != "":
		f.uncalculated(out, g.work, g.lacks, g.reason)
	case err != nil:
		f.uncalculated(out, g.work, nil, err.Error())
	default:
		f.known(out, q, g.work)
	}
}

// take adds the part of one entry; leaf is nil where entries are counted.
func (g *folding) take(how fold, leaf *Leaf, m *Instance) {
	g.count++
	if leaf == nil {
		g.work.Inputs = append(g.work.Inputs, WorkingInput{"", m, nil, nil})
		return
	}
	v := m.Get(leaf)
	if v.State != Known {
		g.lacks, g.reason = waits(g.lacks, g.reason, v, m, leaf)
		return
	}
	g.work.Inputs = append(g.work.Inputs, WorkingInput{"", m, leaf, v})
	x, spread := v.Quantity.Base(), v.Quantity.BaseUncertainty()
	if how == span {
		x = float64(v.Day)
	}
	switch {
	case how == distinct:
		g.tell(v)
	case how == total:
		g.base += x
		g.spread += spread // in full, since nothing says that errors cancel
	case g.count == 1:
		g.base, g.low, g.high = x, x-spread, x+spread
	case how == span:
		g.low, g.high = math.Min(g.low, x), math.Max(g.high, x)
	case how == least:
		g.base, g.low, g.high = math.Min(g.base, x), math.Min(g.low, x-spread), math.Min(g.high, x+spread)
	case how == greatest:
		g.base, g.low, g.high = math.Max(g.base, x), math.Max(g.low, x-spread), math.Max(g.high, x+spread)
	}
}

// tell keeps the text of a value that differs from those so far.
func (g *folding) tell(v *Value) {
	for _, t := range g.texts {
		if t == v.Text {
			return
		}
	}
	g.texts = append(g.texts, v.Text)
}

func (g *folding) result(l *Leaf) (quantity.Quantity, error) {
	switch l.run.fold {
	case number:
		return quantity.New(quantity.Decimal{Coef: int64(g.count)}, l.Of), nil
	case distinct:
		return quantity.New(quantity.Decimal{Coef: int64(len(g.texts))}, l.Of), nil
	case least, greatest, span:
		if g.count == 0 {
			return quantity.Quantity{}, fmt.Errorf("no %s is recorded for it", l.run.terms[0].scope.List.Label.In("en"))
		}
	}
	if l.run.fold == span {
		return quantity.New(quantity.Decimal{Coef: int64(g.high - g.low)}, l.Of), nil
	}
	q, err := quantity.Calculated(g.base, l.Of)
	if err != nil {
		return q, err
	}
	if how := l.run.fold; how == least || how == greatest {
		g.spread = math.Max(g.base-g.low, g.high-g.base)
	}
	return q.WithSpread(g.spread)
}
