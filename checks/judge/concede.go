package judge

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// ConcessionUsed is the built-in check that a concession accepts something: one
// for a value that is within its limit, or that does not exist, is a mistake or
// has outlived its use.
const ConcessionUsed = "record#concession-used"

// grantedBy says who can accept a deviation from which kind of source, and by
// what paper; the firm needs none for its own rules.
var grantedBy = map[limit.Kind]struct{ who, paper string }{
	limit.Policy: {"firm", ""}, limit.Practice: {"firm", ""},
	limit.Datasheet: {"maker", "consent of the maker"}, limit.SafetyNotice: {"maker", "consent of the maker"},
	limit.Code: {"authority", "ruling"}, limit.Standard: {"authority", "ruling"}, limit.Permit: {"authority", "ruling"},
}

// Concession is one entry of a job's list of concessions, as far as it is needed
// to see whether it accepts a deviation. It holds no facts of the job,
// only entries of the firm's register.
type Concession struct {
	Key     string
	Limit   string // full name
	Fact    string // address of the value
	Value   string // the value that was accepted, as written
	refusal string // why it does not count whatever the value
	by, on  string
	reason  string
	paper   string         // kind of the document
	flaw    string         // why the document does not count
	person  *fact.Instance // who answers for it; nil where the firm keeps no register of people
}

// Standing says what became of a concession.
type Standing uint8

// What becomes of a concession.
const (
	Unused   Standing = iota // nothing was outside what it is for
	Refused                  // it does not count; the outcome that it names says why
	Counts                   // it accepts the value
	OverSums                 // it is for a sum over the premises, which is judged after the last job
)

// Conceded is one concession of a job and what became of it.
type Conceded struct {
	Of       *fact.Instance
	Standing Standing
}

// Concessions lists the concessions of a job. AsOf is the day in its zone.
func Concessions(facts *fact.Facts, asOf fact.Day) []Concession {
	list := facts.Shape.Scope("concessions")
	if list == nil {
		return nil
	}
	var out []Concession
	for _, in := range facts.Entries[list.ID] {
		get := func(name string) *fact.Value {
			if l := facts.Shape.Leaf("concessions." + name); l != nil {
				return in.Get(l)
			}
			return &fact.Value{}
		}
		c := Concession{Key: in.Key, Limit: get("limit").Text, Fact: get("fact").Text, Value: get("value").Text,
			by: get("granted_by").Text, on: get("on").Day.String(), reason: get("reason").Text}
		if d := get("document"); d.State == fact.Known && d.Target != nil {
			if l := facts.Shape.Leaf("documents.document"); l != nil {
				c.paper = d.Target.Get(l).Text
			}
			c.flaw = flawOf(facts.Shape, d.Target, c.by, asOf)
		}
		if by := get("by"); by.State == fact.Known {
			c.person = by.Target
		}
		c.refusal = incomplete(get, asOf)
		out = append(out, c)
	}
	return out
}

// flawOf says why a document does not prove a concession: it is not written yet,
// holds no longer, or was issued by somebody else than who gave the concession.
func flawOf(shape *fact.Compiled, document *fact.Instance, by string, asOf fact.Day) string {
	get := func(name string) *fact.Value {
		if l := shape.Leaf("documents." + name); l != nil {
			return document.Get(l)
		}
		return &fact.Value{}
	}
	on, until, issuer := get("on"), get("valid_until"), get("issued_by")
	switch {
	case on.State == fact.Known && on.Day > asOf:
		return "it is dated " + on.Day.String() + ", which is still to come"
	case until.State == fact.Unreadable || until.State == fact.Known && until.Day < asOf:
		return "it was good until " + until.Written
	case issuer.State == fact.Unreadable || issuer.State == fact.Known && issuer.Text != by:
		return "it was issued by the " + issuer.Text
	}
	return ""
}

// incomplete says why a concession does not count whatever it is for.
func incomplete(get func(string) *fact.Value, asOf fact.Day) string {
	on, until := get("on"), get("until")
	for _, name := range []string{"granted_by", "by", "on", "reason", "value"} {
		if get(name).State != fact.Known {
			return "who gave it, who answers for it, since when, for which value and why must be recorded; " + name + " is not"
		}
	}
	switch {
	case on.Day > asOf:
		return "it is given only on " + on.Day.String()
	case until.State == fact.Unreadable || until.State == fact.Known && until.Day < asOf:
		return "it held until " + until.Written
	}
	return ""
}

