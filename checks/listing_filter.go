package checks

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// Filter says which limits of a listing are wanted. Every part that is given must
// hold; of a part with several names, one of them. The zero value wants all.
type Filter struct {
	RuleSets []string // in full ("us/irc-2021"), or the beginning up to a / or @ ("us", "us/", "equipment/morvane")
	Measures []string // in full ("stacks.wall_gap"), or the beginning up to a dot ("stacks")
	Region   string   // rule sets whose name begins with it, or that the firm's map requires there
	Grades   []string
	Stage    string // a stage, gate or event: limits whose measure must be recorded by then
	Blocking bool   // only those that block
	Advisory bool   // only those that do not
}

// Selection is what a filter chose.
type Selection struct {
	Limits  []Listed
	Of      int // limits in the library
	Undated int // left out by Stage alone because nobody has to record their measure
}

// UnknownName says that a filter names something that does not exist.
type UnknownName struct {
	What string // "rule set"
	Name string
	Near []string
	All  []string // all there are, where they are few
}

// Error offers the nearest names, else all there are.
func (u *UnknownName) Error() string {
	hint := nearest.Hint(u.Near)
	if hint == "" && len(u.All) > 0 {
		hint = "; there are " + strings.Join(u.All, ", ")
	}
	return fmt.Sprintf("there is no %s %q%s", u.What, u.Name, hint)
}

// Select lists the limits that a filter wants. The error is an *UnknownName.
// Names that exist but have no limits select nothing, which is no error.
func (l *Library) Select(f Filter) (*Selection, error) {
	all := l.Listing()
	by, err := l.checkFilter(&f)
	if err != nil {
		return nil, err
	}
	out := &Selection{Of: len(all)}
	for i := range all {
		one := &all[i]
		if !f.wants(one) || f.Region != "" && !l.inRegion(one.Source.Name, f.Region) {
			continue
		}
		switch due := one.Due(); {
		case by == fact.Never:
		case due.At == fact.Never:
			out.Undated++
			continue
		case due.At > by || due.At == by && due.Days > 0:
			continue
		}
		out.Limits = append(out.Limits, *one)
	}
	return out, nil
}

// wants judges the parts of the filter that a limit answers by itself.
func (f *Filter) wants(l *Listed) bool {
	is := func(names []string, matches func(name string) bool) bool {
		return len(names) == 0 || slices.ContainsFunc(names, matches)
	}
	return is(f.RuleSets, func(n string) bool { return begins(l.Source.Name, n, "/@") }) &&
		is(f.Measures, func(n string) bool { return MeasureMatches(l.Compiled, n) }) &&
		is(f.Grades, func(n string) bool { return string(l.Grade) == n }) &&
		(!f.Blocking || l.Blocking) && (!f.Advisory || !l.Blocking)
}

// MeasureMatches tells whether a limit bounds a measure of this name, or one below
// it. A measure reached along a link answers to both of its names:
// "stacks.unit.location.air.high" and "locations.air.high".
func MeasureMatches(l *limit.Compiled, name string) bool {
	return begins(l.Measure, name, ".") || begins(l.Way.Leaf.Path, name, ".")
}

// begins tells whether a full name is the given one, or goes on behind it with
// one of the separators (which may be the last letter of the given one).
func begins(full, name, separators string) bool {
	rest, ok := strings.CutPrefix(full, name)
	if !ok || name == "" {
		return false
	}
	return rest == "" || strings.ContainsRune(separators, rune(rest[0])) || strings.ContainsRune(separators, rune(name[len(name)-1]))
}

// inRegion tells whether a rule set belongs to a region: its name begins with it,
// or the firm's map requires it there, whatever the occupancy and date.
func (l *Library) inRegion(ruleSet, region string) bool {
	region = strings.TrimSuffix(region, "/")
	if begins(ruleSet, region, "/") {
		return true
	}
	return slices.ContainsFunc(l.Firm.Required, func(r limit.Required) bool { return r.Covers(region) && slices.Contains(r.RuleSets, ruleSet) })
}

// knowsRegion tells whether a region is the beginning of a rule set's name, or the
// firm's map says anything of it, if only that no rules are in force there.
func (l *Library) knowsRegion(region string, sets []string) bool {
	region = strings.TrimSuffix(region, "/")
	return slices.ContainsFunc(sets, func(s string) bool { return l.inRegion(s, region) }) ||
		slices.ContainsFunc(l.Firm.Required, func(r limit.Required) bool { return r.Covers(region) || begins(r.Region, region, "/") })
}

// checkFilter holds every name of a filter to what exists.
func (l *Library) checkFilter(f *Filter) (by fact.Moment, err error) {
	sets := l.setNames()
	for _, n := range f.RuleSets {
		if !slices.ContainsFunc(sets, func(s string) bool { return begins(s, n, "/@") }) {
			return by, &UnknownName{What: "rule set", Name: n, Near: nearest.Of(n, withBeginnings(sets, "/@"))}
		}
	}
	for _, n := range f.Measures {
		if err := l.CheckMeasure(n); err != nil {
			return by, err
		}
	}
	if n := f.Region; n != "" && !l.knowsRegion(n, sets) {
		regions := withBeginnings(sets, "/")[len(sets):]
		for _, r := range l.Firm.Required {
			regions = append(regions, r.Region)
		}
		return by, &UnknownName{What: "rule set of a region", Name: n, Near: nearest.Of(n, regions), All: regions}
	}
	var grades []string
	for _, g := range limit.Grades() {
		grades = append(grades, string(g))
	}
	for _, n := range f.Grades {
		if !slices.Contains(grades, n) {
			return by, &UnknownName{What: "grade", Name: n, Near: nearest.Of(n, grades), All: grades}
		}
	}
	if f.Stage == "" {
		return fact.Never, nil
	}
	by, ok := fact.ParseMoment(f.Stage)
	if !ok || by == fact.Never {
		names := fact.MomentNames()
		return by, &UnknownName{What: "stage, gate or event", Name: f.Stage, Near: nearest.Of(f.Stage, names), All: names}
	}
	return by, nil
}

// CheckMeasure holds a measure, or the beginning of one, to the shape. The error
// is an *UnknownName.
func (l *Library) CheckMeasure(name string) error {
	paths := l.Shape.Paths()
	if slices.ContainsFunc(paths, func(p string) bool { return begins(p, name, ".") }) {
		return nil
	}
	if _, err := l.Shape.Way(strings.TrimSuffix(name, ".")); err == nil {
		return nil
	}
	for _, one := range l.Limits() {
		if MeasureMatches(one, name) {
			return nil
		}
	}
	return &UnknownName{What: "measure", Name: name, Near: nearest.Of(name, withBeginnings(paths, "."))}
}

// setNames lists the names of all rule sets and revisions.
func (l *Library) setNames() []string {
	var out []string
	for _, s := range l.Sets {
		out = append(out, s.Source.Name)
	}
	for _, p := range l.Products {
		out = append(out, p.Source.Name)
	}
	return out
}

// withBeginnings adds to the names what they begin with, up to each separator.
func withBeginnings(names []string, separators string) []string {
	out := slices.Clone(names)
	for _, n := range names {
		for i, c := range n {
			if b := n[:i]; i > 0 && strings.ContainsRune(separators, c) && !slices.Contains(out, b) {
				out = append(out, b)
			}
		}
	}
	return out
}
