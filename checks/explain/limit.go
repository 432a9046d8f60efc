package explain

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// limit explains a limit.
func (b *Book) limit(s *limit.Set, l *limit.Compiled) *Explanation {
	at, leaf := l.At, l.Way.Leaf
	e := &Explanation{Kind: OfLimit, Name: l.FullName, Label: label(leaf), Why: l.Why, At: &at,
		Source: b.source(s), Due: dueOf(leaf), Examples: b.limitExamples(l)}
	if b.movesWithItself(l) {
		e.Notes = append(e.Notes, MovesWithItself)
	}
	promoted := b.promoted(l.FullName)
	x := &Limit{Measure: l.Measure, Within: l.Describe(false), InWords: words(l.Within, leaf, l.Of), Unit: leaf.UnitName(l.Of),
		Clause: l.Clause, Grade: string(l.Grade), Meaning: gradeMeaning(l.Grade), Blocking: l.Grade.Blocks() || promoted != "", Promoted: promoted,
		Scope: l.Scope.List.Name, JudgedFor: judgedFor(l), Applies: b.applies(s), When: b.conditions(l.When),
		Replaces: l.Replaces, HandsOverTo: l.HandsOverTo, Address: l.Address, Reviewed: l.Reviewed, ReviewBy: l.ReviewBy}
	if s.Product != "" {
		x.Product = strings.TrimPrefix(s.Source.Name, "equipment/")
	}
	if l.Printed != nil {
		unit := l.UnitFor(true)
		x.Printed = &Printed{Within: l.Describe(true), InWords: words(l.Printed.Within, leaf, unit), Unit: unit.Symbol()}
	}
	if l.Selects != fact.Never {
		x.InForce = &InForce{Date: "dates." + l.Selects.String(), From: l.Limit.From, Until: l.Limit.Until}
	}
	e.Limit = x
	e.What = "A limit: " + label(leaf) + " (" + l.Measure + ") must be " + x.InWords + "."
	if leaf.Many {
		x.InWords = listWords(l.Within, leaf)
		e.What = "A limit: " + label(leaf) + " (" + l.Measure + "): " + x.InWords + "."
	}
	for _, other := range b.limits() {
		if slices.Contains(other.Replaces, l.FullName) {
			x.ReplacedBy = append(x.ReplacedBy, other.FullName)
		}
		if other != l && other.Way.Leaf == leaf {
			x.Beside = append(x.Beside, other.FullName)
		}
	}
	if to := l.HandsOverTo; to != "" && !slices.ContainsFunc(b.Sets, func(s *limit.Set) bool { return s.Source.Name == to }) {
		e.Notes = append(e.Notes, to+", to which it would hand over, is not among the rule sets in use; until it is, this limit decides.")
	}
	return e
}

// limits lists every limit, in the order of the sets.
func (b *Book) limits() []*limit.Compiled {
	var out []*limit.Compiled
	for _, s := range b.Sets {
		out = append(out, s.Limits...)
	}
	return out
}

// promoted returns the policy that makes a limit block, else nothing.
func (b *Book) promoted(full string) string {
	for _, s := range b.Sets {
		if slices.Contains(s.Promotes, full) {
			return s.Source.Name
		}
	}
	return ""
}

// judgedFor says for which entries a limit is judged, as a phrase.
func judgedFor(l *limit.Compiled) string {
	switch {
	case l.Across():
		return "once for each premises, over all of its jobs, after the last job was read"
	case l.Scope.List.Name == "":
		return "once for the job"
	}
	s := "once for each entry of " + l.Scope.List.Name
	if name := l.Scope.List.Label.In("en"); name != "" {
		s = "once for each " + name + " (entry of " + l.Scope.List.Name + ")"
	}
	if leaf := l.Way.Leaf; leaf.Scope != l.Scope && leaf.Scope.List.Name != "" && l.Way.Start == l.Scope {
		s += "; what several of them lead to gives one outcome, the worst"
	}
	return s
}

// applies says which jobs a rule set is for at all, as a phrase.
func (b *Book) applies(s *limit.Set) string {
	switch {
	case s.Product != "":
		return "where " + strings.TrimPrefix(s.Source.Name, "equipment/") + " is used"
	case s.Source.Always:
		return "to every job"
	}
	return "to jobs that name " + s.Source.Name + " under rule_sets"
}

// source explains the document behind a limit.
func (b *Book) source(s *limit.Set) *Source {
	x := &s.Source
	out := &Source{Name: x.Name, Title: x.Title, Edition: x.Edition, Kind: string(x.Kind), Decision: string(x.Decision),
		Decides: decisionMeaning(x.Decision), DecidedBy: x.DecidedBy, Always: x.Always, Address: x.Address, Ships: b.Ships[x.Name]}
	if x.SelectedBy != "" {
		out.SelectedBy = "dates." + x.SelectedBy
	}
	return out
}

// ruleSet explains a rule set, or what the datasheet of a product limits.
func (b *Book) ruleSet(s *limit.Set) *Explanation {
	at := s.Source.At
	e := &Explanation{Kind: OfRuleSet, Name: s.Source.Name, Label: s.Source.Title, Source: b.source(s), At: &at,
		What: "A rule set: the limits of one source, " + s.Source.Title + ", edition " + s.Source.Edition + ".",
		Why:  "A job is judged by editions that are named, so that a new edition never changes what an old job was built by."}
	if s.Product != "" {
		e.What = "Equipment data: what the datasheet of one revision of a product states and limits (" + s.Source.Title + ", edition " + s.Source.Edition + ")."
		e.Why = "The maker answers for the product only within these limits. Revisions stand side by side; a job keeps the one it was built by."
	} else if s.Source.Kind == limit.Policy {
		e.Why = "What the firm itself has decided: its own limits, how good its readings are, and which advisory limits block."
	} else if s.Source.Kind == limit.Practice {
		e.Why = "Customs that no document demands; the firm's policy says by name which of them block."
	}
	x := &RuleSet{Applies: b.applies(s), Required: b.Required[s.Source.Name], Limits: []LimitLine{}, Promotes: s.Promotes}
	for _, l := range s.Limits {
		x.Limits = append(x.Limits, LimitLine{Name: l.FullName, Measure: l.Measure, Within: l.Describe(false), Grade: string(l.Grade),
			Blocking: l.Grade.Blocks() || b.promoted(l.FullName) != ""})
	}
	for _, path := range sortedKeys(s.RuleSet.Bands) {
		x.Bands = append(x.Bands, Band{path, s.RuleSet.Bands[path]})
	}
	e.RuleSet = x
	if s.Product == "" && !s.Source.Always {
		e.Examples = []Example{b.fieldExample("named by a job", b.Shape.Leaf("rule_sets"), s.Source.Name)}
	}
	if s.Product != "" {
		for _, l := range b.Shape.ProductLeaves() {
			if l.Target.List.Name == "equipment."+s.Product {
				e.Examples = append(e.Examples, b.fieldExample("used by a job", l, strings.TrimPrefix(s.Source.Name, "equipment/")))
				break
			}
		}
	}
	return e
}
