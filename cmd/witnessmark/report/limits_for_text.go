package report

import (
	"slices"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/limit"
)

// LimitsForText writes the candidates of one job for people: value by value every
// limit and what became of it, then the sums, the rule sets and what was not
// checked.
func LimitsForText(c *checks.Candidates, s Settings) []byte {
	w := forWriter{&lines{paint: newPalette(s.Colour), path: s.pathOf(), asOf: c.AsOf}, c}
	w.heading()
	for i := range c.Values {
		w.value(&c.Values[i])
	}
	if len(c.Sums) > 0 {
		w.end()
		w.in(w.paint.strong, "Sums over the premises").own(" (all of its jobs together)").end()
	}
	for i := range c.Sums {
		w.sum(&c.Sums[i])
	}
	w.sets()
	w.without()
	w.ending()
	return w.b
}

// forWriter writes the candidates of one job.
type forWriter struct {
	*lines
	c *checks.Candidates
}

// name begins an indented line. It is wider than item, so that every outcome fits.
func (w *forWriter) name(text string, p painter) *forWriter {
	const width = 17
	w.own("  ").in(p, text).own(strings.Repeat(" ", max(0, width-len(text))+1))
	return w
}

// more begins a line that goes on with what the one before is about.
func (w *forWriter) more() *forWriter { return w.name("", painter{}) }

func (w *forWriter) heading() {
	c := w.c
	w.place(w.path(c.File), jobfile.Position{})
	if c.Unread {
		w.own("the file could not be read; nothing of it can be shown").end()
		return
	}
	w.own("job ").from(c.Number).own(" (")
	if c.Status != "" && c.Status != "active" {
		w.from(c.Status).own(", ")
	}
	w.from(stageOr(c.Stage)).own(")")
	if c.Premises != "" {
		w.own(", premises ").from(c.Premises)
	}
	limits := 0
	for i := range c.Values {
		limits += len(c.Values[i].Candidates)
	}
	w.own(": ", plural(len(c.Values), "value", "values"), " with ", plural(limits, "candidate", "candidates"), ", as of ", c.AsOf.String()).end()
}

// value writes one value with all of its candidates.
func (w *forWriter) value(v *checks.CandidateValue) {
	w.end()
	w.place(w.path(w.c.File), v.At)
	w.from(labelOr(v.Label, v.Measure)).own(" (").from(v.Fact).own(")")
	if v.Now == "" {
		w.own(" is ", v.State)
	} else {
		w.own(" is ").from(v.Now)
	}
	switch {
	case v.Planned != "" && v.Built != "":
		w.own("; built, planned ").from(v.Planned)
	case v.Planned != "" && v.Now != "":
		w.own("; planned, not built yet")
	case v.Planned != "":
		w.own("; planned ").from(v.Planned)
	case v.Formula != "":
		w.own("; calculated, ").from(v.Formula)
	}
	w.end()
	if v.Why != "" {
		w.name("strictest", w.paint.strong).from(v.Candidates[0].Limit.FullName).own(": ", v.Why).end()
	} else {
		w.name("strictest", w.paint.strong).own("none: no limit was compared with it").end()
	}
	for i := range v.Candidates {
		w.candidate(&v.Candidates[i])
	}
	w.notAsked(v.NotAsked)
}

// candidate writes one limit in two or three lines: what it asks, what came of
// it, and where it comes from.
func (w *forWriter) candidate(c *checks.Candidate) {
	w.name(spoken(c.Kind), w.paint.of(c.Kind))
	w.from(c.Limit.FullName).own(": ").from(c.Limit.Describe(c.Second))
	if c.Bound != "" {
		w.own(", here ").from(c.Bound)
	}
	if c.Margin != "" {
		w.own("; ").from(c.Margin).own(choose(c.Beside, " outside the limit", " within the limit as written"))
	}
	w.end()
	for _, text := range reasons(c) {
		w.more().from(text).end()
	}
	for _, l := range c.Relaxes {
		w.more().own("takes the place of ").from(l.FullName).own(" (").from(l.Describe(false)).own(", ").from(l.Clause).own(") by its own ").from(c.Limit.Clause).end()
	}
	w.whence(c.Limit)
}

