package review

import (
	"fmt"
	"regexp"
	"slices"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// required looks at the firm's map of region, occupancy and date: names that do
// not exist, and days that no edition or two editions of a document cover.
func required(s *Subject) []Remark {
	var out []Remark
	var names, occupancies []string
	if l := s.Shape.Leaf("premises.occupancy"); l != nil {
		occupancies = l.Words
	}
	for _, set := range s.Sets {
		names = append(names, set.Source.Name)
	}
	for i := range s.Required {
		r := &s.Required[i]
		for n, name := range r.RuleSets {
			switch {
			case !slices.Contains(names, name):
				out = append(out, Remark{At: r.At, Code: "required-no-rule-set", Message: fmt.Sprintf("required in %s: there is no rule set %q%s", r.Region, name, nearest.Hint(nearest.Of(name, names))),
					Mend: "name a rule set that exists, or add it to the firm's rules", Breaks: true})
			case slices.Index(r.RuleSets, name) < n:
				out = append(out, Remark{At: r.At, Code: "required-twice", Message: fmt.Sprintf("required in %s: %s stands twice", r.Region, name), Mend: "remove one of the two"})
			}
		}
	}
	return append(out, Succession(s.Required, occupancies, s.source)...)
}

// Succession looks at the editions of each document that a map requires, for each
// region that the map names and each occupancy: a day between two of them on
// which none is required, and days on which a job would have to name two. An
// entry without rule sets says that none is in force and leaves no gap. Editions
// that go by different dates of a job, by selected_by, are not compared.
func Succession(all []define.Required, occupancies []string, source func(name string) *limit.Source) []Remark {
	if len(occupancies) == 0 {
		occupancies = []string{""}
	}
	var out []Remark
	told := map[string]bool{}
	for _, region := range regionsOf(all) {
		for _, o := range occupancies {
			for _, document := range documentsOf(all) {
				for _, r := range succession(entriesFor(all, region, o, document), source) {
					if key := r.At.String() + r.Message; !told[key] {
						told[key] = true
						out = append(out, r)
					}
				}
			}
		}
	}
	return out
}

// entry is one edition that an entry of the map requires; without an edition the
// entry says that nothing is in force.
type entry struct {
	*define.Required
	edition string
}

func entriesFor(all []define.Required, region, occupancy, document string) []entry {
	var out []entry
	for i := range all {
		r := &all[i]
		if !r.Covers(region) || !r.For(occupancy) {
			continue
		}
		if len(r.RuleSets) == 0 {
			out = append(out, entry{r, ""})
		}
		for _, name := range r.RuleSets {
			if documentOf(name) == document {
				out = append(out, entry{r, name})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b entry) int { return int(int64(a.From) - int64(b.From)) })
	return out
}

// succession compares entries that follow each other, first in force first.
func succession(entries []entry, source func(string) *limit.Source) []Remark {
	var out []Remark
	for i, b := range entries {
		if b.edition == "" {
			continue
		}
		last := fact.NoDay // last day on which an entry before is in force
		var before *entry
		for k := range entries[:i] {
			a := &entries[k]
			if a.edition != "" && !comparableBy(source, a.edition, b.edition) {
				return nil
			}
			if a.edition != "" && a.edition != b.edition && (a.Until == fact.NoDay || b.From <= a.Until) {
				out = append(out, twoEditions(a, &b))
			}
			if before == nil || later(a.Until, last) {
				before, last = a, a.Until
			}
		}
		if before != nil && before.edition != "" && last != fact.NoDay && b.From != fact.NoDay && b.From > last+1 {
			out = append(out, Remark{At: b.At, Code: "required-gap", Message: fmt.Sprintf("neither %s nor %s (at %s) is required in %s %s", b.edition, before.edition, before.At, b.Region, days(last+1, b.From-1)),
				Mend: "let the later entry begin on the day after the earlier one ends; where nothing at all is in force in between, add an entry without rule sets that says why"})
		}
	}
	return out
}

func twoEditions(a, b *entry) Remark {
	region, at := b.Region, b.At
	if len(a.Region) > len(region) {
		region = a.Region // the narrower of the two, where both hold
	}
	return Remark{At: at, Code: "required-overlap", Message: fmt.Sprintf("in %s both %s (%s) and %s (%s, at %s) are required at once", region, b.edition, inForce(b.From, b.Until), a.edition, inForce(a.From, a.Until), a.At),
		Mend: "end the entry of the earlier edition on the day before the later one begins, or name the occupancies of each"}
}

// later tells whether a last day lies behind another; open is behind all.
func later(a, b fact.Day) bool { return b != fact.NoDay && (a == fact.NoDay || a > b) }

func comparableBy(source func(string) *limit.Source, a, b string) bool {
	x, y := source(a), source(b)
	return x == nil || y == nil || x.SelectedBy == y.SelectedBy
}

var trailingEdition = regexp.MustCompile(`-[0-9][0-9A-Za-z.]*$`)

// documentOf is the name of a rule set without its edition: "us/nec" of
// "us/nec-2023".
func documentOf(name string) string { return trailingEdition.ReplaceAllString(name, "") }

func documentsOf(all []define.Required) []string {
	var out []string
	for i := range all {
		for _, name := range all[i].RuleSets {
			if d := documentOf(name); !slices.Contains(out, d) {
				out = append(out, d)
			}
		}
	}
	return out
}

func regionsOf(all []define.Required) []string {
	var out []string
	for i := range all {
		if !slices.Contains(out, all[i].Region) {
			out = append(out, all[i].Region)
		}
	}
	return out
}
