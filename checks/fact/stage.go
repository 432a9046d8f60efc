package fact

import (
	"strings"

	"witnessmark.example/checks/jobfile"
)

// findStages prepares where the stage of an entry is read: from a field of its
// own, else along its only link to a list whose entries have one, else from the
// entry it stands in.
func (c *Compiled) findStages() {
	for _, sc := range c.Scopes {
		var links []*Leaf
		for _, l := range sc.Leaves {
			if l.Type == Link && !l.Many && l.Target.stage != nil && l.Target != sc {
				links = append(links, l)
			}
		}
		if len(links) == 1 {
			sc.along = links[0]
		}
	}
}

// readDates collects the dates of the job by the moment they belong to.
func (f *Facts) readDates() {
	clear(f.dates)
	for _, d := range f.Shape.dated {
		if v := f.Root.Get(d.leaf); v.State == Known {
			f.dates[d.moment] = v.Day
		}
	}
}

// dated is a field that holds the date of a moment.
type dated struct {
	leaf   *Leaf
	moment Moment
}

// findDates lists the dates of the job by the moments they belong to.
func (c *Compiled) findDates() {
	for _, l := range c.Root.Leaves {
		name, ok := strings.CutPrefix(l.inside, datesPrefix)
		if m, known := ParseMoment(name); ok && known && l.Type == Date {
			c.dated = append(c.dated, dated{l, m})
		}
	}
}

const datesPrefix = "dates."

// Date returns the recorded date of a moment.
func (f *Facts) Date(m Moment) (Day, bool) {
	d, ok := f.dates[m]
	return d, ok
}

// setStages gives every entry its stage.
func (f *Facts) setStages() {
	f.Stage = NoStage
	if l := f.Shape.stage; l != nil {
		f.Stage, _ = ParseStage(f.Root.Get(l).Text)
	}
	if f.Stage == NoStage {
		f.Stage = Surveyed // whoever writes a job file has been there; the missing stage is a problem of its own
	}
	f.Root.Stage = f.Stage
	for _, pass := range [...]bool{true, false} { // entries with a stage of their own first
		for id, sc := range f.Shape.Scopes[1:] {
			if (sc.stage != nil) != pass {
				continue
			}
			for _, in := range f.Entries[id+1] {
				in.Stage = f.stageOf(in)
			}
		}
	}
	f.raise()
}

// raise gives an entry without a stage of its own the furthest stage of what
// belongs to it: a unit that of its stacks, a location that of what stands there.
func (f *Facts) raise() {
	for range 2 { // stack, unit, location
		for _, l := range f.Shape.links {
			if l.Target.List.IsElsewhere() {
				continue
			}
			for _, in := range f.Entries[l.Scope.ID] {
				v := in.Get(l)
				switch {
				case v.State != Known:
				case l.Many && l.Scope.stage == nil:
					for i := range v.More.List {
						in.Stage = max(in.Stage, v.More.List[i].Target.Stage)
					}
				case !l.Many && l.Target.stage == nil && l.Target.along == nil:
					v.Target.Stage = max(v.Target.Stage, in.Stage)
				}
			}
		}
	}
}

func (f *Facts) stageOf(in *Instance) Stage {
	if l := in.Scope.stage; l != nil {
		if s, ok := ParseStage(in.Get(l).Text); ok {
			return s
		}
	}
	if l := in.Scope.along; l != nil {
		if v := in.Get(l); v.State == Known && v.Target != nil {
			return v.Target.Stage
		}
	}
	if in.Parent != nil {
		return in.Parent.Stage
	}
	return f.Stage
}

// chooseBuilt decides which of planned and built a value is judged by: the
// reading wherever there is one, the plan until the stage named in the shape.
// From then on a plan alone never stands for a reading.
func (f *Facts) chooseBuilt() {
	for _, l := range f.Shape.built {
		for _, in := range f.Entries[l.Scope.ID] {
			built := in.Get(l)
			if plan := in.PlannedValue(l); in.Stage < l.Built && built.State == Absent && built.At.Line == 0 && (plan.State != Absent || plan.At.Line > 0) {
				*built = *plan
			}
		}
	}
}

// PlanOnly tells whether a value read on site is missing although it was
// planned, and returns the plan.
func (i *Instance) PlanOnly(l *Leaf) *Value {
	if l.Planned < 0 || i.Get(l).State != Absent {
		return nil
	}
	if p := i.PlannedValue(l); p.State != Absent {
		return p
	}
	return nil
}

// BelongsElsewhere tells whether a link that is not recorded need not be: another
// one says what the entry belongs to, so it does not belong there.
func (i *Instance) BelongsElsewhere(l *Leaf) bool {
	if !l.Belongs || l.Scope != i.Scope || i.Get(l).State != Absent {
		return false
	}
	for _, other := range i.Scope.owner {
		if i.Get(other).State == Known {
			return true
		}
	}
	return false
}

// Owes tells whether the entry has to have the leaf at some time: it is not
// optional, does not belong to something else, and where it is due only for
// entries that another list leads to, one of that list does.
func (f *Facts) Owes(l *Leaf, in *Instance) bool {
	if l.DueAt.At == Never || in.BelongsElsewhere(l) {
		return false
	}
	for _, link := range l.dueOf {
		for _, from := range f.Entries[link.Scope.ID] {
			v := from.Get(link)
			switch {
			case v.State != Known:
			case !link.Many && v.Target == in:
				return true
			case link.Many:
				for i := range v.More.List {
					if v.More.List[i].Target == in {
						return true
					}
				}
			}
		}
	}
	return len(l.dueOf) == 0
}

// IsDue tells whether the leaf has to be recorded by now for this entry.
func (f *Facts) IsDue(l *Leaf, in *Instance, asOf Day) bool {
	d := l.DueAt
	if !f.Owes(l, in) {
		return false
	}
	date, dated := f.dates[d.At]
	if d.Days > 0 {
		return dated && date+Day(d.Days) < asOf
	}
	return d.At.Passed(in.Stage) || dated && date <= asOf
}

// DueLater tells whether an absent fact need not be recorded yet. A job on hold
// owes nothing that falls due by itself.
func (f *Facts) DueLater(k Lack, asOf Day) bool {
	return k.Of.Get(k.Leaf).State == Absent && k.Leaf.Due.At != Never && f.Owes(k.Leaf, k.Of) && (f.OnHold || !f.IsDue(k.Leaf, k.Of, asOf))
}

// BlockOf returns where a missing value belongs: its plan where only that is
// written, else the key of the innermost block that exists, else the entry; and
// the path still missing there.
func (i *Instance) BlockOf(l *Leaf) (jobfile.Position, string) {
	if plan := i.PlanOnly(l); plan != nil && plan.At.Line > 0 {
		return plan.At, l.Name()
	}
	if l.Scope == i.Scope {
		if v := i.Get(l); v.At.Line > 0 {
			return v.At, l.Name() // something is written there that does not count
		}
	}
	at, node, rest := i.At, i.Node, l.inside
	for {
		name, more, inner := strings.Cut(rest, ".")
		next := fieldOf(node, name)
		if !inner || next == nil {
			if next != nil {
				at = next.KeyPos // written without a value
			}
			return at, rest
		}
		at, node, rest = next.KeyPos, next.Value, more
	}
}

func fieldOf(node *jobfile.Node, name string) *jobfile.Field {
	if node == nil {
		return nil
	}
	for i := range node.Fields {
		if node.Fields[i].Key == name {
			return &node.Fields[i]
		}
	}
	return nil
}
