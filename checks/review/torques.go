package review

import (
	"fmt"
	"math"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/limit"
)

// The facts of a job that the joints of a datasheet are compared with.
const (
	jointWord   = "joints.joint"
	jointTorque = "joints.torque.set"
)

// torques compares the torques that equipment data states for its joints with
// those that its own limits allow for the same joint: wall_bracket in the data is
// the joint "wall bracket". Bounds from facts and further conditions leave a limit
// out, since there it may be right to differ.
func torques(s *Subject) []Remark {
	joint := s.Shape.Leaf(jointWord)
	if joint == nil {
		return nil
	}
	var out []Remark
	for _, p := range s.Products {
		for _, word := range joint.Words {
			for _, l := range p.Set.Limits {
				if l.Measure == jointTorque && l.IsConstant() && l.AsksOnly(jointWord, word) {
					out = append(out, s.torque(p, l, word)...)
				}
			}
		}
	}
	return out
}

// torque compares both ends of one joint with one limit. An end that only one of
// them states is not compared.
func (s *Subject) torque(p *define.Revision, l *limit.Compiled, word string) []Remark {
	low, high, ok := l.Interval(nil)
	if !ok {
		return nil
	}
	var out []Remark
	for _, end := range []struct {
		field string
		bound float64
	}{{"torque_low", low}, {"torque_high", high}} {
		f := statedFigure(p, "joints."+strings.ReplaceAll(word, " ", "_")+"."+end.field)
		if f == nil || math.IsInf(end.bound, 0) {
			continue
		}
		if q := p.Instance.Get(f).Quantity; math.Abs(q.Base()-end.bound) > tolerance(q.Unit() == l.Of)*math.Abs(end.bound) {
			out = append(out, Remark{At: figureAt(s, p, f), Code: "torque-differs",
				Message: fmt.Sprintf("%s: %s is %s, but %s (at %s) asks for %s", p.Name, f.Inside(), q, l.FullName, l.At, l.Describe(false)),
				Mend:    "compare both with the datasheet and correct the one that is wrong", Breaks: true})
		}
	}
	return out
}

// tolerance is how far two statements of one figure may lie apart, as a share:
// not at all in one unit, by rounding in two.
func tolerance(oneUnit bool) float64 {
	if oneUnit {
		return 1e-9
	}
	return 0.01
}
