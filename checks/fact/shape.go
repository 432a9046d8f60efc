package fact

import (
	"slices"
	"strings"
)

// Type says what one value of a field is. The zero value is invalid.
type Type uint8

// The types a field can have.
const (
	_        Type = iota
	Text          // free text, optionally held to a pattern
	Word          // one of an enumeration of trade words
	Count         // a whole number, at least 0
	Quantity      // number and unit in one string
	Truth         // true or false
	Date          // year-month-day
	Key           // the key of a list entry
	Link          // names an entry of another list, or a product with its revision
)

var typeNames = [...]string{"invalid", "text", "word", "count", "quantity", "yes or no", "date", "key", "link"}

// String returns the word used in messages.
func (t Type) String() string {
	if int(t) < len(typeNames) {
		return typeNames[t]
	}
	return typeNames[0]
}

// Origin is a place in a definition file: path with forward slashes and a line
// counted from 1. Zero means unknown.
type Origin struct {
	File string `json:"file,omitempty"`
	Line int    `json:"line,omitempty"`
}

// Labels is a text in several languages, keyed by language ("en", "de" …).
type Labels map[string]string

// In returns the label in the language asked for, else in English.
func (l Labels) In(language string) string {
	if s := l[language]; s != "" {
		return s
	}
	return l["en"]
}

// Field describes one leaf of a job, of equipment data, or one calculated
// measure. Path is dotted and begins with the list it belongs to
// ("stacks.wall_gap"); list entries themselves are not part of a path.
type Field struct {
	Path    string   `json:"path"`
	Type    Type     `json:"type"`
	Many    bool     `json:"many,omitempty"`    // a list of such values
	Words   []string `json:"words,omitempty"`   // the enumeration of a Word
	Pattern string   `json:"pattern,omitempty"` // regular expression a Text must match in full
	Unit    string   `json:"unit,omitempty"`    // unit the field is stated in (Quantity, Count)
	Due     Due      `json:"due"`
	DueOf   string   `json:"due_of,omitempty"`  // due only for entries that an entry of this list leads to
	Built   Stage    `json:"built,omitempty"`   // from this stage on the built value decides
	Link    string   `json:"link,omitempty"`    // list ("equipment.KIND", "register.KIND") that a Link names
	Back    string   `json:"back,omitempty"`    // name of the way back from the linked entry
	ValidOn string   `json:"on,omitempty"`      // of a link to a register: the field with the day on which the entry must be valid
	RulesOn string   `json:"for,omitempty"`     // of a link to the people: the field that says what the person rules on
	After   string   `json:"after,omitempty"`   // of a Date: the field of the same entry that it must not be before
	Past    bool     `json:"past,omitempty"`    // of a Date: a day that has come, never one that is planned
	Belongs bool     `json:"belongs,omitempty"` // one of the links that say what an entry belongs to; one of them is enough
	Form    string   `json:"form,omitempty"`    // the figure of a datasheet whose pattern the value must match
	Signed  bool     `json:"signed,omitempty"`  // a quantity that may lie below zero, though its like seldom does
	Least   int      `json:"least,omitempty"`   // the smallest Count allowed
	Private bool     `json:"private,omitempty"`
	Unique  bool     `json:"unique,omitempty"` // a value stands in one place of the repository only
	Gone    string   `json:"gone,omitempty"`   // of a unique one: the date from which it stands there no more
	Stage   bool     `json:"stage,omitempty"`  // this field states the stage of its entry
	Label   Labels   `json:"label"`
	Meaning string   `json:"meaning"`
	Example string   `json:"example,omitempty"`
	At      Origin   `json:"at"`

	Calculation *Calculation `json:"calculation,omitempty"`
}

// Name returns the last part of the path.
func (f *Field) Name() string { return f.Path[strings.LastIndexByte(f.Path, '.')+1:] }

// List describes one list of a job: its dotted name, the list it stands in
// ("" for the job itself) and the field that is its key.
type List struct {
	Name    string `json:"name"`
	Parent  string `json:"parent,omitempty"`
	Key     string `json:"key,omitempty"`
	Due     Due    `json:"due"` // when there must be an entry
	Label   Labels `json:"label,omitempty"`
	Meaning string `json:"meaning,omitempty"`
	At      Origin `json:"at"`
}

