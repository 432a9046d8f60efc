package boundary

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// job is one job file under construction and where the measure stands in it.
type job struct {
	*world
	from     *entry // for which the limit is judged
	measure  place
	asked    []*unknown // inputs that only some values of others need
	verbatim bool
}

// job builds a job to which the limit applies, with the value unless it is nil,
// and works out the bounds as they are in it.
func (m *Maker) job(l *limit.Compiled, u quantity.Unit, v *written) (*job, *rule, error) {
	j := &job{world: newWorld(m.Shape, m.Functions)}
	j.asItComes = m.asItComes
	e := j.root
	if l.Scope != m.Shape.Root {
		e = j.add(l.Scope, j.root)
	}
	j.from = e
	if m.own.Product != nil {
		if err := j.use(e, m.own.Product); err != nil {
			return nil, nil, err
		}
	}
	var err error
	if j.measure.entry, j.measure.leaf, err = j.resolve(e, l.Measure); err != nil {
		return nil, nil, err
	}
	if err := j.conditions(l, e); err != nil {
		return nil, nil, err
	}
	constraint, unit, _ := ruleFor(l, u)
	r, err := numbers(constraint, unit, func(path string) (*big.Rat, error) { return j.refer(e, path) })
	if err != nil {
		return nil, nil, err
	}
	if v != nil {
		if j.verbatim, err = j.give(j.measure.entry, j.measure.leaf, *v); err != nil {
			return nil, nil, err
		}
	}
	return j, &r, errors.Join(j.alike(l, unit, constraint), j.every(l))
}

// alike makes the limit apply to the other entries of its list too, and gives its
// bounds the same values for them: they may lead to the same measure, which is
// then judged by all of them.
func (j *job) alike(l *limit.Compiled, unit quantity.Unit, c limit.Constraint) error {
	for _, e := range slices.Clone(j.entries) {
		if e == j.from || e.scope != j.from.scope {
			continue
		}
		at, _, err := j.peek(e, l.Measure)
		if err != nil || at != j.measure.entry {
			continue
		}
		for _, link := range e.scope.Leaves {
			if products := j.from.target[link]; len(products) > 0 && products[0].scope.List.IsElsewhere() && len(e.target[link]) == 0 {
				j.link(e, link, products[0])
			}
		}
		if err := j.meet(e, l.When, j.measure); err != nil {
			return err
		}
		if _, err := numbers(c, unit, func(path string) (*big.Rat, error) { return j.refer(e, path) }); err != nil {
			return err
		}
	}
	return nil
}

// conditions makes the limit apply: its dates, its conditions, and entries for
// what some entry must be.
func (j *job) conditions(l *limit.Compiled, e *entry) error {
	if l.Selects != fact.Never {
		day := max(l.From, l.Until)
		if err := j.set(j.root, j.shape.Leaf("dates."+l.Selects.String()), day.String()); err != nil {
			return err
		}
	}
	j.ruleSets(l)
	if err := j.meet(e, l.When, j.measure); err != nil {
		return err
	}
	for _, c := range l.When {
		if c.Quantifier != "some" {
			continue
		}
		if err := j.meet(j.tied(j.add(j.shape.Scope(c.List), e), e), c.Of, j.measure); err != nil {
			return fmt.Errorf("some %s: %w", c.List, err)
		}
	}
	return nil
}

// ruleSets names the limit's source where a job has to, and the sources of what
// it replaces: a limit has to hold beside them too.
func (j *job) ruleSets(l *limit.Compiled) {
	var names []string
	if l.Source.Name != "" && !l.Source.Always && l.Source.Kind != limit.Datasheet {
		names = append(names, l.Source.Name)
	}
	for _, r := range l.Replaces {
		source, _, _ := strings.Cut(r, "#")
		if !slices.Contains(names, source) {
			names = append(names, source)
		}
	}
	if len(names) > 0 {
		j.root.many[j.shape.Leaf("rule_sets")] = names
	}
}

// tied ties a new entry to the entry it is looked at from, where a link between
// their lists says which belong together.
func (j *job) tied(m, e *entry) *entry {
	for _, l := range m.scope.Leaves {
		if l.Type == fact.Link && l.Target == e.scope {
			j.link(m, l, e)
			return m
		}
	}
	for _, l := range e.scope.Leaves {
		if l.Type == fact.Link && l.Target == m.scope {
			return j.link(e, l, m)
		}
	}
	return m
}

// every makes all entries of a list meet what is asked of every one; a job
// without any meets it anyway.
func (j *job) every(l *limit.Compiled) error {
	for _, c := range l.When {
		if c.Quantifier != "every" {
			continue
		}
		for _, e := range slices.Clone(j.entries) {
			if e.scope != j.shape.Scope(c.List) {
				continue
			}
			if err := j.meet(e, c.Of, j.measure); err != nil {
				return fmt.Errorf("every %s: %w", c.List, err)
			}
		}
	}
	return nil
}

// expected works out how the value must come out.
func (m *Maker) expected(l *limit.Compiled, j *job, r *rule, x *big.Rat) (judge.Kind, error) {
	for _, c := range byFact(l.When) {
		if c.Fact != l.Measure {
			continue
		}
		own, err := numbers(*c.Is, j.measure.leaf.Of, func(path string) (*big.Rat, error) {
			return nil, fmt.Errorf("a condition on the measure itself may not refer to %s here", path)
		})
		if err != nil {
			return 0, err
		}
		if !own.accepts(x) {
			return judge.NotApplicable, nil
		}
	}
	switch band := m.band(l, x); {
	case !r.accepts(x):
		return judge.Outside, nil
	case band != nil && !r.acceptsAll(new(big.Rat).Sub(x, band), new(big.Rat).Add(x, band)):
		return judge.TooClose, nil
	}
	return judge.Within, nil
}
