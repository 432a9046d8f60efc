package fact

import (
	"regexp"
	"strconv"
	"strings"

	"witnessmark.example/checks/quantity"
)

// Leaf is a compiled field.
type Leaf struct {
	*Field
	ID        int
	Scope     *Scope
	Slot      int // place of the value in an Instance
	Planned   int // place of the planned value, -1 where the field has only one
	Of        quantity.Unit
	Noun      string  // what a Count counts: "modules"
	Target    *Scope  // what a Link names
	ValidOn   *Leaf   // of a link to a register: the day on which the entry must be valid
	RulesOn   *Leaf   // of a link to the people: what the person rules on
	After     *Leaf   // of a date: the date that it must not be before
	dueOf     []*Leaf // links of which one has to lead here for the leaf to be due; none for always
	Form      *Way    // to the pattern that the value must match; nil for none
	Gone      *Leaf   // of a unique value: the date from which it stands there no more
	DueAt     Due     // when it is due; of a calculated measure, when its latest input is
	DueOnSite Due     // the same for the reading on site, where there is one
	Topic     string  // the topic of a report to which it belongs, one of Topics

	inside  string // path within the list entry
	pattern *regexp.Regexp
	back    int // place among the target's Backs, -1 without
	run     *run
}

// Format writes a quantity of this leaf in a unit: a count with what is counted, a
// wire size by the name it is sold under, with its area: "4 AWG (21.15 mm²)".
func (l *Leaf) Format(q quantity.Quantity, u quantity.Unit) string {
	switch {
	case q.Unit().IsWire() && !u.IsWire() && !q.IsCalculated():
		return q.Format(q.Unit()) + " (" + q.Format(u) + ")"
	case l.Type != Count || q.IsZero():
		return q.FormatBand(u)
	}
	return CountOf(strconv.FormatFloat(q.Base(), 'f', -1, 64), l.Noun)
}

// Beside writes a value and the bound it is held to as a reader compares them, and
// the difference of what is written where it is not for a margin to say it.
func (l *Leaf) Beside(value, bound quantity.Quantity, u quantity.Unit) (valueText, boundText, difference string) {
	if l.Type == Count || value.Unit().IsWire() || bound.Unit().IsWire() {
		return l.Format(value, u), l.Format(bound, u), ""
	}
	return quantity.Beside(value, bound, u)
}

// CountOf writes a number of things: "1 module", "6 modules".
func CountOf(number, noun string) string {
	if number == "1" {
		if stem, ok := strings.CutSuffix(noun, "ies"); ok { // entries
			noun = stem + "y"
		} else if stem, ok := strings.CutSuffix(noun, "sses"); ok { // addresses
			noun = stem + "ss"
		} else {
			noun = strings.TrimSuffix(noun, "s")
		}
	}
	return number + " " + noun
}

// UnitName returns the word for a unit in output: of a count, what is counted.
func (l *Leaf) UnitName(u quantity.Unit) string {
	if l.Type == Count {
		return l.Noun
	}
	return u.Symbol()
}

// IsPrivate tells whether a value of the leaf is left out when a report is redacted:
// the shape says so, or it names an entry whose key is private.
func (l *Leaf) IsPrivate() bool {
	return l.Private || l.Type == Link && l.Target.key != nil && l.Target.key.Private
}

// Inside returns the path within the list entry ("clearance.above").
func (l *Leaf) Inside() string { return l.inside }

// BuiltLeaves lists the fields that are read on site.
func (c *Compiled) BuiltLeaves() []*Leaf { return c.built }

// ProductLeaves lists the links that name a product.
func (c *Compiled) ProductLeaves() []*Leaf {
	return c.products
}

// RegisterLeaves lists the links that name an entry of a register.
func (c *Compiled) RegisterLeaves() []*Leaf { return c.registered }

// FormedLeaves lists the values that must match the pattern of a datasheet.
func (c *Compiled) FormedLeaves() []*Leaf { return c.formed }

// PastLeaves lists the dates of what has happened.
func (c *Compiled) PastLeaves() []*Leaf { return c.past }

// OrderedLeaves lists the dates that must not be before another.
func (c *Compiled) OrderedLeaves() []*Leaf { return c.ordered }

// DueLeaves lists the fields somebody writes that fall due at some time.
func (c *Compiled) DueLeaves() []*Leaf { return c.due }
