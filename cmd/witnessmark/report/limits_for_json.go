package report

import (
	"strconv"

	"witnessmark.example/checks"
	"witnessmark.example/checks/limit"
	"witnessmark.example/cmd/witnessmark/since"
)

// LimitsForJSON writes the candidates of one job as one JSON object.
func LimitsForJSON(c *checks.Candidates, version string) []byte {
	b := appendText([]byte(`{"tool":{"name":"witnessmark"`), "version", version)
	b = strconv.AppendInt(append(b, `},"format_version":`...), FormatVersion, 10)
	b = appendSome(b, "as_of", c.AsOf.String())
	b = appendText(b, "file", c.File)
	b = appendText(b, "job", c.Number)
	b = appendText(b, "premises", c.Premises)
	b = appendText(b, "status", c.Status)
	b = appendText(b, "stage", c.Stage)
	b = appendTruth(b, "unread", c.Unread)
	b = append(b, ",\n\"values\":["...)
	for i := range c.Values {
		b = appendCandidates(append(comma(b, i), '\n'), &c.Values[i])
	}
	b = append(b, "],\n\"sums\":["...)
	for i := range c.Sums {
		b = appendCandidateSum(append(comma(b, i), '\n'), &c.Sums[i])
	}
	b = append(b, "],\n\"rule_sets\":["...)
	for i := range c.Sets {
		b = appendSetUse(append(comma(b, i), '\n'), &c.Sets[i])
	}
	b = append(b, ']')
	if c.Required != 0 {
		b = AppendJSON(append(b, `,"required":{"outcome":`...), c.Required.String())
		b = append(appendSome(b, "reason", c.RequiredWhy), '}')
	}
	b = append(b, ",\n\"without_entry\":["...)
	for i, l := range c.Without {
		b = appendBrief(append(comma(b, i), '\n'), l)
	}
	b = append(b, "],\n\"problems\":["...)
	for i := range c.Problems {
		b = appendProblem(append(comma(b, i), '\n'), &c.Problems[i], since.Verdict{})
	}
	b = append(b, ']')
	b = appendTexts(b, "notes", c.Notes)
	b = appendText(b, "caution", caution)
	return append(b, "}\n"...)
}

// appendCandidates writes one value with the limits on it.
func appendCandidates(b []byte, v *checks.CandidateValue) []byte {
	b = AppendJSON(append(b, `{"fact":`...), v.Fact)
	b = appendText(b, "measure", v.Measure)
	b = appendText(b, "label", labelOr(v.Label, v.Measure))
	b = appendText(b, "state", v.State)
	b = appendSome(b, "value", v.Now)
	b = appendSome(b, "planned", v.Planned)
	b = appendSome(b, "built", v.Built)
	b = appendSome(b, "formula", v.Formula)
	b = appendAt(b, v.At)
	if v.Why != "" {
		b = appendText(b, "strictest", v.Candidates[0].Limit.FullName)
		b = appendText(b, "strictest_why", v.Why)
	}
	b = append(b, `,"candidates":[`...)
	for i := range v.Candidates {
		b = appendCandidate(append(comma(b, i), '\n', ' '), &v.Candidates[i])
	}
	return append(appendNotAsked(append(b, ']'), v.NotAsked), '}')
}

func appendCandidate(b []byte, c *checks.Candidate) []byte {
	b = appendKnown(b, c.Limit, c.Second)
	b = appendText(b, "outcome", c.Kind.String())
	b = appendTruth(b, "strictest", c.Strictest)
	b = appendSome(b, "bound_here", c.Bound)
	if c.Margin != "" {
		b = append(appendKey(b, "margin"), signed(c.Room, c.Beside)...)
		b = appendText(b, "margin_text", c.Margin)
	}
	b = appendSome(b, "reason", c.Reason)
	if len(c.Unmet) > 0 {
		b = appendUnmet(b, c.Unmet)
	}
	if len(c.WaitsOn) > 0 {
		b = appendTexts(b, "waits_on", c.WaitsOn)
	}
	if c.By != nil {
		b = appendText(b, "by", c.By.FullName)
		b = appendText(b, "by_clause", c.By.Clause)
	}
	if len(c.Relaxes) > 0 {
		b = append(b, `,"takes_the_place_of":[`...)
		for i, l := range c.Relaxes {
			b = appendBrief(comma(b, i), l.Compiled)
		}
		b = append(b, ']')
	}
	return append(b, '}')
}

