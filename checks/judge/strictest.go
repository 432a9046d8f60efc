package judge

// markStrictest marks, for each value, the limit with the least room: among the
// blocking limits, and where there is none, among the advisory ones. The value
// itself remembers the best so far.
func (j *Judge) markStrictest() {
	out := j.result.Outcomes
	compared := func(o *Outcome) bool {
		return o.Value != nil && (o.Kind == Within || o.Kind == Outside || o.Kind == TooClose)
	}
	for i := range out {
		o := &out[i]
		if !compared(o) {
			continue
		}
		best := &o.Value.Marks[0]
		if !o.Blocking {
			best = &o.Value.Marks[1]
		}
		if *best == 0 || stricter(o, &out[*best-1]) {
			*best = int32(i + 1)
		}
	}
	for i := range out {
		o := &out[i]
		if compared(o) {
			m := o.Value.Marks
			o.Strictest = m[0] == int32(i+1) || m[0] == 0 && m[1] == int32(i+1)
		}
	}
}

// stricter compares two limits on one value: outside before the rest, then the
// one with less room, then by name so that the order never depends on chance.
func stricter(a, b *Outcome) bool {
	if (a.Kind == Outside) != (b.Kind == Outside) {
		return a.Kind == Outside
	}
	if a.Signed != b.Signed {
		return a.Signed < b.Signed
	}
	return a.Limit.FullName < b.Limit.FullName
}
