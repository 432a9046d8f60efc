package checks

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// sets lists every rule set there is as the job uses it, then the products it
// uses.
func (s *CandidateSink) sets(facts *fact.Facts) []SetUse {
	named := namedSets(facts)
	byUse := map[Use][]SetUse{}
	for _, set := range s.library.Sets {
		one := setUse(facts, set, NotNamed)
		line, isNamed := named[set.Source.Name]
		switch {
		case isNamed:
			one.Use, one.Line = Named, line
		case set.Source.Always:
			one.Use = Always
		}
		byUse[one.Use] = append(byUse[one.Use], one)
	}
	used := productsOf(facts)
	for _, p := range s.library.Products {
		if by := used[p.Name]; by != nil {
			one := setUse(facts, p.Set, Product)
			one.UsedBy = by
			byUse[Product] = append(byUse[Product], one)
		}
	}
	return slices.Concat(byUse[Named], byUse[Always], byUse[Product], byUse[NotNamed])
}

// namedSets returns the line where the job names each rule set.
func namedSets(facts *fact.Facts) map[string]int {
	out := map[string]int{}
	l := facts.Shape.Leaf("rule_sets")
	if l == nil {
		return out
	}
	if v := facts.Root.Get(l); v.More != nil {
		for i := range v.More.List {
			if one := &v.More.List[i]; one.State == fact.Known {
				out[strings.Clone(one.Text)] = one.At.Line
			}
		}
	}
	return out
}

// productsOf returns which facts name each product that was found.
func productsOf(facts *fact.Facts) map[string][]string {
	out := map[string][]string{}
	for _, l := range facts.Shape.ProductLeaves() {
		for _, in := range facts.Entries[l.Scope.ID] {
			v := in.Get(l)
			all := []fact.Value{*v}
			if l.Many && v.More != nil {
				all = v.More.List
			}
			for i := range all {
				if one := &all[i]; one.State == fact.Known && one.Target != nil {
					key := strings.Clone(one.Target.Key)
					out[key] = append(out[key], strings.Clone(in.AddressOf(l)))
				}
			}
		}
	}
	return out
}

// setUse says which date of the job the edition goes by, and which limits are in
// force on it.
func setUse(facts *fact.Facts, set *limit.Set, use Use) SetUse {
	one := SetUse{Source: &set.RuleSet.Source, Use: use, Date: fact.NoDay}
	if m, ok := fact.ParseMoment(set.Source.SelectedBy); ok && m != fact.Never {
		one.Moment = m
		if day, ok := facts.Date(m); ok {
			one.Date, one.Recorded = day, true
		}
	}
	for _, l := range set.Limits {
		one.Limits = append(one.Limits, l.Name)
		if l.Selects != fact.Never {
			one.Dated = append(one.Dated, DatedLimit{l, l.InForce(one.Date, one.Recorded)})
		}
	}
	return one
}

// asked lists the limits of the rule sets and products that judge the job.
func (s *CandidateSink) asked(want bool) []*limit.Compiled {
	uses := map[string]bool{}
	for i := range s.out.Sets {
		uses[s.out.Sets[i].Source.Name] = s.out.Sets[i].Use != NotNamed
	}
	var out []*limit.Compiled
	for _, l := range s.library.Limits() {
		if used, known := uses[l.Source.Name]; known && used == want {
			out = append(out, l)
		}
	}
	return out
}

// notAsked lists the limits on a measure in rule sets that the job does not name.
func (s *CandidateSink) notAsked(measure string) []*limit.Compiled {
	var out []*limit.Compiled
	for _, l := range s.asked(false) {
		if l.Way.Leaf.Path == measure {
			out = append(out, l)
		}
	}
	return out
}

// entryless finds the limits that nothing came out for, since the job has no
// entry of the list they are judged for.
func (s *CandidateSink) entryless(r *judge.Result) {
	for w := range r.WithoutEntry() {
		for _, l := range w.Limits {
			s.out.Without = append(s.out.Without, l.Compiled)
		}
	}
}

// unmetSums says what keeps limits on sums over the premises from applying, as
// far as this job is concerned. The library was compiled against a shape of its
// own, so its limits are tied to the shape of these facts first.
func (s *CandidateSink) unmetSums(facts *fact.Facts) {
	for _, set := range s.library.Sets {
		for _, l := range set.Limits {
			if !l.Across() {
				continue
			}
			if here, err := limit.Compile(facts.Shape, set.RuleSet, l.Limit); err == nil {
				s.unmet[l.FullName] = here.WhyNot(facts, facts.Root)
			}
		}
	}
}