// IsEquipment tells whether the "list" is a kind of equipment data: its entries
// are products, reached through a link and never written in a job file.
func (l *List) IsEquipment() bool { return strings.HasPrefix(l.Name, equipmentPrefix) }

// IsRegister tells whether the "list" is one of the firm's registers.
func (l *List) IsRegister() bool { return strings.HasPrefix(l.Name, registerPrefix) }

// IsElsewhere tells whether entries of the list never stand in a job file: they
// are products or entries of a register.
func (l *List) IsElsewhere() bool { return l.IsEquipment() || l.IsRegister() }

const (
	equipmentPrefix = "equipment."
	registerPrefix  = "register."
)

// isElsewhere tells the same of the path of a field.
func isElsewhere(path string) bool {
	return strings.HasPrefix(path, equipmentPrefix) || strings.HasPrefix(path, registerPrefix)
}

// Shape is everything a job and the equipment data may say.
type Shape struct {
	Lists  []List  `json:"lists"`
	Fields []Field `json:"fields"`
	Topics []Topic `json:"topics,omitempty"`
}

// Topic says to which topic a list or block belongs, with all that lies inside it
// unless that has a topic of its own.
type Topic struct {
	Path string `json:"path"`
	Name string `json:"name"`
}

// Topics lists the topics by which a report is laid out, in the order of a job. The
// last is that of what has none of its own.
func Topics() []string {
	return []string{"place", "fixing", "storage", "cables", "protection", "supply", "work", "tests", "papers"}
}

// topicOf is the topic of the innermost list or block around a path.
func (s *Shape) topicOf(path string) string {
	topics := Topics()
	name, longest := topics[len(topics)-1], -1
	for _, t := range s.Topics {
		inside := path == t.Path || strings.HasPrefix(path, t.Path+".")
		if inside && len(t.Path) > longest {
			name, longest = t.Name, len(t.Path)
		}
	}
	return name
}

// Calculation describes how a calculated measure comes about: either Function
// names a function of a physics room with its inputs, or one of Sum, Count, Least,
// Greatest, Distinct and Span names what is taken over several entries. The physics
// lives in Go, the words about it here.
type Calculation struct {
	Function string  `json:"function,omitempty"` // "stack.NameplateEnergy"
	Inputs   []Input `json:"inputs,omitempty"`
	Sum      []Term  `json:"sum,omitempty"`
	Count    *Term   `json:"count,omitempty"`
	Least    []Term  `json:"least,omitempty"`    // the smallest of the entries' values
	Greatest []Term  `json:"greatest,omitempty"` // the largest
	Distinct *Term   `json:"distinct,omitempty"` // how many different words or texts the entries have
	Span     *Term   `json:"span,omitempty"`     // how many days lie between the first and the last date
	Where    []Test  `json:"where,omitempty"`    // only entries for which this holds are added
	Across   bool    `json:"across,omitempty"`   // over all jobs of the premises
	Formula  string  `json:"formula"`
	Validity string  `json:"validity,omitempty"`
	Source   string  `json:"source"`
}

// Terms lists what the calculation takes over several entries; none for a
// function.
func (c *Calculation) Terms() []Term {
	out := slices.Concat(c.Sum, c.Least, c.Greatest)
	for _, t := range []*Term{c.Count, c.Distinct, c.Span} {
		if t != nil {
			out = append(out, *t)
		}
	}
	return out
}

// Ways counts in how many ways the measure says it comes about; one is right.
func (c *Calculation) Ways() int {
	n := 0
	for _, given := range []bool{c.Function != "", len(c.Sum) > 0, c.Count != nil, len(c.Least) > 0, len(c.Greatest) > 0, c.Distinct != nil, c.Span != nil} {
		if given {
			n++
		}
	}
	return n
}

// Input is one input of a calculation: its symbol in the formula and the fact.
type Input struct {
	Symbol string `json:"symbol"`
	Fact   string `json:"fact"`
}

// Term is one kind of entry that a sum runs over: the fact that is added (for a
// count, the list), and the link that ties the entries to the one that has the
// sum: "units.stacks" from here to them, or "units.location" from them to here.
// A sum that belongs to the whole job needs no link.
type Term struct {
	Fact string `json:"fact"`
	Over string `json:"over,omitempty"`
}

// Test is one condition on the entries of a sum: the fact, seen from the entry
// ("location.setting"), must be one of Words.
type Test struct {
	Fact  string   `json:"fact"`
	Words []string `json:"words"`
}
