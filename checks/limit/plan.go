package limit

import (
	"fmt"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/nearest"
	"witnessmark.example/checks/quantity"
)

// Plan is every limit that is to be judged for one combination of rule sets,
// policy and products. It is read-only and safe for concurrent use.
type Plan struct {
	Sets    []*Set
	ByScope [][]*Planned // by fact.Scope.ID: limits judged for each entry of it
	All     []*Planned
	Across  []*Planned // limits on measures that run over all jobs of the premises

	bands map[*fact.Leaf]Band
}

// Planned is a limit with what other limits of the plan do to it.
type Planned struct {
	*Compiled
	Index      int        // place in Plan.All
	Blocking   bool       // by its grade, or promoted by the firm's policy
	ReplacedBy []*Planned // limits that relax this one where they apply
	Conflicts  []*Planned // limits that no value satisfies together with this one
}

// NewPlan ties sets that are used together: which limits relax which, which are
// promoted by the policy, and which contradict each other. Known tells whether a
// full limit name exists at all, so that a replacement of a limit of a rule set
// that this job does not use is no fault.
func NewPlan(c *fact.Compiled, sets []*Set, known func(string) bool) (*Plan, []Fault) {
	p := &Plan{Sets: sets, ByScope: make([][]*Planned, len(c.Scopes)), bands: map[*fact.Leaf]Band{}}
	byName := map[string]*Planned{}
	var all []*Planned
	for _, s := range sets {
		for leaf, band := range s.Bands {
			p.bands[leaf] = band
		}
		for _, l := range s.Limits {
			one := &Planned{Compiled: l, Index: len(all), Blocking: l.Grade.Blocks()}
			byName[l.FullName] = one
			all = append(all, one)
			if l.Across() {
				p.Across = append(p.Across, one)
			} else {
				p.ByScope[l.Scope.ID] = append(p.ByScope[l.Scope.ID], one)
			}
		}
	}
	p.All = all
	faults := p.tieReplacements(all, byName, known)
	faults = append(faults, p.promote(byName, known)...)
	return p, append(faults, p.tieConflicts(all)...)
}

func (p *Plan) tieReplacements(all []*Planned, byName map[string]*Planned, known func(string) bool) []Fault {
	var faults []Fault
	for _, l := range all {
		for _, name := range l.Replaces {
			target := byName[name]
			switch {
			case target == nil && known(name):
			case target == nil:
				faults = append(faults, Fault{l.At, "replaces-nothing",
					fmt.Sprintf("limit %s replaces %q, which is no limit%s", l.FullName, name, nearest.Hint(nearest.Of(name, namesOf(all)))), "name the limit that is relaxed"})
			case target == l || leadsBack(l, target, byName, map[*Planned]bool{}):
				faults = append(faults, Fault{l.At, "replaces-in-a-circle", fmt.Sprintf("limit %s replaces %s, which leads back to itself; it replaces nothing", l.FullName, name), "let only one of them replace the other"})
			case target.Grade.Blocks() && !l.Grade.Blocks():
				faults = append(faults, Fault{l.At, "replaces-by-hearsay", fmt.Sprintf("limit %s is known by %q only and cannot relax %s, which is known by %q; it replaces nothing", l.FullName, l.Grade, name, target.Grade), "read the text itself, and raise the grade by that"})
			case ownRule(l.Source) && !ownRule(target.Source):
				faults = append(faults, Fault{l.At, "replaces-beyond-its-power", fmt.Sprintf("limit %s of a %s cannot relax %s of a %s; it replaces nothing", l.FullName, l.Source.Kind, name, target.Source.Kind), "record a ruling or the maker's consent as a concession instead"})
			case target.Way.Leaf != l.Way.Leaf || !covers(l.Scope, target.Scope):
				faults = append(faults, Fault{l.At, "replaces-other",
					fmt.Sprintf("limit %s replaces %s, which bounds another measure (%s) or is judged for other entries", l.FullName, name, target.Measure), "replace a limit on the same measure"})
			default:
				target.ReplacedBy = append(target.ReplacedBy, l)
			}
		}
	}
	return faults
}

// ownRule tells whether a firm makes the rule itself.
func ownRule(s *Source) bool { return s.Kind == Policy || s.Kind == Practice }

// leadsBack tells whether following what target replaces comes to l again.
func leadsBack(l, target *Planned, byName map[string]*Planned, seen map[*Planned]bool) bool {
	if seen[target] {
		return false
	}
	seen[target] = true
	for _, name := range target.Replaces {
		if next := byName[name]; next != nil && (next == l || leadsBack(l, next, byName, seen)) {
			return true
		}
	}
	return false
}

func (p *Plan) promote(byName map[string]*Planned, known func(string) bool) []Fault {
	var faults []Fault
	for _, s := range p.Sets {
		for _, name := range s.Promotes {
			if target := byName[name]; target != nil {
				target.Blocking = true
			} else if !known(name) {
				faults = append(faults, Fault{s.PromotesAt, "promotes-nothing",
					fmt.Sprintf("%s promotes %q, which is no limit", s.Source.Name, name), "name the limit that is to block"})
			}
		}
	}
	return faults
}

func (p *Plan) tieConflicts(all []*Planned) []Fault {
	compiled := make([]*Compiled, len(all))
	planned := make(map[*Compiled]*Planned, len(all))
	for i, l := range all {
		compiled[i], planned[l.Compiled] = l.Compiled, l
	}
	var faults []Fault
	for _, x := range FindConflicts(compiled) {
		a, b := planned[x.A], planned[x.B]
		a.Conflicts, b.Conflicts = append(a.Conflicts, b), append(b.Conflicts, a)
		faults = append(faults, Fault{a.At, "limits-conflict",
			fmt.Sprintf("limits %s (%s) and %s (%s, at %s) can apply together, but no value of %s satisfies both",
				a.FullName, a.Describe(false), b.FullName, b.Describe(false), b.At, a.Measure),
			"change one of them, narrow its condition, or let one replace the other with a clause of its own"})
	}
	return faults
}

func namesOf(all []*Planned) []string {
	out := make([]string, len(all))
	for i, l := range all {
		out[i] = l.FullName
	}
	return out
}

// Banded gives a bare nominal the band of the firm's policy. It applies to
// guarded sources only, and never to what is counted or calculated.
func (p *Plan) Banded(l *Planned, leaf *fact.Leaf, q quantity.Quantity) (quantity.Quantity, bool) {
	if l.Source.Decision != Guarded || leaf.Type != fact.Quantity || q.HasUncertainty() || q.IsCalculated() {
		return q, false
	}
	band, ok := p.bands[leaf]
	if !ok {
		return q, false
	}
	if banded := q.WithUncertainty(band.Of); !banded.IsZero() {
		return banded, true
	}
	return q, false // a band that does not fit this way of writing changes nothing
}
