package fact

import (
	"fmt"
	"regexp"
	"strings"

	"witnessmark.example/checks/quantity"
)

// Compiled is a Shape made ready to decode job files. It is read-only after
// Compile and safe for concurrent use.
type Compiled struct {
	Shape  *Shape
	Root   *Scope
	Scopes []*Scope // Scopes[0] is Root
	Leaves []*Leaf  // in the order of the shape

	byName   map[string]*Scope
	byPath   map[string]*Leaf
	order    []*Leaf // calculated leaves, inputs before results
	stage    *Leaf   // the job's own stage
	status   *Leaf   // the job's own status; nil in a shape without one
	dated    []dated
	due      []*Leaf // written fields that fall due
	built    []*Leaf // fields read on site
	links    []*Leaf // links written in a job
	products []*Leaf // those that name a product

	registered []*Leaf // those that name an entry of a register
	ordered    []*Leaf // dates that must not be before another
	past       []*Leaf // dates of what has happened
	formed     []*Leaf // values that must match the pattern of a datasheet
}

// Scope is a compiled list: the job itself, a list of it, or a kind of
// equipment data.
type Scope struct {
	List     *List
	ID       int
	Parent   *Scope // nil for the job and for equipment
	Leaves   []*Leaf
	Children []*Scope
	Backs    []*Leaf // links of other lists that lead here and have a way back

	any   *Leaf // stands for having an entry at all, in the list above; nil where none is due
	key   *Leaf
	owner []*Leaf // links of which one says what an entry belongs to
	stage *Leaf   // states the stage of an entry
	along *Leaf   // leads to the entry whose stage counts
	slots int
	block *block
	place int // index among the parent's children
}

// Key returns the field that names an entry; nil for the job, products and registers.
func (s *Scope) Key() *Leaf { return s.key }

// Compile checks a Shape and makes it ready for use. Functions are the physics
// that calculations may name.
func Compile(s *Shape, functions []quantity.Function) (*Compiled, error) {
	c := &Compiled{Shape: s, byName: map[string]*Scope{}, byPath: map[string]*Leaf{}}
	c.Root = c.addScope(&List{}, nil)
	for i := range s.Lists {
		l := &s.Lists[i]
		parent := c.Root
		if l.IsElsewhere() {
			parent = nil
		} else if l.Parent != "" {
			if parent = c.byName[l.Parent]; parent == nil {
				return nil, fmt.Errorf("%s: list %s stands in %q, which is no list before it", l.At, l.Name, l.Parent)
			}
		}
		if c.byName[l.Name] != nil {
			return nil, fmt.Errorf("%s: list %s is declared twice", l.At, l.Name)
		}
		c.addScope(l, parent)
	}
	for i := range s.Fields {
		if err := c.addLeaf(&s.Fields[i]); err != nil {
			return nil, fmt.Errorf("%s: field %s: %w", s.Fields[i].At, s.Fields[i].Path, err)
		}
	}
	for _, sc := range c.Scopes[1:] {
		if !sc.List.IsElsewhere() && sc.key == nil {
			return nil, fmt.Errorf("%s: list %s has no key field %q", sc.List.At, sc.List.Name, sc.List.Key)
		}
	}
	for _, sc := range c.Scopes[1:] {
		if sc.List.Due.At != Never && sc.Parent != nil {
			c.addAny(sc)
		}
	}
	for _, l := range c.Leaves {
		if err := c.link(l); err != nil {
			return nil, fmt.Errorf("%s: field %s: %w", l.At, l.Path, err)
		}
	}
	for _, l := range c.Leaves {
		if err := c.findForm(l); err != nil {
			return nil, fmt.Errorf("%s: field %s: %w", l.At, l.Path, err)
		}
	}
	c.status = c.byPath["status"]
	c.findStages()
	c.findDates()
	c.sortOut()
	return c, c.compileCalculations(functions)
}

// String writes the place as file:line.
func (o Origin) String() string { return fmt.Sprintf("%s:%d", o.File, o.Line) }