// appendKnown opens an object with what is known of a limit.
func appendKnown(b []byte, l *limit.Planned, second bool) []byte {
	b = AppendJSON(append(b, `{"limit":`...), l.FullName)
	b = appendText(b, "within", l.Describe(second))
	b = appendSome(b, "unit", l.Way.Leaf.UnitName(l.UnitFor(second)))
	b = appendText(b, "source", l.Source.Name)
	b = appendText(b, "title", l.Source.Title)
	b = appendText(b, "edition", l.Source.Edition)
	b = appendText(b, "clause", l.Clause)
	b = appendText(b, "grade", string(l.Grade))
	b = appendTruth(b, "blocking", l.Blocking)
	b = appendText(b, "file", l.At.File)
	return appendNumber(b, "line", l.At.Line)
}

// appendBrief writes a limit that did not judge the job.
func appendBrief(b []byte, l *limit.Compiled) []byte {
	b = AppendJSON(append(b, `{"limit":`...), l.FullName)
	b = appendText(b, "measure", l.Measure)
	b = appendText(b, "within", l.Describe(false))
	b = appendText(b, "source", l.Source.Name)
	b = appendText(b, "clause", l.Clause)
	return append(appendText(b, "grade", string(l.Grade)), '}')
}

func appendNotAsked(b []byte, all []*limit.Compiled) []byte {
	b = append(b, `,"not_asked_for":[`...)
	for i, l := range all {
		b = appendBrief(comma(b, i), l)
	}
	return append(b, ']')
}

func appendUnmet(b []byte, all []limit.Unmet) []byte {
	b = append(b, `,"not_met":[`...)
	for i, u := range all {
		b = AppendJSON(append(comma(b, i), `{"fact":`...), u.Fact)
		b = appendText(b, "value", u.Value)
		b = appendText(b, "asked", u.Asked)
		b = append(appendText(b, "text", u.Text), '}')
	}
	return append(b, ']')
}

// appendCandidateSum writes one sum over the premises.
func appendCandidateSum(b []byte, s *checks.CandidateSum) []byte {
	b = AppendJSON(append(b, `{"measure":`...), s.Measure)
	b = appendText(b, "label", labelOr(s.Label, s.Measure))
	b = append(b, `,"candidates":[`...)
	for i := range s.Outcomes {
		o := &s.Outcomes[i]
		b = append(comma(b, i), '\n', ' ')
		b = appendRepositoryOutcome(b, o, since.Verdict{})
		b = b[:len(b)-1] // more keys follow
		b = appendText(b, "clause", o.Limit.Clause)
		b = appendText(b, "grade", string(o.Limit.Grade))
		if keeps := keepsFrom(o, s.Unmet); len(keeps) > 0 {
			b = appendUnmet(b, keeps)
		}
		b = append(b, '}')
	}
	return append(appendNotAsked(append(b, ']'), s.NotAsked), '}')
}

// appendSetUse writes one rule set as the job uses it.
func appendSetUse(b []byte, u *checks.SetUse) []byte {
	b = AppendJSON(append(b, `{"use":`...), string(u.Use))
	b = appendTexts(b, "limits", u.Limits)
	if u.Use == checks.Named {
		b = appendNumber(b, "named_in_line", u.Line)
	}
	if u.Use == checks.Product {
		b = appendTexts(b, "used_by", u.UsedBy)
	}
	if u.Moment != 0 {
		b = appendText(b, "goes_by", "dates."+u.Moment.String())
		b = appendSome(b, "date", u.Date.String())
	}
	b = append(b, `,"dated":[`...)
	for i, d := range u.Dated {
		b = AppendJSON(append(comma(b, i), `{"limit":`...), d.FullName)
		b = appendSome(b, "from", d.From.String())
		b = appendSome(b, "until", d.Until.String())
		b = append(appendText(b, "force", force(d.Force)), '}')
	}
	b = appendSource(appendKey(append(b, ']'), "source"), u.Source)
	return append(b, '}')
}
