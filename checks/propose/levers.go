package propose

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// lever is a fact that a designer may choose anew.
type lever struct {
	fact string
	all  bool // every value that passes is of interest, not only the smallest
	// values lists what the fact comes in, from the smallest on.
	values func(*Job, *Proposal) []quantity.Quantity
	// alike is the link to what ties entries that may have to change together, to one
	// value; empty where none do.
	alike string
}

// levers lists them; a new one is an entry here.
var levers = []lever{
	{fact: "conductors.size", values: sizes},
	{fact: "protection.rating", values: ratings},
	{fact: "stacks.modules", all: true, values: counts, alike: "stacks.inverter"},
}

func leverOf(l *fact.Leaf) lever {
	for _, one := range levers {
		if one.fact == l.Path {
			return one
		}
	}
	return lever{values: func(*Job, *Proposal) []quantity.Quantity { return nil }}
}

// sizes lists the standard sizes of the system that the conductor's own size is
// written in: no job is told to change from AWG to mm² or back.
func sizes(j *Job, p *Proposal) []quantity.Quantity {
	name := "iec/60228/resistance"
	if p.Of.Get(p.Leaf).Quantity.Unit().System() == quantity.US {
		name = "us/nec-2023/310.16"
	}
	return j.series(name, "", "")
}

// ratings lists the standard ratings of the kind of device.
func ratings(j *Job, p *Proposal) []quantity.Quantity {
	name, device := "us/nec-2023/240.6", "breaker"
	if j.Metric {
		name = "iec/60898-60269/ratings"
	}
	for _, l := range p.Of.Scope.Leaves {
		if l.Path == "protection.kind" && p.Of.Get(l).Text == "fuse" {
			device = "fuse"
		}
	}
	return j.series(name, "device", device)
}

// mostModules bounds the counts that are tried; no stack has more.
const mostModules = 60

// counts lists numbers of modules from one on.
func counts(_ *Job, p *Proposal) []quantity.Quantity {
	out := make([]quantity.Quantity, 0, mostModules)
	for n := int64(1); n <= mostModules; n++ {
		out = append(out, quantity.New(quantity.Decimal{Coef: n}, p.Leaf.Of))
	}
	return out
}

// series reads the keys of a table; none where it is missing.
func (j *Job) series(name, column, word string) []quantity.Quantity {
	f, err := j.Tables.Get(name)
	if err != nil {
		return nil
	}
	return f.Series(column, word)
}
