package boundary

import (
	"errors"
	"math"
	"math/big"
	"slices"
	"strconv"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// justBeside is how near a value beside a bound may come, relative to its size: a
// hundred times coarser than the engine's rule for ties.
const justBeside = 1e-7

// try puts one value in, and keeps what comes of it where that is nearer to the
// bound than what was found before. The difference is measure less bound.
func (s *straddle) try(text string) (difference float64, ok bool) {
	before := len(s.undo)
	defer s.takeBack(before)
	s.put(s.free.entry, s.free.leaf, text)
	x, err := s.asItIs(s.measure.entry, s.measure.leaf)
	var r *rule
	if err == nil {
		r, err = s.rule()
	}
	if err != nil {
		var u *unknown
		if errors.As(err, &u) && u.input > 0 && !slices.ContainsFunc(s.asked, func(o *unknown) bool { return o.of == u.of && o.input == u.input }) {
			s.asked = append(s.asked, u)
		}
		return 0, false
	}
	bound := r.leaves(nil)[s.which]
	difference, _ = new(big.Rat).Sub(x, bound).Float64()
	side, gap := Side(2+x.Cmp(bound)), apart(x, bound)
	switch old, have := s.found[side]; {
	case gap <= closeEnough:
		side, difference = At, 0
		if _, have := s.found[At]; have {
			return difference, true
		}
	case gap < justBeside:
		return difference, true
	case have && apart(old.measure, old.bound) <= gap:
		return difference, true
	}
	if side == At {
		x = bound
	}
	s.found[side] = sample{text, x, bound, r.accepts(x)}
	return difference, true
}

// scan goes through the values that an input may have, and closes in on the bound
// between every two neighbours on different sides of it.
func (s *straddle) scan() {
	type point struct{ x, difference float64 }
	var last *point
	for _, x := range s.grid() {
		d, ok := s.try(s.text(x, 15))
		if !ok {
			last = nil
			continue
		}
		here := &point{x, d}
		if last != nil && last.difference*d < 0 && s.free.leaf.Type == fact.Quantity {
			s.closeIn(last.x, x, last.difference, d)
		}
		if last = here; len(s.found) == 3 && s.isNear() {
			return
		}
	}
	if s.free.leaf.Of.Kind() == quantity.Area {
		for n := int64(40); n >= -3; n-- {
			if q := quantity.New(quantity.Decimal{Coef: n}, quantity.MustUnit("AWG")); !q.IsZero() {
				s.try(q.String())
			}
		}
		for n := 250; n <= 1000; n += 50 {
			s.try(strconv.Itoa(n) + " kcmil")
		}
	}
	// Where the input itself just lies on the bound, its neighbours are beside it.
	if at, ok := s.found[At]; ok && s.free.leaf.Type == fact.Quantity {
		if q, err := quantity.Parse(at.text, s.free.leaf.Of, quantity.Options{}); err == nil && !q.Unit().OrderReversed() {
			x := q.In(s.free.leaf.Of)
			s.try(s.text(x*(1-1e-6), 10))
			s.try(s.text(x*(1+1e-6), 10))
		}
	}
}

// isNear tells whether both sides are just beside the bound.
func (s *straddle) isNear() bool {
	for _, side := range []Side{Below, Above} {
		if f := s.found[side]; apart(f.measure, f.bound) > 1e-4 {
			return false
		}
	}
	return true
}

// closeIn halves the way between two values on different sides of the bound, and
// in between goes where a straight line would meet it.
func (s *straddle) closeIn(x0, x1, d0, d1 float64) {
	for step := 0; step < 80 && math.Abs(x1-x0) > 1e-12*math.Abs(x1); step++ {
		x := (x0 + x1) / 2
		if step%2 == 1 {
			x = x0 - d0*(x1-x0)/(d1-d0)
		}
		d, ok := s.try(s.text(x, 15))
		switch {
		case !ok:
			return
		case d == 0:
			for _, by := range []float64{-1e-6, 1e-6} {
				s.try(s.text(x*(1+by), 10))
			}
			return
		case d*d0 > 0:
			x0, d0 = x, d
		default:
			x1, d1 = x, d
		}
	}
}

// text writes a number as a decimal of so many digits, in the input's own unit.
func (s *straddle) text(x float64, digits int) string {
	l := s.free.leaf
	if l.Type == fact.Count {
		return strconv.Itoa(int(x))
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits-1, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64) + " " + l.Of.Symbol()
}

// grid lists the numbers to try, in order: those of every input of the kind, and
// the one it has now.
func (s *straddle) grid() []float64 {
	out := s.usual()
	if q, err := quantity.Parse(s.free.entry.text[s.free.leaf], s.free.leaf.Of, quantity.Options{}); err == nil && !q.Unit().OrderReversed() {
		out = append(out, q.In(s.free.leaf.Of))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// usual lists numbers to try: whole ones of counts, degrees by fives, the sizes
// of conductors, and otherwise ten of each decade.
func (s *straddle) usual() []float64 {
	var out []float64
	switch l := s.free.leaf; {
	case l.Type == fact.Count:
		for n := range 31 {
			out = append(out, float64(n))
		}
	case l.Of.Kind() == quantity.Temperature:
		for t := -40; t <= 150; t += 5 {
			out = append(out, float64(t))
		}
	case l.Of.Kind() == quantity.Area:
		return []float64{0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240, 300, 400, 500, 630}
	default:
		out = append(out, 0)
		for e := -3; e < 6; e++ {
			for _, n := range []float64{1, 1.25, 1.6, 2, 2.5, 3, 4, 5, 6.3, 8} {
				x, _ := strconv.ParseFloat(strconv.FormatFloat(n, 'f', -1, 64)+"e"+strconv.Itoa(e), 64)
				out = append(out, x)
			}
		}
	}
	return out
}
