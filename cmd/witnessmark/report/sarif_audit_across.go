package report

import (
	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// across writes one outcome that belongs to several jobs.
func (s *sarifAudit) across(j *jsonText, r *checks.Run, o *checks.RepositoryOutcome, p *checks.PremisesResult, seen identitiesSeen) {
	j.line().open('{').text("ruleId", Shown(o.Name))
	kindAndLevel(j, o.Kind, o.Blocking)
	t := teller(nil, fact.NoDay)
	heads := t.tell(func() { t.across(o) })
	text := heads[0].head
	for _, i := range heads[0].items {
		if i.name == "margin" || i.name == "note" {
			text += "; " + i.text
		}
	}
	sarifMessage(j, text+".")
	if o.File != "" {
		sarifPlace(j, s.path(o.File), o.Fact, o.At, false)
	}
	sarifTaxa(j, o.Limit)
	v := s.since.Outcome(o)
	j.object("partialFingerprints").text(fingerprint, seen.unique(keyAcross(o, p.Premises))).close('}').text("baselineState", baselineState(v.State, inBaseText(v)))
	sarifSuppressions(j, o.Kind, o.Reason)
	j.object("properties").text("outcome", o.Kind.String()).truth("blocking", o.Blocking).text("premises", Shown(p.Premises))
	if len(p.Jobs) > 0 {
		j.list("jobs")
		for _, job := range p.Jobs {
			j.item(Shown(job))
		}
		j.close(']')
	}
	if l := r.Shape.Leaf(o.Measure); l != nil {
		j.text("topic", l.Topic)
	}
	sarifSince(j, v)
	j.close('}', '}')
}
