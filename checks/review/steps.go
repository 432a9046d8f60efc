package review

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/nearest"
)

// The facts of a job that the orders of switching of a datasheet are compared
// with.
const (
	stepDo   = "switching.steps.do"
	stepWhat = "switching.steps.what"
)

// duration ends a step: "wait inverter 5 min".
var duration = regexp.MustCompile(`(^| )[0-9]+ (s|min)$`)

// steps looks, in the orders of switching of equipment data, for what no step of
// a job can be: such a step would never be found done.
func steps(s *Subject) []Remark {
	do, what := s.Shape.Leaf(stepDo), s.Shape.Leaf(stepWhat)
	if do == nil || what == nil {
		return nil
	}
	var out []Remark
	for _, p := range s.Products {
		for _, l := range p.Instance.Scope.Leaves {
			v := p.Instance.Get(l)
			if l.Inside() != "switch_on" && l.Inside() != "switch_off" || !l.Many || v.State != fact.Known {
				continue
			}
			for i := range v.More.List {
				if one := &v.More.List[i]; one.State == fact.Known {
					out = append(out, s.step(p, l, one, do, what)...)
				}
			}
		}
	}
	return out
}

// step looks at one step: what is done, to what, for how long.
func (s *Subject) step(p *define.Revision, l *fact.Leaf, one *fact.Value, do, what *fact.Leaf) []Remark {
	verb, target, _ := strings.Cut(duration.ReplaceAllString(one.Text, ""), " ")
	var out []Remark
	for _, word := range []struct {
		text string
		of   *fact.Leaf
	}{{verb, do}, {target, what}} {
		if word.text == "" && word.of == what || slices.Contains(word.of.Words, word.text) {
			continue // a step may be waiting alone
		}
		out = append(out, Remark{At: itemAt(s, p, l, one), Code: "step-unknown",
			Message: fmt.Sprintf("%s: %s: %q: no job can record %q (%s)%s", p.Name, l.Inside(), one.Text, word.text, word.of.Path, nearest.Hint(nearest.Of(word.text, word.of.Words))),
			Mend:    "use one of: " + strings.Join(word.of.Words, ", "), Breaks: true})
	}
	return out
}
