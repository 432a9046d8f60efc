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
	Short    bool       // a side is lacking: no input was found with which the value lies on it
	Dated    bool       // the job's date lies a day outside those on which the limit is in force
	Expect   judge.Kind // Within, Outside, TooClose where a band reaches over, or NotApplicable where the date or a condition on the measure itself fails
}

// Probe is a firm's repository with every boundary case of the limits added to
// it: file names and texts. Of the firm's own definitions it has those that Add
// was given.
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

	// OwnUnit asks for cases in the unit of the measure alone: enough to see that
	// there are values within and outside, and several times quicker.
	OwnUnit bool

	own       Own // of the limit at hand
	asItComes bool
}

// NewProbe returns a repository without cases.
func NewProbe() *Probe { return &Probe{Files: map[string]string{"witnessmark.cue": rootFile}} }

// Make makes every case of a limit that ships. It returns ErrNoNumber for a limit
// without a number and says what is in the way where a case cannot be made.
func (m *Maker) Make(l *limit.Compiled) (*Probe, error) {
	p := NewProbe()
	if err := m.Add(p, l, Own{}); err != nil {
		return nil, err
	}
	return p, nil
}

// Add adds every case of a limit to a probe, with the firm's own definitions that
// the limit stands in. Errors are those of Make; they leave the probe without
// cases of the limit.
func (m *Maker) Add(p *Probe, l *limit.Compiled, own Own) error {
	if !HasNumber(l) {
		return ErrNoNumber
	}
	if m.Shape.Leaf(l.Way.Leaf.Path) != l.Way.Leaf {
		return fmt.Errorf("%s was compiled for another shape", l.FullName)
	}
	for name, text := range own.Files {
		if old, ok := p.Files[name]; ok && old != text {
			return fmt.Errorf("%s: the probe has another file %s", l.FullName, name)
		}
		p.Files[name] = text
	}
	one := *m
	one.own = own
	var faults []error
	for _, way := range []func(*Probe, *limit.Compiled) error{one.all, one.allAsItComes, one.allCrossing} {
		before := len(p.Cases)
		err := way(p, l)
		if err == nil {
			return nil
		}
		faults = append(faults, err)
		for _, c := range p.Cases[before:] {
			delete(p.Files, c.File)
		}
		p.Cases = p.Cases[:before]
	}
	return fmt.Errorf("%s: %w", l.FullName, errors.Join(faults...))
}

// allAsItComes is for a bound that cannot be given a value: it is taken as it
// comes, and the measure is put beside it.
func (m *Maker) allAsItComes(p *Probe, l *limit.Compiled) error {
	one := *m
	one.asItComes = true
	return one.all(p, l)
}

// all makes the cases in every unit, and those beside the limit's dates.
func (m *Maker) all(p *Probe, l *limit.Compiled) error {
	units, before := unitsOf(l.Way.Leaf), len(p.Cases)
	if m.OwnUnit && slices.Contains(units, l.Way.Leaf.Of) {
		units = []quantity.Unit{l.Way.Leaf.Of}
	}
	if len(units) == 0 {
		return fmt.Errorf("no unit of %s is read", l.Way.Leaf.Of.Kind())
	}
	for _, u := range units {
		if err := m.inUnit(p, l, u); err != nil {
			return fmt.Errorf("%s: %w", u, err)
		}
	}
	if len(p.Cases) == before {
		return errors.New("no case could be made in any unit")
	}
	return m.dated(p, l)
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
	for _, bound := range m.edges(l, first.bounds(nil)) {
		values, err := around(bound, u)
		if err != nil {
			return err
		}
		for _, v := range values {
			one, r, err := m.job(l, u, &v)
			if errors.Is(err, errImpossible) {
				continue
			}
			if err != nil {
				return fmt.Errorf("%s: %w", v.text, err)
			}
			if !one.verbatim && u != l.Way.Leaf.Of {
				continue // the unit does not show in the job, so that it would be the same case again
			}
			c := Case{Written: v.text, Unit: u, Side: v.side, Bound: bound, Across: l.Across()}
			_, _, c.Second = ruleFor(l, u)
			c.Fact = one.measure.entry.address(one.measure.leaf)
			if c.Expect, err = m.expected(l, one, r, v.base); err != nil {
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
			j.put(j.root, l, text)
		}
	}
	names := map[*entry]string{}
	for _, e := range j.products {
		if e.scope.List.IsRegister() {
			names[e] = p.elsewhere("registers", registerFile(e))
			continue
		}
		names[e] = p.elsewhere("equipment", productFile(e)) + "@A"
	}
	p.Files[c.File] = j.jobFile(names)
	p.Cases = append(p.Cases, c)
}

// elsewhere adds equipment data or an entry of a register unless the same is there
// already, and returns its key.
func (p *Probe) elsewhere(folder, text string) string {
	for _, name := range slices.Sorted(maps.Keys(p.Files)) {
		key := strings.TrimSuffix(strings.TrimPrefix(name, folder+"/"), ".cue")
		if p.Files[name] == strings.Replace(text, keyMark, key, 1) {
			return key
		}
	}
	key := fmt.Sprintf("probe-%03d", len(p.Files))
	p.Files[folder+"/"+key+".cue"] = strings.Replace(text, keyMark, key, 1)
	return key
}
