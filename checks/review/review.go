package review

import (
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// Remark is one thing to mend in the definitions.
type Remark struct {
	At      fact.Origin
	Code    string // short and stable: "review-overdue"
	Message string // what is wrong, as a sentence without its end
	Mend    string // what to do
	Breaks  bool   // something is not applied, or cannot be met, because of it
}

// Subject is the definitions that are looked at. It is only read.
type Subject struct {
	Shape     *fact.Compiled
	Functions []quantity.Function // the physics that calculated measures use
	Sets      []*limit.Set        // rule sets, sorted by name
	Ships     map[string]bool     // rule sets that ship with the tool, by name
	Products  []*define.Revision
	Tables    []table.Table     // published tables that calculations look up
	Required  []define.Required // the firm's map of required rule sets
	Faults    []limit.Fault     // what was found when the definitions were read, and by plans of Together
	Plans     []*limit.Plan     // of Together
	Places    *define.Places    // where parts of definitions stand
	Today     fact.Day          // the day on which reviews may be overdue
}

// rules lists every family of rules.
func rules() []func(*Subject) []Remark {
	return []func(*Subject) []Remark{
		faults, statements, reviews, stated,
		addresses, printed, conflicts, several, verdicts, neverApplying, weaker,
		replacements, replacedAlways, handovers,
		editions, required, endings, againstEachOther, spent, series, tables,
		twice, figures, order, compatible, torques, steps, examples,
	}
}

// Check applies every rule. Remarks are in the order of file, line, code and
// message, each once.
func Check(s *Subject) []Remark {
	var out []Remark
	for _, rule := range rules() {
		out = append(out, rule(s)...)
	}
	slices.SortStableFunc(out, compare)
	return slices.CompactFunc(out, func(a, b Remark) bool { return compare(a, b) == 0 })
}

func compare(a, b Remark) int {
	switch {
	case a.At.File != b.At.File:
		return strings.Compare(a.At.File, b.At.File)
	case a.At.Line != b.At.Line:
		return a.At.Line - b.At.Line
	case a.Code != b.Code:
		return strings.Compare(a.Code, b.Code)
	}
	return strings.Compare(a.Message, b.Message)
}

// Notes says what Check does not look at, as sentences.
func Notes() []string {
	return []string{
		"Whether a figure, clause or grade is what the source says: that takes a reader of the source.",
		"Whether limits whose bounds are facts contradict each other or are weaker: that is seen job by job.",
		"Whether five or more limits contradict each other of which every four can be met together (of more than 24 on one measure: four or more).",
		"Whether a rule set that a shipped limit hands over to is there: a firm may add it, and until then the limit decides.",
		"Whether conditions on different facts can hold together, and limits between different products.",
		"Registers and contacts beyond their form, and jobs: lint does that.",
	}
}

// all lists every limit: of rule sets by their name, then of products.
func (s *Subject) all() []*limit.Compiled {
	var out []*limit.Compiled
	for _, set := range s.groups() {
		out = append(out, set.Limits...)
	}
	return out
}

// groups lists what limits stand together in: rule sets, then revisions of
// products.
func (s *Subject) groups() []*limit.Set {
	out := slices.Clone(s.Sets)
	for _, p := range s.Products {
		out = append(out, p.Set)
	}
	return out
}

// find returns the limit of a full name, nil where there is none.
func (s *Subject) find(full string) *limit.Compiled {
	for _, l := range s.all() {
		if l.FullName == full {
			return l
		}
	}
	return nil
}

// source returns the source of a rule set, nil where there is none of that name.
func (s *Subject) source(name string) *limit.Source {
	if set := s.set(name); set != nil {
		return &set.Source
	}
	return nil
}

// blocking tells whether a limit decides by itself: by its grade, or promoted by
// a rule set that always applies.
func (s *Subject) blocking(l *limit.Compiled) bool {
	return l.Grade.Blocks() || slices.ContainsFunc(s.Sets, func(set *limit.Set) bool {
		return set.Source.Always && slices.Contains(set.Promotes, l.FullName)
	})
}

// beside finds a field, with its text, of a limit or source.
func (s *Subject) beside(at fact.Origin, field, text string) fact.Origin {
	if s.Places == nil {
		return at
	}
	return s.Places.Beside(at, field, text)
}

// items finds the entries of a list in the block of a limit or rule set; an entry
// that is not found has the place of the block.
func (s *Subject) item(at fact.Origin, i int, path ...string) fact.Origin {
	if s.Places != nil {
		if items := s.Places.Items(at, path...); i < len(items) {
			return items[i]
		}
	}
	return at
}
