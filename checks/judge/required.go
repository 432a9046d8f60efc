package judge

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// RuleSetsRequired is the built-in check that a job names every rule set that the
// firm's map of region, occupancy and date asks for.
const RuleSetsRequired = "record#rule-sets-required"

// House is what the firm lays down for all of its jobs beside limits.
type House struct {
	Required []limit.Required                // its map of required rule sets; none where it has none
	Source   func(name string) *limit.Source // of a rule set; nil where there is none of that name
}

// required compares the rule sets a job names with those it must name. A job in
// a region that the map does not cover is not checked by anything local, which
// must not look like a pass.
func (j *Judge) required(facts *fact.Facts, names Names) {
	leaf := facts.Shape.Leaf("rule_sets")
	if len(j.house.Required) == 0 || leaf == nil {
		return
	}
	q := query{j: j, facts: facts, names: names, out: Outcome{Check: RuleSetsRequired, Blocking: true, Of: facts.Root, Leaf: leaf, Value: facts.Root.Get(leaf)}}
	if q.ask(); q.out.Kind != 0 {
		j.result.Outcomes = append(j.result.Outcomes, q.out)
	}
}

// query asks the map what one job must name.
type query struct {
	j     *Judge
	facts *fact.Facts
	names Names
	out   Outcome
	lacks []fact.Lack // what the answer waits on
	left  []string    // what is left out, in words
	none  []string    // why nothing is in force, in words
	found bool        // an entry is in force
}

func (q *query) ask() {
	region, ok := q.word("premises.region")
	if !ok {
		q.j.wait(&q.out, q.lacks, "which rule sets are required is not known")
		return
	}
	covered := false
	for i := range q.j.house.Required {
		r := &q.j.house.Required[i]
		if !r.Covers(region) {
			continue
		}
		covered = true
		if len(r.Occupancies) > 0 {
			occupancy, ok := q.word("premises.occupancy")
			if !ok || !r.For(occupancy) {
				continue
			}
		}
		q.entry(r)
	}
	switch {
	case len(q.left) > 0:
		q.out.Kind, q.out.Reason = Outside, "left out: "+strings.Join(q.left, "; ")+q.superseded(region)
		if v := q.out.Value; v.State == fact.Absent && q.facts.DueLater(fact.Lack{Of: q.out.Of, Leaf: q.out.Leaf}, q.j.result.AsOf) {
			q.out.Kind, q.out.WaitsOn = NotDue, []fact.Lack{{Of: q.out.Of, Leaf: q.out.Leaf}}
		}
	case len(q.lacks) > 0:
		q.j.wait(&q.out, q.lacks, "which rule sets are required is not known")
	case !covered:
		q.nothing("the firm's map of required rule sets has no entry for the region " + region)
	case !q.found:
		q.nothing("the firm's map of required rule sets has no entry in force for " + region + ", this occupancy and these dates")
	case len(q.none) > 0:
		q.out.Kind, q.out.Reason = NotApplicable, "nothing local was checked: "+strings.Join(q.none, "; ")
	}
}

func (q *query) nothing(why string) {
	q.out.Kind, q.out.Reason = NotChecked, "nothing local was checked: "+why
}

// word reads a fact of the premises; what is absent is noted.
func (q *query) word(path string) (string, bool) {
	l := q.facts.Shape.Leaf(path)
	if l == nil {
		return "", false
	}
	v := q.facts.Root.Get(l)
	if v.State != fact.Known {
		q.lack(l)
		return "", false
	}
	return v.Text, true
}

func (q *query) lack(l *fact.Leaf) {
	k := fact.Lack{Of: q.facts.Root, Leaf: l}
	if l != nil && !slices.Contains(q.lacks, k) {
		q.lacks = append(q.lacks, k)
	}
}

// entry asks one entry of the map that is for this region and occupancy.
func (q *query) entry(r *limit.Required) {
	if len(r.RuleSets) == 0 {
		if q.inForce(r, fact.AtPermit) {
			q.found, q.none = true, append(q.none, r.Why)
		}
		return
	}
	for _, name := range r.RuleSets {
		by := fact.AtPermit
		s := q.j.house.Source(name)
		if s != nil && s.SelectedBy != "" {
			by, _ = fact.ParseMoment(s.SelectedBy)
		}
		if !q.inForce(r, by) {
			continue
		}
		q.found = true
		if !q.names(name) && (s == nil || !s.Always) {
			q.left = append(q.left, fmt.Sprintf("%s is required in %s%s (%s, %s)", name, r.Region, since(r), r.At, r.Why))
		}
	}
}

// inForce compares the job's date with those of the entry. An entry without
// dates is in force always.
func (q *query) inForce(r *limit.Required, by fact.Moment) bool {
	if r.From == fact.NoDay && r.Until == fact.NoDay {
		return true
	}
	day, ok := q.facts.Date(by)
	if !ok {
		q.lack(q.facts.Shape.Leaf("dates." + by.String()))
		return false
	}
	return r.InForce(day)
}

// since says from when an entry is in force.
func since(r *limit.Required) string {
	if r.From == fact.NoDay {
		return ""
	}
	return " since " + r.From.String()
}

// superseded names rule sets of the job that the map has for another time.
func (q *query) superseded(region string) string {
	out := ""
	for i := range q.j.house.Required {
		r := &q.j.house.Required[i]
		for _, name := range r.RuleSets {
			if r.Covers(region) && r.Until != fact.NoDay && q.names(name) && !strings.Contains(out, name) {
				if day, ok := q.facts.Date(fact.AtPermit); ok && day > r.Until {
					out += fmt.Sprintf("; the job names %s, which the map has until %s", name, r.Until)
				}
			}
		}
	}
	return out
}
