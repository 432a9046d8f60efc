package boundary

import (
	"errors"
	"fmt"
	"math/big"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// straddle looks for values of one input with which a measure lies on the sides
// of one of its bounds. Measure and bound may both be calculated, and both go with
// the input.
type straddle struct {
	*job
	limit *limit.Compiled
	which int // of the bounds
	free  place
	found map[Side]sample
}

// sample is what one value of the input comes to.
type sample struct {
	text           string
	measure, bound *big.Rat
}

// allAcross makes cases for a limit whose measure cannot be given a value: it has
// some value, and the input that moves it is changed until it lies on the other
// side of the bound.
func (m *Maker) allAcross(p *Probe, l *limit.Compiled) error {
	one := *m
	one.asItComes = true
	n := 1
	for which := 0; which < n; which++ {
		j, r, err := one.job(l, l.Way.Leaf.Of, nil)
		if err != nil {
			return err
		}
		if err := errors.Join(j.find(j.measure.entry, j.measure.leaf), j.every(l)); err != nil {
			return err
		}
		n = len(r.leaves(nil))
		best := one.straddled(j, l, which)
		if len(best.found) < 3 {
			// A sum to which nothing adds is zero whatever else is changed.
			h := hunt{world: j.world, entry: j.measure.entry, leaf: j.measure.leaf}
			before := len(j.undo)
			for _, sum := range j.emptySums(h.entry, h.leaf, nil) {
				_ = h.fill(sum) // one that cannot be filled stays empty
			}
			if more := one.straddled(j, l, which); len(more.found) > len(best.found) {
				best = more
			} else {
				j.takeBack(before)
			}
		}
		if len(best.found) < 2 {
			return fmt.Errorf("no input of %s was found with which it goes over %s", l.Measure, l.Describe(false))
		}
		if err := one.addStraddled(p, &best); err != nil {
			return err
		}
	}
	return one.dated(p, l)
}

// straddled tries every input that may be chosen freely and keeps the one with
// which the measure lies on most sides of the bound.
func (m *Maker) straddled(j *job, l *limit.Compiled, which int) (best straddle) {
	for _, free := range j.movable(l) {
		s := straddle{j, l, which, free, map[Side]sample{}}
		s.scan()
		if len(s.found) > len(best.found) {
			best = s
		}
		if len(best.found) == 3 {
			break
		}
	}
	return best
}

// movable lists the numbers that may be changed: the measure and the facts of the
// bounds where they are fields, then what they are calculated from.
func (j *job) movable(l *limit.Compiled) []place {
	ends := []place{j.measure}
	_, _ = numbers(l.Within, l.Way.Leaf.Of, func(path string) (*big.Rat, error) {
		if e, leaf, err := j.peek(j.from, path); err == nil {
			ends = append(ends, place{e, leaf})
		}
		return new(big.Rat), nil
	})
	var direct, out []place
	for _, end := range ends {
		if end.leaf.Calculation == nil {
			direct = append(direct, end)
		}
		out = j.inputs(end.entry, end.leaf, out)
	}
	var free []place
	for _, at := range append(direct, out...) {
		if number := at.leaf.Type == fact.Quantity || at.leaf.Type == fact.Count; number && j.loose[at] && !slices.Contains(free, at) {
			free = append(free, at)
		}
	}
	return free
}

// addStraddled adds a case for each side that was found.
func (m *Maker) addStraddled(p *Probe, s *straddle) error {
	for _, side := range []Side{Below, At, Above} {
		one, ok := s.found[side]
		if !ok {
			continue
		}
		before := len(s.undo)
		s.put(s.free.entry, s.free.leaf, one.text)
		r, err := s.rule()
		if err != nil {
			return err
		}
		x := one.measure
		if side == At {
			x = one.bound
		}
		c := Case{Written: fmt.Sprintf("%s by %s of %s", x.FloatString(9), s.free.leaf.Path, one.text), Unit: s.measure.leaf.Of, Side: side, Bound: one.bound,
			Across: s.limit.Across(), Stepped: len(s.found) < 3, Fact: s.measure.entry.address(s.measure.leaf)}
		if c.Expect, err = m.expected(s.limit, s.job, r, x); err != nil {
			return err
		}
		p.add(c, s.job)
		s.takeBack(before)
	}
	return nil
}

// rule works out the bounds as the job has them.
func (s *straddle) rule() (*rule, error) {
	r, err := numbers(s.limit.Within, s.measure.leaf.Of, func(path string) (*big.Rat, error) {
		e, l, err := s.peek(s.from, path)
		if err != nil {
			return nil, err
		}
		return s.asItIs(e, l)
	})
	return &r, err
}

// leaves lists every bound of a rule, equal ones too.
func (r *rule) leaves(out []*big.Rat) []*big.Rat {
	for i := range r.parts {
		out = r.parts[i].leaves(out)
	}
	if r.bound != nil {
		out = append(out, r.bound)
	}
	return out
}
