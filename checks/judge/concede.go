package judge

import (
	"fmt"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// ConcessionUsed is the built-in check that a concession accepts something: one
// for a value that is within its limit, or that does not exist, is a mistake or
// has outlived its use.
const ConcessionUsed = "record#concession-used"

// grantedBy says who can accept a deviation from which kind of source.
var grantedBy = map[limit.Kind]string{
	limit.Policy: "firm", limit.Practice: "firm",
	limit.Datasheet: "maker", limit.SafetyNotice: "maker",
	limit.Code: "authority", limit.Standard: "authority", limit.Permit: "authority",
}

// concede turns outcomes into accepted where the job has a concession for that
// limit and that value, given by the one who may give it.
func (j *Judge) concede(facts *fact.Facts) {
	list := facts.Shape.Scope("concessions")
	if list == nil || len(facts.Entries[list.ID]) == 0 {
		return
	}
	r := &j.result
	last := len(r.Outcomes)
	for _, in := range facts.Entries[list.ID] {
		get := func(name string) *fact.Value {
			if l := facts.Shape.Leaf("concessions." + name); l != nil {
				return in.Get(l)
			}
			return &fact.Value{}
		}
		name, address := get("limit").Text, get("fact").Text
		used := false
		for i := range r.Outcomes[:last] {
			o := &r.Outcomes[i]
			if o.Limit == nil || o.Name() != name || o.Kind != Outside && o.Kind != TooClose || o.Fact() != address {
				continue
			}
			used = true
			if reason := refusal(o, get, r.AsOf); reason != "" {
				o.Reason = fmt.Sprintf("the concession %s does not count: %s", in.Key, reason)
				continue
			}
			o.Kind, o.Reason = Accepted, fmt.Sprintf("accepted by the %s (concession %s, %s): %s", get("granted_by").Text, in.Key, get("on").Day, get("reason").Text)
		}
		if leaf := facts.Shape.Leaf("concessions.limit"); !used && leaf != nil && name != "" && !r.across(name) {
			r.Outcomes = append(r.Outcomes, Outcome{Kind: Outside, Check: ConcessionUsed, Of: in, Leaf: leaf, Value: in.Get(leaf),
				Reason: fmt.Sprintf("%s of %s is not outside %s", "the value", orNothing(address), name)})
		}
	}
}

func orNothing(s string) string {
	if s == "" {
		return "no fact"
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

// refusal says why a concession does not count, or nothing.
func refusal(o *Outcome, get func(string) *fact.Value, asOf fact.Day) string {
	by, want := get("granted_by"), grantedBy[o.Limit.Source.Kind]
	document := get("document")
	on, until := get("on"), get("until")
	switch {
	case by.State != fact.Known || by.Text != want:
		return fmt.Sprintf("a deviation from a %s is accepted by the %s", o.Limit.Source.Kind, want)
	case want != "firm" && (document.State != fact.Known || document.Target == nil):
		return fmt.Sprintf("the paper by which the %s accepts it is not recorded", want)
	case get("by").State != fact.Known || get("reason").State != fact.Known || on.State != fact.Known:
		return "who answers for it, since when and why must be recorded"
	case on.Day > asOf:
		return fmt.Sprintf("it is given only on %s", on.Day)
	case until.State == fact.Unreadable || until.State == fact.Known && until.Day < asOf:
		return fmt.Sprintf("it held until %s", until.Written)
	}
	return ""
}
