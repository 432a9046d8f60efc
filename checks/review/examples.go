package review

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/boundary"
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// stated holds the examples that limits state to the limits.
func stated(s *Subject) []Remark {
	var out []Remark
	for _, l := range s.all() {
		if l.Examples == nil {
			continue
		}
		for i, text := range l.Examples.Within {
			out = append(out, try(l, text, limit.Yes, s.item(l.At, i, "examples", "within"))...)
		}
		for i, text := range l.Examples.Outside {
			out = append(out, try(l, text, limit.No, s.item(l.At, i, "examples", "outside"))...)
		}
	}
	return out
}

// try holds one example to its limit.
func try(l *limit.Compiled, text string, want limit.Truth, at fact.Origin) []Remark {
	side := "within"
	if want == limit.No {
		side = "outside"
	}
	verdict, applies, err := l.Try(text)
	switch {
	case err != nil:
		return []Remark{{At: at, Code: "example-unreadable", Message: fmt.Sprintf("the example %q of %s could not stand in a job: %v", text, l.FullName, err), Mend: "write it as a job would"}}
	case !applies:
		return []Remark{{At: at, Code: "example-elsewhere", Message: fmt.Sprintf("the example %q of %s is a value at which the limit does not apply", text, l.FullName), Mend: "choose a value that meets the condition of the limit"}}
	case verdict == limit.Unknown || verdict == want:
		return nil
	}
	return []Remark{{At: at, Code: "example-wrong", Message: fmt.Sprintf("the example %q of %s should be %s, but it is not: the limit is %s", text, l.FullName, side, l.Describe(false)), Mend: "correct the limit, or the example if that is wrong"}}
}

// examples looks for limits of which no value within, or none outside, is stated
// or can be made. A limit of which there surely is none is reported by itself.
func examples(s *Subject) []Remark {
	maker := &boundary.Maker{Shape: s.Shape, Functions: s.Functions, OwnUnit: true}
	products := map[string]*define.Revision{}
	for _, p := range s.Products {
		products[p.Source.Name] = p
	}
	var out []Remark
	for _, l := range s.all() {
		if s.Ships[l.Source.Name] && boundary.HasNumber(l) {
			continue // tried when the tool is built, more thoroughly and with no firm around it
		}
		var own boundary.Own
		if p := products[l.Source.Name]; p != nil {
			if lacksFigure(l, p) {
				continue // reported as that
			}
			own.Product = p.Instance
		}
		within, outside, reason := sides(l, maker, own)
		var lacks []string
		if !within {
			lacks = append(lacks, "within")
		}
		if !outside {
			lacks = append(lacks, "outside")
		}
		if len(lacks) == 0 || hopeless(l) {
			continue
		}
		if reason != "" {
			reason = " (" + reason + ")"
		}
		out = append(out, Remark{At: l.At, Code: "no-example", Message: fmt.Sprintf("no value %s %s is stated or could be made%s", strings.Join(lacks, " and none "), l.FullName, reason),
			Mend: "state examples: {within: […], outside: […]} as a job would write them"})
	}
	return out
}

// lacksFigure tells whether a limit of a datasheet reads a figure that the
// datasheet does not state.
func lacksFigure(l *limit.Compiled, p *define.Revision) bool {
	return slices.ContainsFunc(l.Reads(), func(w fact.Way) bool {
		return w.Leaf.Scope == p.Instance.Scope && p.Instance.Get(w.Leaf).State == fact.Absent
	})
}

// sides tells whether there is an example on either side: stated, certain by the
// values of the measure, tried out, or made with a whole job by package boundary.
func sides(l *limit.Compiled, maker *boundary.Maker, own boundary.Own) (within, outside bool, reason string) {
	within, outside, certain := l.Verdicts()
	if certain {
		return true, true, "" // where one side is empty, it is reported as that
	}
	if e := l.Examples; e != nil {
		within, outside = within || len(e.Within) > 0, outside || len(e.Outside) > 0
	}
	if within && outside {
		return true, true, ""
	}
	if !boundary.HasNumber(l) {
		for _, text := range l.Candidates() {
			verdict, _, err := l.Try(text)
			within = within || err == nil && verdict == limit.Yes
			outside = outside || err == nil && verdict == limit.No
		}
		return within, outside, ""
	}
	probe := boundary.NewProbe()
	if err := maker.Add(probe, l, own); err != nil && !errors.Is(err, boundary.ErrNoNumber) {
		return within, outside, err.Error()
	}
	for _, c := range probe.Cases {
		within, outside = within || c.Expect == judge.Within, outside || c.Expect == judge.Outside
	}
	return within, outside, ""
}
