package define

import (
	"fmt"
	"slices"
	"strings"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// Required is one entry of the firm's map of required rule sets.
type Required = limit.Required

// Contact is somebody to call.
type Contact struct {
	For                             string // "emergency"
	Says, Telephone, Address, Hours string
}

func (f *Firm) readContacts(v cue.Value) {
	it, err := v.Fields()
	for err == nil && it.Next() {
		c := it.Value()
		if strings.TrimSpace(text(c, "says")) == "" {
			f.fault(origin(c), "broken-definition", fmt.Sprintf("the contact %q lacks says, which is what it is called on site", it.Selector().Unquoted()), "add says: \"…\"; the contact is not used until then")
			continue
		}
		f.Contacts = append(f.Contacts, Contact{For: it.Selector().Unquoted(), Says: text(c, "says"), Telephone: text(c, "telephone"), Address: text(c, "address"), Hours: text(c, "hours")})
	}
}

// readRequired reads the map of required rule sets. Whether the rule sets exist
// is seen when all have been read.
func (f *Firm) readRequired(v cue.Value, shape *fact.Compiled) {
	for _, e := range items(v) {
		r := Required{Region: text(e, "region"), Occupancies: readList(e.LookupPath(cue.ParsePath("occupancies"))), From: fact.NoDay, Until: fact.NoDay,
			RuleSets: readList(e.LookupPath(cue.ParsePath("rule_sets"))), Why: text(e, "why"), At: origin(e)}
		sound := f.wholeEntry(e, &r) && f.occupancies(e, &r, shape)
		for _, d := range []struct {
			field string
			to    *fact.Day
		}{{"from", &r.From}, {"until", &r.Until}} {
			w := e.LookupPath(cue.ParsePath(d.field))
			if !w.Exists() {
				continue
			}
			day, ok := fact.ParseDay(text(e, d.field))
			if !ok {
				sound = false
				f.fault(origin(w), "broken-definition", fmt.Sprintf("required in %s: %s: %q is no date", r.Region, d.field, text(e, d.field)), "write year-month-day, for example 2026-03-11; the entry is not used until then")
				continue
			}
			*d.to = day
		}
		if r.From != fact.NoDay && r.Until != fact.NoDay && r.Until < r.From {
			sound = false
			f.fault(origin(e.LookupPath(cue.ParsePath("until"))), "broken-definition", fmt.Sprintf("required in %s: it is in force from %s until %s, which is never", r.Region, r.From, r.Until), "correct the dates; the entry is not used until then")
		}
		if sound {
			f.Required = append(f.Required, r)
		}
	}
}

// wholeEntry tells whether an entry of the map says all that it must. One that
// lacks its list would say that no rules are in force.
func (f *Firm) wholeEntry(e cue.Value, r *Required) bool {
	const unused = "; the entry is not used until then"
	for _, field := range []string{"region", "rule_sets", "why"} {
		if !e.LookupPath(cue.ParsePath(field)).Exists() {
			f.fault(r.At, "broken-definition", fmt.Sprintf("an entry of required lacks %s", field), "add it"+unused)
			return false
		}
	}
	switch {
	case strings.HasSuffix(r.Region, "/") || strings.Contains(r.Region, "//"):
		f.fault(origin(e.LookupPath(cue.ParsePath("region"))), "broken-definition", fmt.Sprintf("required in %s: a region has a name on both sides of each slash", r.Region), "write it as in ammerel/tholvane"+unused)
	case strings.TrimSpace(r.Why) == "":
		f.fault(origin(e.LookupPath(cue.ParsePath("why"))), "broken-definition", fmt.Sprintf("required in %s: why is empty", r.Region), "say where it is laid down, or why nothing is in force"+unused)
	default:
		return true
	}
	return false
}

// occupancies tells whether an entry of the map names occupancies that exist: for
// one that does not, it would never ask for anything.
func (f *Firm) occupancies(e cue.Value, r *Required, shape *fact.Compiled) bool {
	leaf := shape.Leaf("premises.occupancy")
	for i, o := range r.Occupancies {
		if leaf != nil && !slices.Contains(leaf.Words, o) {
			at := origin(items(e.LookupPath(cue.ParsePath("occupancies")))[i])
			f.fault(at, "broken-definition", fmt.Sprintf("required in %s: there is no occupancy %q%s", r.Region, o, nearest.Hint(nearest.Of(o, leaf.Words))),
				"use some of: "+strings.Join(leaf.Words, ", ")+"; the entry is not used until then")
			return false
		}
	}
	return true
}

// items lists the values of a list; none where there is no list.
func items(v cue.Value) (out []cue.Value) {
	it, err := v.List()
	for err == nil && it.Next() {
		out = append(out, it.Value())
	}
	return out
}

// required lists the fields that a form demands. (CUE does not ask for them while
// a value may still be added to.)
func required(form cue.Value) (out []string) {
	it, err := form.Fields(cue.Optional(true))
	for err == nil && it.Next() {
		if it.Selector().ConstraintType() == cue.RequiredConstraint {
			out = append(out, it.Selector().Unquoted())
		}
	}
	return out
}
