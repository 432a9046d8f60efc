package boundary

import (
	"errors"
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// Case is one value beside or at a bound, in a job file of its own.
type Case struct {
	File     string // of the job
	Premises string // of the job; a sum over the premises is looked for under it
	Across   bool   // the measure is such a sum
	Fact     string // address of the value in the job
	Written  string
	Unit     quantity.Unit
	Side     Side
	Bound    *big.Rat   // in the base unit of the measure's kind
	Second   bool       // the printed second value of the source decides
	Expect   judge.Kind // Within, Outside, or NotApplicable where a condition on the measure itself fails
}

// Probe is a firm's repository with every boundary case of one limit: file names
// and texts. It has no rule sets of its own; a limit of the firm needs its file
// added.
type Probe struct {
	Files map[string]string
	Cases []Case
}

// ErrNoNumber says that a limit bounds by words only.
var ErrNoNumber = errors.New("the limit has no number")

// Maker makes cases for the limits of one shape.
type Maker struct {
	Shape     *fact.Compiled
	Functions []quantity.Function // the physics that calculated measures use
}

// Make makes every case of a limit. It returns ErrNoNumber for a limit without
// a number and says what is in the way where a case cannot be made.
func (m *Maker) Make(l *limit.Compiled) (*Probe, error) {
	if !HasNumber(l.Within) {
		return nil, ErrNoNumber
	}
	if m.Shape.Leaf(l.Way.Leaf.Path) != l.Way.Leaf {
		return nil, fmt.Errorf("%s was compiled for another shape", l.FullName)
	}
	p := &Probe{Files: map[string]string{"witnessmark.cue": rootFile}}
	leaf := l.Way.Leaf
	units := unitsOf(leaf)
	if len(units) == 0 {
		return nil, fmt.Errorf("%s: no unit of %s is read", l.FullName, leaf.Of.Kind())
	}
	for _, u := range units {
		if err := m.inUnit(p, l, u); err != nil {
			return nil, fmt.Errorf("%s: %s: %w", l.FullName, u, err)
		}
	}
	if len(p.Cases) == 0 {
		return nil, fmt.Errorf("%s: no case could be made in any unit", l.FullName)
	}
	return p, nil
}

const rootFile = "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {name: \"Boundary\"}\n"

// unitsOf lists every unit that the measure can be written in.
func unitsOf(l *fact.Leaf) []quantity.Unit {
	if l.Type == fact.Count {
		return []quantity.Unit{l.Of}
	}
	var out []quantity.Unit
	for _, u := range quantity.Units() {
		if u.Kind() == l.Of.Kind() {
			out = append(out, u)
		}
	}
	return out
}

// ruleFor returns the constraint that a value in this unit is held to: the
// printed one where the source prints a second value for its system of units. A
// calculated value has no unit of its own and is held to the main one.
func ruleFor(l *limit.Compiled, u quantity.Unit) (limit.Constraint, quantity.Unit, bool) {
	if l.Printed != nil && l.Way.Leaf.Calculation == nil {
		if printed, ok := quantity.UnitOf(l.Printed.Unit); ok && printed.System() == u.System() {
			return l.Printed.Within, printed, true
		}
	}
	return l.Within, l.Of, false
}

// inUnit makes the cases for one unit.
func (m *Maker) inUnit(p *Probe, l *limit.Compiled, u quantity.Unit) error {
	_, first, err := m.job(l, u, nil)
	if err != nil {
		return err
	}
	for _, bound := range first.bounds(nil) {
		values, err := around(bound, u)
		if err != nil {
			return err
		}
		for _, v := range values {
			one, r, err := m.job(l, u, &v)
			if err != nil {
				return fmt.Errorf("%s: %w", v.text, err)
			}
			if !one.verbatim && u != l.Way.Leaf.Of {
				continue // the unit does not show in the job, so that it would be the same case again
			}
			c := Case{Written: v.text, Unit: u, Side: v.side, Bound: bound, Across: l.Across()}
			_, _, c.Second = ruleFor(l, u)
			c.Fact = one.measure.entry.address(one.measure.leaf)
			if c.Expect, err = expected(l, one, r, v.base); err != nil {
				return err
			}
			p.add(c, one)
		}
	}
	return nil
}

// add writes the job file, its products, and the case.
func (p *Probe) add(c Case, j *job) {
	n := len(p.Cases) + 1
	c.File, c.Premises = fmt.Sprintf("jobs/%04d.yaml", n), fmt.Sprintf("p-%d", n)
	if text, ok := j.root.text[j.shape.Leaf("premises.id")]; ok {
		c.Premises = text
	}
	for path, text := range map[string]string{"job": fmt.Sprintf("J-%d", n), "premises.id": c.Premises, "stage": usualStage} {
		if l := j.shape.Leaf(path); l != nil && j.root.text[l] == "" {
			j.root.text[l] = text
		}
	}
	names := map[*entry]string{}
	for _, e := range j.products {
		names[e] = p.product(productFile(e)) + "@A"
	}
	p.Files[c.File] = j.jobFile(names)
	p.Cases = append(p.Cases, c)
}

// product adds equipment data unless the same is there already, and returns its
// key.
func (p *Probe) product(text string) string {
	for _, name := range slices.Sorted(maps.Keys(p.Files)) {
		key := strings.TrimSuffix(strings.TrimPrefix(name, "equipment/"), ".cue")
		if p.Files[name] == strings.Replace(text, keyMark, key, 1) {
			return key
		}
	}
	key := fmt.Sprintf("probe-%03d", len(p.Files))
	p.Files["equipment/"+key+".cue"] = strings.Replace(text, keyMark, key, 1)
	return key
}
