package limit

// IsRange tells whether the limit allows one range of numbers and nothing else.
// Of ranges, some value lies in all where one lies in every two of them.
func (l *Compiled) IsRange() bool {
	for _, u := range l.systems() {
		if _, _, ok := l.forSystem(u).interval(nil); !ok {
			return false
		}
	}
	return true
}

// IsConstant tells whether every bound of the limit is a number, word or pattern
// that it states itself.
func (l *Compiled) IsConstant() bool {
	return !l.within.refers() && (l.printed == nil || !l.printed.refers())
}

// Meets tells whether two limits on one measure can apply to the same value, as
// far as their own conditions, days and products tell.
func (l *Compiled) Meets(o *Compiled) bool {
	if l.Way.Leaf != o.Way.Leaf || !l.meets(o) {
		return false
	}
	_, never := contradiction(append(l.when[:len(l.when):len(l.when)], o.when...))
	return !never
}

// ContradictTogether tells whether limits on one measure, of which every two meet,
// can all apply to one value and surely no value that the measure can have
// satisfies all of them.
func ContradictTogether(limits []*Compiled) bool {
	var when []condition
	for _, l := range limits {
		when = append(when, l.when...)
	}
	if _, never := contradiction(when); never || len(limits) == 0 {
		return false
	}
	for _, own := range limits {
		for _, s := range own.systems() {
			var all []*predicate
			for _, l := range limits {
				all = append(all, l.forSystem(s))
			}
			if !impossible(own.Way.Leaf, all) {
				return false
			}
		}
	}
	return true
}
