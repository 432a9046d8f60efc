package report

import (
	"strings"

	"witnessmark.example/checks"
)

// sets writes which rule sets judge the job and why, by which of its dates their
// edition goes, and which limits are in force on it.
func (w *forWriter) sets() {
	if len(w.c.Sets) == 0 {
		return
	}
	w.end()
	w.in(w.paint.strong, "Rule sets").end()
	for i := range w.c.Sets {
		w.set(&w.c.Sets[i])
	}
	if w.c.Required != 0 {
		w.name("required", w.paint.of(w.c.Required)).own("by the map of the root file: ", spoken(w.c.Required))
		if w.c.RequiredWhy != "" {
			w.own("; ").from(w.c.RequiredWhy)
		}
		w.end()
	}
}

func (w *forWriter) set(u *checks.SetUse) {
	p := w.paint.strong
	if u.Use == checks.NotNamed {
		p = w.paint.faint
	}
	w.own("  ").own(p.on).from(u.Source.Name).own(p.off).own(": ").from(useWords(u)).own("; ", plural(len(u.Limits), "limit", "limits"), "; ").
		from(u.Source.Title).own(", edition ").from(u.Source.Edition).end()
	if u.Moment != 0 {
		name := "dates." + u.Moment.String()
		w.more().own("goes by ", name, ", which is ")
		if u.Recorded {
			w.own(u.Date.String())
		} else {
			w.own("not recorded")
		}
		if len(u.Dated) == 0 {
			w.own("; none of its limits begins or ends on a date")
		}
		w.end()
	}
	for _, d := range u.Dated {
		w.more().from(d.FullName).own(": ", span(d.Compiled), ", ", force(d.Force)).end()
	}
	if u.Use == checks.NotNamed && len(u.Limits) > 0 {
		w.more().own("not asked for: ").from(strings.Join(u.Limits, ", ")).end()
	}
}
