package report

import (
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/cmd/witnessmark/since"
)

// sarifSince writes what is said of a result beside the base, in its properties.
func sarifSince(j *jsonText, v since.Verdict) {
	j.text("since", string(v.State)).text("in_base", Shown(inBaseText(v)))
}

// left writes what the base had and the run has no more. It has the identity that it
// had in the base; the outcome is the one of then.
func (s *sarifAudit) left(j *jsonText, o *Open) {
	j.open('{').text("ruleId", Shown(o.Name))
	kindAndLevel(j, o.Kind, o.Blocking)
	sarifMessage(j, string(o.State)+": "+o.Text+".")
	if o.File != "" { // its line is known no more, and a place without one counts as a mistake
		j.object("analysisTarget").text("uri", sarifURI(s.path(o.File))).text("uriBaseId", sarifBase).close('}')
	}
	if o.Kind != 0 {
		sarifPlace(j, "", o.Fact, jobfile.Position{}, false)
	}
	j.object("partialFingerprints").text(fingerprint, o.Key).close('}').text("baselineState", baselineState(o.State, ""))
	sarifSuppressions(j, o.Kind, "")
	j.object("properties").text("outcome", outcomeWord(o.Kind)).truth("blocking", o.Blocking).text("job", Shown(o.Job)).text("since", string(o.State)).close('}', '}')
}

// sarifNotesSince says with what the run was compared, and what was not.
func sarifNotesSince(c *since.Comparison) []sarifNote {
	if c == nil {
		return nil
	}
	notes := []sarifNote{{level: "note", text: sentenceCase(sinceSentence(c)) + "."}}
	for _, n := range c.Notes {
		notes = append(notes, sarifNote{level: "warning", text: "not compared: " + n})
	}
	return notes
}
