package review

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/fact"
)

// faults passes on what was found when the definitions were read and planned.
// Something is not applied, or cannot be judged, because of each of them.
func faults(s *Subject) []Remark {
	out := make([]Remark, len(s.Faults))
	for i, f := range s.Faults {
		out[i] = Remark{At: f.At, Code: f.Code, Message: f.Message, Mend: f.Mend, Breaks: true}
	}
	return out
}

// statements looks for sources and limits that state nothing where they have to
// state something: that the field is there is seen when it is read, that it holds
// more than blanks is seen here.
func statements(s *Subject) []Remark {
	var out []Remark
	blank := func(at fact.Origin, of, field, text, mend string) {
		if strings.TrimSpace(text) == "" {
			out = append(out, Remark{At: s.beside(at, field, text), Code: "no-" + strings.ReplaceAll(field, "_", "-"), Message: fmt.Sprintf("%s states no %s", of, field), Mend: mend})
		}
	}
	for _, set := range s.groups() {
		src := &set.Source
		if set.Product == "" || src.Title != "" && src.Edition != "" { // of equipment data, empty ones were seen when it was read
			blank(src.At, src.Name, "title", src.Title, "write the title as printed")
			blank(src.At, src.Name, "edition", src.Edition, "write the edition or the date as printed")
		}
		blank(src.At, src.Name, "decided_by", src.DecidedBy, "say who decides locally, as a sentence for the reader of a report")
		for _, l := range set.Limits {
			blank(l.At, l.FullName, "clause", l.Clause, "name the clause, table or heading where the source states it")
			blank(l.At, l.FullName, "why", l.Why, "say why the limit exists, for the one who has to keep it")
		}
	}
	return out
}

// reviews looks at the days of review.
func reviews(s *Subject) []Remark {
	var out []Remark
	for _, l := range s.all() {
		out = append(out, s.dates(reviewOf{name: l.FullName, at: l.At, reviewed: l.Reviewed, by: l.ReviewBy})...)
	}
	return out
}

// reviewOf is when a limit or table was compared with its source, and when that
// is due again.
type reviewOf struct {
	name, reviewed, by string
	at                 fact.Origin
}

// dates looks at the days of one review.
func (s *Subject) dates(x reviewOf) []Remark {
	var out []Remark
	reviewed, ok := fact.ParseDay(x.reviewed)
	if !ok {
		out = append(out, s.noDay(x, "reviewed", x.reviewed))
	}
	by, ok2 := fact.ParseDay(x.by)
	if !ok2 {
		out = append(out, s.noDay(x, "review_by", x.by))
	}
	if ok && reviewed > s.Today {
		out = append(out, Remark{At: s.beside(x.at, "reviewed", x.reviewed), Code: "reviewed-in-future",
			Message: fmt.Sprintf("%s was reviewed on %s, which is still to come on %s", x.name, reviewed, s.Today), Mend: "write the day on which it was compared with its source"})
	}
	switch {
	case ok && ok2 && by < reviewed:
		out = append(out, Remark{At: s.beside(x.at, "review_by", x.by), Code: "review-before-reviewed",
			Message: fmt.Sprintf("%s is due for review on %s, before it was reviewed on %s", x.name, by, reviewed), Mend: "correct one of the two days"})
	case ok2 && by < s.Today:
		out = append(out, Remark{At: x.at, Code: "review-overdue", Message: fmt.Sprintf("the review of %s was due on %s (last on %s)", x.name, by, x.reviewed),
			Mend: "compare it with its source again, then set reviewed and review_by"})
	}
	return out
}

func (s *Subject) noDay(x reviewOf, field, text string) Remark {
	return Remark{At: s.beside(x.at, field, text), Code: "no-day", Message: fmt.Sprintf("%s: %s: %q is no day", x.name, field, text), Mend: "write year-month-day, for example 2026-03-11"}
}
