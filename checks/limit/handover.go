package limit

// TakesOver tells whether another limit on the same measure may take over where l
// is not met. One that only advises cannot stand in for one that decides, and in a
// circle nothing would be left that judges the value. Find returns the limit of a
// rule set on that measure, nil where there is none.
func (l *Planned) TakesOver(other *Planned, find func(ruleSet string) *Planned) bool {
	if other.Compiled == l.Compiled || other.Source.Name == l.Source.Name || l.Blocking && !other.Blocking {
		return false
	}
	seen := map[string]bool{l.Source.Name: true}
	for next := other; next != nil && next.HandsOverTo != ""; next = find(next.HandsOverTo) {
		if seen[next.Source.Name] || seen[next.HandsOverTo] {
			return false
		}
		seen[next.Source.Name] = true
	}
	return true
}