func (c *Compiled) addScope(l *List, parent *Scope) *Scope {
	sc := &Scope{List: l, ID: len(c.Scopes), Parent: parent, block: &block{keys: map[string]entry{}}}
	c.Scopes = append(c.Scopes, sc)
	c.byName[l.Name] = sc
	if parent != nil {
		sc.place = len(parent.Children)
		parent.Children = append(parent.Children, sc)
		name := strings.TrimPrefix(strings.TrimPrefix(l.Name, parent.List.Name), ".")
		parent.block.put(strings.Split(name, "."), entry{list: sc})
	}
	return sc
}

// scopeOf finds the longest list name that the path begins with.
func (c *Compiled) scopeOf(path string) *Scope {
	for p := path; ; {
		i := strings.LastIndexByte(p, '.')
		if i < 0 {
			return c.Root
		}
		p = p[:i]
		if sc := c.byName[p]; sc != nil {
			return sc
		}
	}
}

func (c *Compiled) addLeaf(f *Field) error {
	sc := c.scopeOf(f.Path)
	l := &Leaf{Field: f, ID: len(c.Leaves), Scope: sc, Planned: -1, DueAt: f.Due, Topic: c.Shape.topicOf(f.Path), back: -1}
	l.inside = strings.TrimPrefix(strings.TrimPrefix(f.Path, sc.List.Name), ".")
	if c.byPath[f.Path] != nil || c.byName[f.Path] != nil {
		return fmt.Errorf("declared twice")
	}
	if f.Type == Count {
		l.Of, l.Noun = quantity.Count.BaseUnit(), f.Unit
	} else if f.Unit != "" {
		u, ok := quantity.UnitOf(f.Unit)
		if !ok {
			return fmt.Errorf("%q is no unit", f.Unit)
		}
		l.Of = u
	}
	if f.Pattern != "" {
		re, err := regexp.Compile(`\A(?:` + f.Pattern + `)\z`)
		if err != nil {
			return fmt.Errorf("pattern: %w", err)
		}
		l.pattern = re
	}
	if (f.Type == Quantity) != (f.Unit != "") && f.Type != Count {
		return fmt.Errorf("a quantity needs a unit, and nothing else may have one")
	}
	l.Slot = sc.slots
	sc.slots++
	l.DueOnSite = l.DueAt
	if f.Built != NoStage {
		l.Planned = sc.slots
		sc.slots++
		l.DueOnSite = l.DueAt.Later(Due{At: f.Built.Moment()})
	}
	if f.Type == Key {
		sc.key = l
	}
	if f.Belongs {
		sc.owner = append(sc.owner, l)
	}
	if f.Stage {
		sc.stage = l
		if sc == c.Root {
			c.stage = l
		}
	}
	c.Leaves = append(c.Leaves, l)
	c.byPath[f.Path] = l
	sc.Leaves = append(sc.Leaves, l)
	if f.Calculation == nil && !sc.block.put(strings.Split(l.inside, "."), entry{leaf: l}) {
		return fmt.Errorf("collides with another field")
	}
	return nil
}

func (c *Compiled) link(l *Leaf) error {
	if err := c.linksForDue(l); err != nil {
		return err
	}
	if err := c.sibling(l, l.Field.Gone, Date, &l.Gone); err != nil {
		return err
	}
	if err := c.sibling(l, l.Field.After, Date, &l.After); err != nil || l.Type != Link {
		return err
	}
	if l.Target = c.byName[l.Field.Link]; l.Target == nil {
		return fmt.Errorf("links to %q, which is no list", l.Field.Link)
	}
	if err := c.sibling(l, l.Field.ValidOn, Date, &l.ValidOn); err != nil {
		return err
	}
	if err := c.sibling(l, l.Field.RulesOn, 0, &l.RulesOn); err != nil {
		return err
	}
	if l.Field.Back != "" {
		if c.byPath[l.Target.List.Name+"."+l.Field.Back] != nil {
			return fmt.Errorf("the way back %q is the name of a field", l.Field.Back)
		}
		l.back = len(l.Target.Backs)
		l.Target.Backs = append(l.Target.Backs, l)
	}
	return nil
}

