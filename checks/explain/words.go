package explain

import (
	"slices"
	"strings"

	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// word is an entry of the table of words that no definition holds.
type word struct {
	kind  Kind
	name  string // in machine output
	shown string // in text, where it differs
	what  string
	why   string
	do    string
	note  string // an example of its use
}

// table lists outcomes, grades, weights and decisions.
func table() []word {
	return []word{
		{OfOutcome, judge.Within.String(), "", "The value is inside the limit; on the bound counts as inside.",
			"Says what was compared, so that silence never looks like a pass.", "Nothing.",
			"gap to the wall 30 mm, limit >= 22 mm and <= 40 mm"},
		{OfOutcome, judge.Outside.String(), "", "The value is outside the limit.",
			"The limit is there for the reason its explanation gives; what is outside has to be changed or accepted by whoever may accept it.",
			"Change what is on site, correct the value if it was written wrong, or record a concession: by the firm for its policy and customs, by the maker for a datasheet, by the authority for a code.",
			"gap to the wall 44 mm, limit <= 40 mm: 4 mm outside"},
		{OfOutcome, judge.TooClose.String(), "too close to call", "The value as written is inside the limit, but its uncertainty reaches over it.",
			"A datasheet or a policy is met only with all of the uncertainty inside; whether this value meets it cannot be told from this reading.",
			"Measure with a better instrument, state its ±, or move the value away from the limit.",
			"torque 8.8 N·m ± 4 %, limit <= 9 N·m"},
		{OfOutcome, judge.Missing.String(), "", "A fact that is due by now is not recorded.",
			"What is not recorded cannot be checked and cannot be shown later.",
			"Record it; the message names the place in the file and how it is written.",
			"paint mark (joints[j1].marked), due energise"},
		{OfOutcome, judge.NotChecked.String(), "not checked", "The limit could not be judged; the reason says what stands in the way.",
			"It is never a pass: nobody knows yet whether the limit is met or even applies.",
			"Record what it waits on, or mend the definition or equipment data that could not be read.",
			"the working space of a place whose depth is not recorded"},
		{OfOutcome, judge.NotDue.String(), "not due", "The limit waits on facts that need not be recorded yet.",
			"Nobody has to write something untrue early to get a clean report.",
			"Nothing now. It is listed before the gate at which the facts fall due.",
			"a torque before the stack is installed"},
		{OfOutcome, judge.NotApplicable.String(), "not applicable", "The limit's condition is not met here, it is out of force on the job's date, or another limit takes its place.",
			"A limit for dwellings says nothing about a farm; the report counts it all the same, so that it is seen to have been looked at.",
			"Nothing, if the facts that the condition looks at are right.",
			"a limit for units that have a neighbour, on a unit that has none"},
		{OfOutcome, judge.Accepted.String(), "", "The value is outside the limit, and somebody who may do so has accepted exactly this value.",
			"Deviations happen. They are recorded with who accepted them, why and for which value, and they stay visible.",
			"Nothing; another value needs a new concession.",
			"free space in front 880 mm, limit of the firm's policy >= 900 mm, concession c1"},
		{OfGrade, string(limit.Document), "", "The source's own text was read.", "Whoever decides must know how far a limit can be trusted.",
			"", "a limit that the maker prints in the datasheet"},
		{OfGrade, string(limit.Copy), "", "An unofficial copy of the source's text was read.", "A copy may leave out an amendment, but the words are those of the source.",
			"Compare it with the document when there is a chance to.", "a code read in a library's scan"},
		{OfGrade, string(limit.Official), "", "A law, an authority or a regulator restates the source.", "The body that enforces it says so itself.",
			"", "a state's own text of the code it adopted"},
		{OfGrade, string(limit.Secondary), "", "Someone's account of the source was read.", "An account may round, mix editions or leave out conditions; a limit known by it only advises.",
			"Read the text itself, or let the firm's policy promote the limit by name.", "a training page about a code"},
		{OfGrade, string(limit.Memory), "", "The limit was recalled, not read.", "What is half remembered must never stand under a code's name as met; a limit of this grade only advises.",
			"Read the text, and raise the grade by that.", "a clause number that nobody has looked up"},
		{OfGrade, string(limit.Custom), "", "Common practice of the trade; no source demands it.", "Good work is more than codes; the firm decides by its policy which customs block.",
			"Promote it by name in the firm's policy, or leave it as advice.", "a paint mark across a tightened bolt"},
		{OfWeight, "blocking", "", "The limit decides by itself: its grade is document, copy or official, or the firm's policy promotes it by name.",
			"Only what is known well enough may stop a job.", "", "every limit of the grade document"},
		{OfWeight, "advisory", "", "The limit is shown and judged, but it does not decide beside a blocking one: its grade is secondary, memory or practice.",
			"Half-known limits are worth seeing and not worth stopping a job for.",
			"Let the firm's policy name it under promotes to make it block.", "every limit of the grade memory that no policy promotes"},
		{OfDecision, string(limit.Simple), "", "The value as written decides; an uncertainty that reaches over the limit is only noted.",
			"Codes, standards and permits are written for readings as they are taken on site.", "", "22 mm ± 1 mm meets >= 22 mm"},
		{OfDecision, string(limit.Guarded), "", "A value is within only with all of its uncertainty; else it is too close to call.",
			"A maker or the firm itself wants to be sure.", "", "22 mm ± 1 mm is too close to call for >= 22 mm"},
	}
}

// words explains a word; one word may have several meanings.
func (b *Book) words(name string) []*Explanation {
	var out []*Explanation
	asked := strings.ToLower(name)
	for _, w := range table() {
		if w.name != asked && w.shown != asked && strings.ReplaceAll(w.name, "_", "-") != asked {
			continue
		}
		shown := w.shown
		if shown == "" {
			shown = w.name
		}
		out = append(out, &Explanation{Kind: w.kind, Name: w.name, What: w.what, Why: w.why, Word: &Word{Shown: shown, Do: w.do},
			Examples: []Example{{Title: "in use", Value: w.note}}})
	}
	return append(out, b.moments(asked)...)
}

// Words lists every word of the reports that can be explained, as reports write
// it in text, each once.
func Words() []string {
	var out []string
	for _, w := range table() {
		out = append(out, w.name)
		if w.shown != "" {
			out = append(out, w.shown)
		}
	}
	out = append(out, momentNames()...)
	slices.Sort(out)
	return slices.Compact(out)
}

// gradeMeaning says how a limit of a grade is known, as a phrase.
func gradeMeaning(g limit.Grade) string { return phrase(OfGrade, string(g)) }

// decisionMeaning says how an uncertainty is taken, as a phrase.
func decisionMeaning(d limit.Decision) string { return phrase(OfDecision, string(d)) }

func phrase(kind Kind, name string) string {
	for _, w := range table() {
		if w.kind == kind && w.name == name {
			return strings.ToLower(w.what[:1]) + strings.TrimSuffix(w.what[1:], ".")
		}
	}
	return ""
}
