// Package judge compares the facts of a job with the limits that apply: one
// outcome for every limit and entry, which limit is the strictest, which facts
// are missing, and what is still open before each gate.
package judge

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// Kind is the word for how a limit came out. The zero value is invalid.
type Kind uint8

// The outcomes.
const (
	_             Kind = iota
	Within             // inside the limit
	Outside            // outside it
	TooClose           // the uncertainty of the reading reaches over the limit
	Missing            // a fact that is due is not recorded
	NotChecked         // could not be judged; Reason or WaitsOn says why
	NotDue             // waits on a fact that is not due yet
	NotApplicable      // the limit's condition is not met, or another limit takes its place
	Accepted           // outside, and accepted by a concession
)

// Kinds lists the outcomes in the order in which they are counted and shown.
func Kinds() []Kind {
	return []Kind{Outside, TooClose, Missing, NotChecked, Accepted, NotDue, NotApplicable, Within}
}

var kindNames = [...]string{"invalid", "within", "outside", "too_close", "missing", "not_checked", "not_due", "not_applicable", "accepted"}

// String returns the word used in machine output.
func (k Kind) String() string { return kindNames[k] }

// IsFinding tells whether somebody has to look at an outcome of this kind.
func (k Kind) IsFinding() bool {
	return k == Outside || k == TooClose || k == Missing || k == NotChecked
}

// Outcome is one limit (or built-in check) judged for one value. It refers to
// the facts of the job and must not be kept beyond them.
type Outcome struct {
	Kind     Kind
	Limit    *limit.Planned // nil for a built-in check
	Check    string         // name of the built-in check: "record#recorded"
	Blocking bool
	Of       *fact.Instance // the entry that has the value
	Leaf     *fact.Leaf     // the measure
	Value    *fact.Value    // nil where nothing is known of it

	Second    bool              // held to the second printed value of the source
	Compared  quantity.Quantity // the value as compared, with the policy's band if it has one
	Banded    bool              // Compared has its uncertainty from the policy
	Bound     quantity.Quantity // the deciding bound, zero where there is no number
	BoundFrom *fact.Value       // the fact that the deciding bound is taken from, a number or a list of words; nil for one of the limit's own
	BoundAt   fact.Lack         // whose fact that is, and which; empty with BoundFrom
	Signed    float64           // room to the bound in base units, negative outside
	Strictest bool              // decides among the limits on this value
	Reaches   bool              // decided as written, though its uncertainty reaches over

	Reason   string         // why it was not checked or does not apply
	WaitsOn  []fact.Lack    // the absent facts behind not checked and not due
	seenFrom *fact.Instance // the entry the limit was judged for
	By       *limit.Planned // the limit that takes its place, or that it conflicts with
}

// Name returns the full name of the limit or built-in check.
func (o *Outcome) Name() string {
	if o.Limit != nil {
		return o.Limit.FullName
	}
	return o.Check
}

// Fact returns the address of the value: "stacks[A].wall_gap".
func (o *Outcome) Fact() string { return o.Of.AddressOf(o.Leaf) }

// WordsHere returns the words that the deciding bound is taken from, as a list; ok is
// false where the limit takes none from a fact.
func (o *Outcome) WordsHere() (list *fact.Value, ok bool) {
	switch {
	case o.BoundFrom == nil || o.BoundAt.Leaf == nil:
		return nil, false
	case o.BoundAt.Leaf.Many:
		return o.BoundFrom, true
	case o.BoundAt.Leaf.Type == fact.Word || o.BoundAt.Leaf.Type == fact.Text:
		return &fact.Value{State: fact.Known, More: &fact.More{List: []fact.Value{*o.BoundFrom}}}, true
	}
	return nil, false
}

// Unit returns the unit in which value, limit and margin are stated.
func (o *Outcome) Unit() quantity.Unit {
	if o.Limit == nil {
		return o.Leaf.Of
	}
	return o.Limit.UnitFor(o.Second)
}

// Margin returns the room to the deciding bound with its unit, and the same as a
// number; empty where the limit has no number.
func (o *Outcome) Margin() (text string, number quantity.Decimal) {
	if !o.hasRoom() {
		return "", quantity.Decimal{}
	}
	text, number = quantity.Margin(o.Compared, o.Bound, o.Unit(), o.inside())
	if o.Leaf.Type == fact.Count {
		text = fact.CountOf(number.String(), o.Leaf.Noun)
	}
	return text, number
}

// Room is Margin without its text; ok is false where there is none.
func (o *Outcome) Room() (number quantity.Decimal, ok bool) {
	if !o.hasRoom() {
		return quantity.Decimal{}, false
	}
	number, unit := quantity.MarginNumber(o.Compared, o.Bound, o.Unit(), o.inside())
	return number, !unit.IsZero()
}

func (o *Outcome) hasRoom() bool {
	compared := o.Kind == Within || o.Kind == Outside || o.Kind == TooClose || o.Kind == Accepted
	return compared && o.Limit != nil && !o.Bound.IsZero()
}

// inside tells on which side of the bound the value itself lies.
func (o *Outcome) inside() bool { return o.Signed >= 0 && o.Kind != Outside }

// Result is everything that came out for one job.
type Result struct {
	Facts    *fact.Facts
	AsOf     fact.Day
	Outcomes []Outcome // in the order of entries and limits
	Gates    []Gate
	Conceded []Conceded // in the order of the file

	plan   *limit.Plan
	blocks []Without // blocks of which the job has nothing
}

// Gate is what is still open before one gate.
type Gate struct {
	Gate   fact.Moment
	Passed bool // the job has gone through it already
	Open   []Point
}

// Point is one open point before a gate: a fact that is not recorded, or an
// outcome that somebody has to look at.
type Point struct {
	Of      *fact.Instance
	Leaf    *fact.Leaf
	Outcome *Outcome // nil for a fact that is only not recorded yet
}

// Interval returns the range, in base units, that the limit allows for this value. ok
// is false for a built-in check and where the limit is no single range.
func (o *Outcome) Interval() (low, high float64, ok bool) {
	if o.Limit == nil || o.seenFrom == nil {
		return 0, 0, false
	}
	return o.Limit.IntervalFor(o.Second, o.seenFrom)
}
