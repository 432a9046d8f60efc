package review

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
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
		reviewed, ok := fact.ParseDay(l.Reviewed)
		if !ok {
			out = append(out, noDay(s, l, "reviewed", l.Reviewed))
		}
		by, ok2 := fact.ParseDay(l.ReviewBy)
		if !ok2 {
			out = append(out, noDay(s, l, "review_by", l.ReviewBy))
		}
		if ok && reviewed > s.Today {
			out = append(out, Remark{At: s.beside(l.At, "reviewed", l.Reviewed), Code: "reviewed-in-future",
				Message: fmt.Sprintf("%s was reviewed on %s, which is still to come on %s", l.FullName, reviewed, s.Today), Mend: "write the day on which the limit was compared with its source"})
		}
		switch {
		case ok && ok2 && by < reviewed:
			out = append(out, Remark{At: s.beside(l.At, "review_by", l.ReviewBy), Code: "review-before-reviewed",
				Message: fmt.Sprintf("%s is due for review on %s, before it was reviewed on %s", l.FullName, by, reviewed), Mend: "correct one of the two days"})
		case ok2 && by < s.Today:
			out = append(out, Remark{At: l.At, Code: "review-overdue", Message: fmt.Sprintf("the review of %s was due on %s (last on %s)", l.FullName, by, l.Reviewed),
				Mend: "compare the limit with its source again, then set reviewed and review_by"})
		}
	}
	return out
}

func noDay(s *Subject, l *limit.Compiled, field, text string) Remark {
	return Remark{At: s.beside(l.At, field, text), Code: "no-day", Message: fmt.Sprintf("%s: %s: %q is no day", l.FullName, field, text), Mend: "write year-month-day, for example 2026-03-11"}
}
