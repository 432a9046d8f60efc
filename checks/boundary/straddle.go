package boundary

import (
	"errors"
	"fmt"
	"math"
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

	nearest string // text with which the measure comes nearest to the bound
}

// sample is what one value of the input comes to.
type sample struct {
	text           string
	measure, bound *big.Rat
	within         bool
}

// allCrossing makes cases for a limit whose measure cannot be given a value: it has
// some value, and the input that moves it is changed until it lies on the other
// side of the bound.
func (m *Maker) allCrossing(p *Probe, l *limit.Compiled) error {
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
		best := j.straddled(l, which)
		for _, further := range []func() bool{j.answer, j.fillSums, j.addSecond} {
			before := len(j.undo)
			if best.whole() || !further() {
				continue
			}
			if more := j.straddled(l, which); more.betterThan(&best) {
				best = more
			} else {
				j.takeBack(before) // what was found, was found without
			}
		}
		if !best.crosses() {
			return fmt.Errorf("no input of %s was found with which it goes over %s", l.Measure, l.Describe(false))
		}
		if err := one.addStraddled(p, &best); err != nil {
			return err
		}
	}
	return one.dated(p, l)
}

// answer gives those inputs that were asked for while others were changed.
func (j *job) answer() (some bool) {
	for _, u := range j.asked {
		before := len(j.undo)
		e, l, err := j.resolve(u.of.entry, u.of.leaf.Calculation.Inputs[u.input-1].Fact)
		if err == nil {
			err = j.find(e, l)
		}
		if err != nil {
			j.takeBack(before)
			continue
		}
		some = true
	}
	return some
}

// fillSums gives an entry to sums that have none, and to those below the entry: a
// sum to which nothing adds is zero, whatever else is changed. One that cannot be
// filled stays empty.
func (j *job) fillSums() (some bool) {
	const deepest = 4 // of sums below sums
	h := hunt{world: j.world, entry: j.measure.entry, leaf: j.measure.leaf, seen: map[string]bool{}}
	for range deepest {
		filled := false
		for _, sum := range j.emptySums(h.entry, h.leaf, nil) {
			before := len(j.undo)
			if err := h.fill(sum); err != nil {
				j.takeBack(before)
				continue
			}
			filled, some = true, true
		}
		if !filled {
			break
		}
	}
	return some
}

// addSecond adds a second entry where the measure is taken over one: then the
// largest and the smallest may differ.
func (j *job) addSecond() bool {
	h := hunt{world: j.world, entry: j.measure.entry, leaf: j.measure.leaf, seen: map[string]bool{}}
	return h.leaf.Calculation != nil && h.another()
}

// mostSteps is how many inputs are changed for good on the way to a bound.
const mostSteps = 4

// straddled tries every input that may be chosen freely and keeps the one with
// which the measure lies on most sides of the bound. Where no input alone leads
// over the bound, the one that leads nearest keeps its value, and the others are
// tried again.
func (j *job) straddled(l *limit.Compiled, which int) (best straddle) {
	for range mostSteps {
		best = straddle{}
		var near straddle
		gap := math.Inf(1)
		for _, free := range j.movable(l) {
			s := straddle{job: j, limit: l, which: which, free: free, found: map[Side]sample{}}
			s.scan()
			if s.betterThan(&best) {
				best = s
			}
			if s.whole() {
				return best
			}
			for _, side := range []Side{Below, At, Above} {
				if one, ok := s.found[side]; ok && apart(one.measure, one.bound) < gap {
					near, gap = s, apart(one.measure, one.bound)
					near.nearest = one.text
				}
			}
		}
		if best.crosses() || near.job == nil || near.free.entry.text[near.free.leaf] == near.nearest {
			break
		}
		j.put(near.free.entry, near.free.leaf, near.nearest)
		j.loosen(near.free.entry, near.free.leaf)
	}
	return best
}

// whole tells whether every side was found.
func (s *straddle) whole() bool { return len(s.found) == 3 && s.crosses() }

// crosses tells whether a value within and one outside were found.
func (s *straddle) crosses() bool {
	var in, out bool
	for _, one := range s.found {
		in, out = in || one.within, out || !one.within
	}
	return in && out
}

// betterThan tells whether more was found.
func (s *straddle) betterThan(o *straddle) bool {
	if s.crosses() != o.crosses() {
		return s.crosses()
	}
	return len(s.found) > len(o.found)
}

// movable lists the numbers that may be changed, those that the job lacks too: the
// measure and the facts of the bounds where they are fields, then what they are
// calculated from.
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
		_, set := at.entry.text[at.leaf]
		chosen := set && j.loose[at] || !set && !at.entry.pinned
		if number := at.leaf.Type == fact.Quantity || at.leaf.Type == fact.Count; number && chosen && !slices.Contains(free, at) {
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
			Across: s.limit.Across(), Short: len(s.found) < 3, Fact: s.measure.entry.address(s.measure.leaf)}
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