// Accept applies the concession to an outcome that it names: the outcome becomes
// accepted, or says why the concession does not count.
func (c *Concession) Accept(o *Outcome) {
	if reason := c.refuses(o); reason != "" {
		o.Reason = fmt.Sprintf("the concession %s does not count: %s", c.Key, reason)
		return
	}
	o.Kind, o.Reason = Accepted, fmt.Sprintf("accepted by the %s (concession %s, %s): %s", c.by, c.Key, c.on, c.reason)
}

func (c *Concession) refuses(o *Outcome) string {
	want := grantedBy[o.Limit.Source.Kind]
	switch {
	case c.refusal != "":
		return c.refusal
	case c.by != want.who:
		return fmt.Sprintf("a deviation from a %s is accepted by the %s", o.Limit.Source.Kind, want.who)
	case want.who == "firm" && c.person != nil && !MayRuleOn(c.person, string(o.Limit.Source.Kind)):
		return fmt.Sprintf("by the register (%s) %s may not rule on a %s", placeOf(c.person), c.person.Key, o.Limit.Source.Kind)
	case want.paper != "" && c.paper != want.paper:
		return fmt.Sprintf("it needs a document of the kind %q, by which the %s accepts it", want.paper, want.who)
	case want.paper != "" && c.flaw != "":
		return "its document does not count: " + c.flaw
	case !c.isFor(o):
		return fmt.Sprintf("it was given for %s, which is not the value now", c.Value)
	}
	return ""
}

// isFor tells whether the value is the one that was accepted. A change of the
// value needs a new concession.
func (c *Concession) isFor(o *Outcome) bool {
	switch o.Leaf.Type {
	case fact.Quantity:
		q, err := quantity.Parse(c.Value, o.Leaf.Of, quantity.Options{})
		return err == nil && quantity.Compare(q, o.Compared) == 0 && sameSpread(q, o)
	case fact.Count:
		n, err := quantity.ParseDecimal(strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(c.Value, o.Leaf.Noun), strings.TrimSuffix(o.Leaf.Noun, "s"))))
		return err == nil && n.Float64() == o.Compared.Base()
	}
	return o.Value != nil && (c.Value == o.Value.Written || c.Value == o.Value.Text)
}

// sameSpread tells whether the accepted value was as uncertain as the value now:
// one that is less certain may lie farther out. A band of the firm's policy was
// known when the concession was given.
func sameSpread(accepted quantity.Quantity, o *Outcome) bool {
	if o.Banded || o.Value == nil || o.Value.State != fact.Known {
		return true
	}
	now := o.Value.Quantity
	return now.IsCalculated() || now.BaseUncertainty() <= accepted.BaseUncertainty()*(1+1e-9)
}

// concede turns outcomes into accepted where the job has a concession for that
// limit and that value. Sums over the premises are conceded after the last job.
func (j *Judge) concede(facts *fact.Facts) {
	r := &j.result
	last := len(r.Outcomes)
	list := facts.Shape.Scope("concessions")
	for i, c := range Concessions(facts, r.AsOf) {
		standing := Unused
		if r.across(c.Limit) {
			standing = OverSums
		}
		for n := range r.Outcomes[:last] {
			o := &r.Outcomes[n]
			if o.Limit != nil && (o.Kind == Outside || o.Kind == TooClose) && o.Name() == c.Limit && o.Fact() == c.Fact {
				standing = Refused
				if c.Accept(o); o.Kind == Accepted {
					standing = Counts
				}
			}
		}
		in := facts.Entries[list.ID][i]
		r.Conceded = append(r.Conceded, Conceded{in, standing})
		if leaf := facts.Shape.Leaf("concessions.limit"); standing == Unused && leaf != nil && c.Limit != "" {
			r.Outcomes = append(r.Outcomes, Outcome{Kind: Outside, Check: ConcessionUsed, Of: in, Leaf: leaf, Value: in.Get(leaf),
				Reason: fmt.Sprintf("%s is not outside %s, so there is nothing to accept", orNothing(c.Fact), c.Limit)})
		}
	}
}

func orNothing(s string) string {
	if s == "" {
		return "the value"
	}
	return s
}

// across tells whether a limit is judged over the premises, after all jobs.
func (r *Result) across(name string) bool {
	for _, l := range r.plan.Across {
		if l.FullName == name {
			return true
		}
	}
	return false
}