// findForm finds the pattern that values of a leaf must match.
func (c *Compiled) findForm(l *Leaf) error {
	if l.Field.Form == "" {
		return nil
	}
	w, err := c.Way(l.Field.Form)
	if err != nil {
		return err
	}
	if !w.Covers(l.Scope) || w.Leaf.Type != Text {
		return fmt.Errorf("%s is no pattern that can be reached from here", l.Field.Form)
	}
	l.Form = &w
	return nil
}

// linksForDue finds the links by which entries of the list named by DueOf lead to
// the leaf's own list.
func (c *Compiled) linksForDue(l *Leaf) error {
	if l.DueOf == "" {
		return nil
	}
	for _, other := range c.Leaves {
		if other.Type == Link && other.Scope.List.Name == l.DueOf && other.Field.Link == l.Scope.List.Name {
			l.dueOf = append(l.dueOf, other)
		}
	}
	if len(l.dueOf) == 0 {
		return fmt.Errorf("no link of %q leads to %q, so it would never be due", l.DueOf, l.Scope.List.Name)
	}
	return nil
}

// sibling finds a field of the same entry that another one names; of is its type,
// 0 for any.
func (c *Compiled) sibling(l *Leaf, name string, of Type, to **Leaf) error {
	if name == "" {
		return nil
	}
	other := c.byPath[strings.TrimPrefix(l.Scope.List.Name+"."+name, ".")]
	if other == nil || of != 0 && other.Type != of {
		return fmt.Errorf("%q is no field of %q that could serve it", name, l.Scope.List.Name)
	}
	*to = other
	return nil
}

// Leaf finds a field or calculated measure by its full path.
func (c *Compiled) Leaf(path string) *Leaf { return c.byPath[path] }

// Scope finds a list by its name.
func (c *Compiled) Scope(name string) *Scope { return c.byName[name] }

// Paths lists the path of every leaf, in the order of the shape.
func (c *Compiled) Paths() []string {
	out := make([]string, len(c.Leaves))
	for i, l := range c.Leaves {
		out[i] = l.Path
	}
	return out
}

// Slots returns how many values an entry of the list has.
func (s *Scope) Slots() int { return s.slots }

// addAny gives a list that falls due a leaf in the list above: known once there
// is an entry. It is no field, so it is not found by its path.
func (c *Compiled) addAny(sc *Scope) {
	up := sc.Parent
	inside := strings.TrimPrefix(strings.TrimPrefix(sc.List.Name, up.List.Name), ".")
	f := &Field{Path: sc.List.Name, Type: Text, Due: sc.List.Due, Label: sc.List.Label, Meaning: sc.List.Meaning, At: sc.List.At, Example: "- " + sc.List.Key + ": …"}
	sc.any = &Leaf{Field: f, ID: -1, Scope: up, Slot: up.slots, Planned: -1, DueAt: f.Due, DueOnSite: f.Due, Topic: c.Shape.topicOf(sc.List.Name), back: -1, inside: inside}
	up.slots++
	c.due = append(c.due, sc.any)
}

// sortOut lists the leaves that are looked at job by job.
func (c *Compiled) sortOut() {
	for _, l := range c.Leaves {
		if l.Calculation != nil || l.Scope.List.IsElsewhere() {
			continue
		}
		if l.Due.At != Never {
			c.due = append(c.due, l)
		}
		if l.Planned >= 0 {
			c.built = append(c.built, l)
		}
		if l.Form != nil {
			c.formed = append(c.formed, l)
		}
		if l.Past {
			c.past = append(c.past, l)
		}
		if l.After != nil {
			c.ordered = append(c.ordered, l)
		}
		if l.Type == Link {
			c.links = append(c.links, l)
			if l.Target.List.IsEquipment() {
				c.products = append(c.products, l)
			}
			if l.Target.List.IsRegister() {
				c.registered = append(c.registered, l)
			}
		}
	}
}
