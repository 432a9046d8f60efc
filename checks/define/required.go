package define

import (
	"fmt"

	"cuelang.org/go/cue"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
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
		f.Contacts = append(f.Contacts, Contact{For: it.Selector().Unquoted(), Says: text(c, "says"), Telephone: text(c, "telephone"), Address: text(c, "address"), Hours: text(c, "hours")})
	}
}

// readRequired reads the map of required rule sets. Whether the rule sets exist
// is seen when all have been read.
func (f *Firm) readRequired(v cue.Value) {
	it, err := v.List()
	if err != nil {
		return
	}
	for it.Next() {
		e := it.Value()
		r := Required{Region: text(e, "region"), Occupancies: readList(e.LookupPath(cue.ParsePath("occupancies"))), From: fact.NoDay, Until: fact.NoDay,
			RuleSets: readList(e.LookupPath(cue.ParsePath("rule_sets"))), Why: text(e, "why"), At: origin(e)}
		sound := true
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
			f.fault(r.At, "broken-definition", fmt.Sprintf("required in %s: it is in force from %s until %s, which is never", r.Region, r.From, r.Until), "correct the dates; the entry is not used until then")
		}
		if sound {
			f.Required = append(f.Required, r)
		}
	}
}