// whence writes where a limit comes from in one line.
func (w *forWriter) whence(l *limit.Planned) {
	w.more().document(l)
	w.own("; grade ", string(l.Grade), ", ", blockingWords(l))
	if w.overdue(l) {
		w.own("; review overdue since ").from(l.ReviewBy)
	}
	w.own("; defined in ").defined(l.At).end()
}

// reasons says why a limit does not apply, or could not be judged.
func reasons(c *checks.Candidate) []string {
	var out []string
	for _, u := range c.Unmet {
		out = append(out, u.Text)
	}
	if len(out) > 0 {
		return out
	}
	text := c.Reason
	if len(c.WaitsOn) > 0 {
		text += "; it waits on " + strings.Join(c.WaitsOn, ", ")
	}
	if text == "" {
		return nil
	}
	return []string{strings.TrimPrefix(text, "; ")}
}

// notAsked lists limits of rule sets that the job does not name, one line each.
func (w *forWriter) notAsked(all []*limit.Compiled) {
	for _, l := range all {
		w.name("not asked for", w.paint.faint).from(l.FullName).own(": ").from(l.Describe(false)).own("; the job does not name ").from(l.Source.Name).end()
	}
}

// without lists limits on entries that the job has none of.
func (w *forWriter) without() {
	if len(w.c.Without) == 0 {
		return
	}
	w.end()
	w.in(w.paint.strong, "Limits that nothing of this job can be held to").own(": it has no such entry").end()
	var lists []string
	byList := map[string][]*limit.Compiled{}
	for _, l := range w.c.Without {
		name := l.Scope.List.Name
		if byList[name] == nil {
			lists = append(lists, name)
		}
		byList[name] = append(byList[name], l)
	}
	slices.Sort(lists)
	for _, name := range lists {
		for i, l := range byList[name] {
			if i == 0 {
				w.name(Shown(choose(name == "", "job", name)), w.paint.faint)
			} else {
				w.more()
			}
			w.from(l.FullName).own(": ").from(l.Measure).own(" ").from(l.Describe(false)).end()
		}
	}
}

// ending writes the problems, what was not checked in the whole run, and who
// decides.
func (w *forWriter) ending() {
	w.end()
	for i := range w.c.Problems {
		p := &w.c.Problems[i]
		w.problem(w.path(p.File), p)
	}
	for _, n := range w.c.Notes {
		w.name("not checked", painter{}).from(n).end()
	}
	if n := len(w.c.Problems); n > 0 {
		w.own(plural(n, "problem", "problems"), " kept something from being read, so that this may not be all.").end()
	}
	w.own(caution).end()
}

func labelOr(label, otherwise string) string {
	if label == "" {
		return otherwise
	}
	return label
}

// force says whether a limit is in force on a date of the job.
func force(t limit.Truth) string {
	switch t {
	case limit.Yes:
		return "in force"
	case limit.No:
		return "not in force"
	}
	return "not known whether in force"
}

// span writes the days between which a limit is in force.
func span(l *limit.Compiled) string {
	var parts []string
	if l.From != fact.NoDay {
		parts = append(parts, "from "+l.From.String())
	}
	if l.Until != fact.NoDay {
		parts = append(parts, "until "+l.Until.String())
	}
	return strings.Join(parts, " ")
}

// useWords says how a rule set comes to judge the job.
func useWords(u *checks.SetUse) string {
	switch u.Use {
	case checks.Named:
		return "named by the job in line " + strconv.Itoa(u.Line)
	case checks.Always:
		return "always applies"
	case checks.Product:
		return "used by " + strings.Join(u.UsedBy, ", ")
	}
	return "exists, not named by the job"
}
