package fact

import (
	"strings"
	"time"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/quantity"
)

// State says what is known of a value. The zero value is Absent.
type State uint8

// What can be known of a value.
const (
	Absent       State = iota // nothing is written
	Known                     // written (or taken from a product, or calculated) and read
	Unreadable                // something is written that could not be read; it is reported as a problem
	Uncalculated              // an input of the calculation is not known; see Lacks
)

// Value is one value of a job, of a product, or a calculated one. Values are
// owned by the Facts they belong to and must not be kept beyond them.
type Value struct {
	State    State
	Truth    bool
	Day      Day
	At       jobfile.Position // of the value; of its key where nothing is written after it
	Text     string           // word, text, key, linked key or date
	Written  string           // as the author wrote it; empty for calculated values
	Quantity quantity.Quantity
	Target   *Instance // what a link names
	More     *More
	Marks    [2]int32 // for the judge: the strictest blocking and advisory outcome so far, counted from 1
}

// ComesFrom tells whether another value is this one or went into its
// calculation. Of no value nothing comes.
func (v *Value) ComesFrom(other *Value) bool {
	switch {
	case v == nil || other == nil:
		return false
	case v == other:
		return true
	case v.More == nil:
		return false
	}
	w := v.More.From
	if w == nil {
		w = v.More.Tried // it came to no result, and yet the other value went into it
	}
	for i := 0; w != nil && i < len(w.Inputs); i++ {
		in := &w.Inputs[i]
		one := in.Value
		if one == nil && in.Leaf != nil && in.Of.Scope == in.Leaf.Scope {
			one = in.Of.Get(in.Leaf)
		}
		if one.ComesFrom(other) {
			return true
		}
	}
	return false
}

// More holds what only few values have.
type More struct {
	List   []Value // the values of a field with many
	Reason string  // why a value is unreadable or a link leads nowhere
	Lacks  []Lack  // why a value is not calculated
	From   *Working
	Tried  *Working // of a value that is not calculated: what was there of its inputs
}

// Lack names one absent or unreadable fact that something waits on.
type Lack struct {
	Of   *Instance
	Leaf *Leaf
}

// Working is how one calculated value came about.
type Working struct {
	Of     *Instance
	Leaf   *Leaf
	Result *Value
	Inputs []WorkingInput

	more More // of the result, kept here so that it needs no memory of its own
}

// Steps tells what the calculation did between its inputs and its result: tables
// it looked into, factors, assumptions. They are worked out again, from the same
// inputs, for whoever reads them. None for a calculation that came to no result.
func (w *Working) Steps() []quantity.Step {
	if w.Leaf.run == nil || w.Leaf.run.function == nil {
		return nil
	}
	args := make([]quantity.Argument, len(w.Inputs))
	for i := range w.Inputs {
		if v := w.Inputs[i].Value; v != nil {
			args[i] = argument(v, w.Inputs[i].Leaf)
		}
	}
	var steps quantity.Steps
	if _, err := w.Leaf.run.function.Of(args, &steps); err != nil {
		return nil // cannot be: the same inputs gave a result before
	}
	return steps.All()
}

// Optional tells whether the calculation can do without its i-th input. Entries
// that are taken together are all needed.
func (w *Working) Optional(i int) bool {
	return w.Leaf.run.function != nil && w.Leaf.run.function.Parameters[i].Optional
}

// WorkingInput is one input as it went into a calculation.
type WorkingInput struct {
	Symbol string
	Of     *Instance
	Leaf   *Leaf
	Value  *Value
}

// Instance is one entry of a list or of a register, the job itself, or one product.
type Instance struct {
	Scope    *Scope
	Parent   *Instance
	Key      string
	Node     *jobfile.Node // the mapping it is written in; nil for a product
	At       jobfile.Position
	File     string // of a product, where its data stands
	Values   []Value
	Backs    []*Instance
	Children [][]*Instance
	Stage    Stage
	Lines    map[string]Origin // of a product or an entry of a register: where each value stands
	Valid    []Span            // of an entry of a register: when it was good; none where nothing is said of it
}

// Span is a time in which an entry of a register was good, first and last day
// included; NoDay leaves a side open.
type Span struct{ From, Until Day }

// ValidOn tells whether the entry was good on a day.
func (i *Instance) ValidOn(day Day) bool {
	for _, s := range i.Valid {
		if (s.From == NoDay || s.From <= day) && (s.Until == NoDay || day <= s.Until) {
			return true
		}
	}
	return len(i.Valid) == 0
}

// Get returns the value of a leaf of the instance's own list.
func (i *Instance) Get(l *Leaf) *Value {
	if l.Scope != i.Scope {
		return &Value{} // a link that should lead here and is not recorded there
	}
	return &i.Values[l.Slot]
}

// Planned returns the planned value of a leaf read on site, nil for others.
func (i *Instance) PlannedValue(l *Leaf) *Value {
	if l.Planned < 0 {
		return nil
	}
	return &i.Values[l.Planned]
}

// Address is the instance's place in its job: "stacks[A].slots[3]", empty for
// the job itself; for a product its name with its revision. The only entry of a
// Trial has no key: "stacks".
func (i *Instance) Address() string {
	if i.Parent == nil {
		return i.Key
	}
	var b strings.Builder
	if up := i.Parent; up.Parent != nil {
		b.WriteString(up.Address())
		b.WriteByte('.')
	}
	name := i.Scope.List.Name
	if p := i.Scope.Parent; p != nil && p.List.Name != "" {
		name = name[len(p.List.Name)+1:]
	}
	b.WriteString(name)
	if i.Key != "" {
		b.WriteByte('[')
		b.WriteString(i.Key)
		b.WriteByte(']')
	}
	return b.String()
}

// AddressOf is the address of one value: "stacks[A].wall_gap". Of a link that
// should lead here from elsewhere it is the way back: "stacks[A].unit".
func (i *Instance) AddressOf(l *Leaf) string {
	if l.Scope != i.Scope && l.Field.Back != "" {
		return i.Address() + "." + l.Field.Back
	}
	if i.Parent == nil && !i.Scope.List.IsElsewhere() {
		return l.inside
	}
	return i.Address() + "." + l.inside
}

// Day is a calendar day, counted from 1970-01-01; NoDay is none.
type Day int32

// NoDay is the day of an absent date.
const NoDay Day = -1 << 31

// ParseDay reads year-month-day; the day must exist.
func ParseDay(text string) (Day, bool) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return NoDay, false
	}
	return DayOf(t), true
}

// DayOf returns the calendar day of an instant in the instant's own zone.
func DayOf(t time.Time) Day {
	return Day(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// String writes the day as year-month-day.
func (d Day) String() string {
	if d == NoDay {
		return ""
	}
	return time.Unix(int64(d)*86400, 0).UTC().Format(time.DateOnly)
}
