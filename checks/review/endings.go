package review

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
)

// endings looks, in the firm's map, for editions that end and nothing follows.
func endings(s *Subject) []Remark {
	var occupancies []string
	if l := s.Shape.Leaf("premises.occupancy"); l != nil {
		occupancies = l.Words
	}
	return Endings(s.Required, occupancies)
}

// Endings looks, for each document, region and occupancy of a map, for an entry
// that ends and after which nothing of the document is required. Something
// follows where a later entry requires an edition, where one without rule sets
// says that none is in force, and where another document begins on the day after.
func Endings(all []define.Required, occupancies []string) []Remark {
	if len(occupancies) == 0 {
		occupancies = []string{""}
	}
	var out []Remark
	for _, document := range documentsOf(all) {
		for _, region := range regionsOf(all) {
			ended := map[*define.Required][]string{}
			for _, o := range occupancies {
				if r := ending(all, region, o, document); r != nil {
					ended[r] = append(ended[r], o)
				}
			}
			for i := range all {
				if of := ended[&all[i]]; of != nil {
					out = append(out, tellEnding(&all[i], document, region, of, occupancies))
				}
			}
		}
	}
	return out
}

// ending finds the last entry of a document, nil where it does not end or
// something follows.
func ending(all []define.Required, region, occupancy, document string) *define.Required {
	var last *define.Required
	entries := entriesFor(all, region, occupancy, document)
	for i := range entries {
		if e := &entries[i]; e.edition != "" && (last == nil || later(e.Until, last.Until)) {
			last = e.Required
		}
	}
	if last == nil || last.Until == fact.NoDay {
		return nil
	}
	next := last.Until + 1
	for i := range all {
		r := &all[i]
		if r.Covers(region) && r.For(occupancy) && (r.From == next || len(r.RuleSets) == 0 && r.InForce(next)) {
			return nil
		}
	}
	return last
}

func tellEnding(r *define.Required, document, region string, of, occupancies []string) Remark {
	where := region
	if slices.ContainsFunc(occupancies, func(o string) bool { return r.For(o) && !slices.Contains(of, o) }) {
		where += " for " + strings.Join(of, ", ")
	}
	return Remark{At: r.At, Code: "required-ends", Message: fmt.Sprintf("nothing of %s is required in %s after %s", document, where, r.Until),
		Mend: "add an entry for the edition that follows, from the day after; where nothing is in force any more, one without rule sets that says why"}
}

// againstEachOther looks, in the firm's map, for entries in force together of
// which one repeats a rule set of the other, or says that there is none. An entry
// without rule sets takes nothing back, whatever region it is for.
func againstEachOther(s *Subject) []Remark {
	var out []Remark
	for i := range s.Required {
		b := &s.Required[i]
		for k := range s.Required {
			a := &s.Required[k]
			if i == k || !shareOccupancy(a, b) || !shareDays(a, b) {
				continue
			}
			if k < i && a.Region == b.Region {
				out = append(out, repeated(a, b)...)
			}
			if len(b.RuleSets) == 0 && len(a.RuleSets) > 0 && a.Covers(b.Region) {
				out = append(out, Remark{At: b.At, Code: "required-none-beside", Message: fmt.Sprintf("the map says that nothing is in force in %s (%s), but requires %s there too (%s, at %s)", b.Region, inForce(b.From, b.Until), strings.Join(a.RuleSets, ", "), inForce(a.From, a.Until), a.At),
					Mend: "remove one of the two, or name the occupancies and days of each"})
			}
		}
	}
	return out
}

func repeated(a, b *define.Required) []Remark {
	var out []Remark
	for _, name := range b.RuleSets {
		if slices.Contains(a.RuleSets, name) {
			out = append(out, Remark{At: b.At, Code: "required-repeated", Message: fmt.Sprintf("required in %s: %s (%s) is required there already (%s, at %s)", b.Region, name, inForce(b.From, b.Until), inForce(a.From, a.Until), a.At),
				Mend: "name the rule set in one of the two, or separate their occupancies and days"})
		}
	}
	return out
}
