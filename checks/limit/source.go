package limit

import "witnessmark.example/checks/fact"

// Kind is what sort of document a source is. The zero value is invalid.
type Kind string

// The kinds of source.
const (
	Code         Kind = "code"
	Standard     Kind = "standard"
	Datasheet    Kind = "datasheet"
	SafetyNotice Kind = "safety-notice"
	Permit       Kind = "permit"
	Policy       Kind = "policy"
	Practice     Kind = "practice"
)

// Grade is how a limit is known. The zero value is invalid.
type Grade string

// The grades, best first.
const (
	Document  Grade = "document"  // its own text was read
	Copy      Grade = "copy"      // an unofficial copy of its text was read
	Official  Grade = "official"  // a law, authority or regulator restates it
	Secondary Grade = "secondary" // someone's account of it
	Memory    Grade = "memory"    // recalled, not read
	Custom    Grade = "practice"  // common practice of the trade, no source
)

// Grades lists the grades, best first.
func Grades() []Grade { return []Grade{Document, Copy, Official, Secondary, Memory, Custom} }

// Blocks tells whether a limit of this grade decides by itself. Limits of other
// grades are advisory until the firm's policy promotes them by name.
func (g Grade) Blocks() bool { return g == Document || g == Copy || g == Official }

// Decision is the rule by which a reading with an uncertainty is accepted.
type Decision string

// The decision rules. Simple: the value as written decides. Guarded: a value
// whose uncertainty reaches over the limit is too close to call.
const (
	Simple  Decision = "simple"
	Guarded Decision = "guarded"
)

// Source is a document that sets limits, in one edition.
type Source struct {
	Name       string      `json:"name"` // "us/irc-2021"; of a product "equipment/morvane@B"
	Title      string      `json:"title"`
	Edition    string      `json:"edition"`
	Kind       Kind        `json:"kind"`
	Decision   Decision    `json:"decision"`
	DecidedBy  string      `json:"decided_by"`            // who decides locally
	SelectedBy string      `json:"selected_by,omitempty"` // the job date by which limits of the source are in force or not
	Always     bool        `json:"always,omitempty"`      // applies without being named by the job
	Address    string      `json:"address,omitempty"`     // where it can be read
	At         fact.Origin `json:"at"`
}

// RuleSet is the limits of one source and edition.
type RuleSet struct {
	Source              Source            `json:"source"`
	Limits              []Limit           `json:"limits"`
	Bands               map[string]string `json:"bands,omitempty"`    // of a policy: uncertainty of bare nominals, by measure
	Promotes            []string          `json:"promotes,omitempty"` // of a policy: advisory limits made blocking
	BandsAt, PromotesAt fact.Origin       `json:"-"`
	Product             string            `json:"product,omitempty"` // of equipment data: its kind ("storage")
	Broken              []string          `json:"-"`                 // full names of limits that are not understood, so that they judge nothing
	Figures             *fact.Instance    `json:"-"`                 // of equipment data: what the datasheet states
}

// Limit is one constraint on one measure.
type Limit struct {
	Name        string      `json:"name"` // without the source: "energy-per-unit"
	Measure     string      `json:"measure"`
	Within      Constraint  `json:"within"`
	Unit        string      `json:"unit,omitempty"`
	Printed     *Printed    `json:"printed,omitempty"`
	When        []Condition `json:"when,omitempty"`
	From        string      `json:"from,omitempty"`  // in force from this day (of the source's SelectedBy)
	Until       string      `json:"until,omitempty"` // last day in force
	Replaces    []string    `json:"replaces,omitempty"`
	HandsOverTo string      `json:"hands_over_to,omitempty"`
	Clause      string      `json:"clause"`
	Grade       Grade       `json:"grade"`
	Address     string      `json:"address,omitempty"` // the page that was read, where it is not the source itself
	Reviewed    string      `json:"reviewed"`
	ReviewBy    string      `json:"review_by"`
	Why         string      `json:"why"`
	Examples    *Examples   `json:"examples,omitempty"`
	At          fact.Origin `json:"at"`
}

// Examples are values as a job would write them, on both sides of a limit.
type Examples struct {
	Within  []string    `json:"within,omitempty"`
	Outside []string    `json:"outside,omitempty"`
	At      fact.Origin `json:"at"`
}

// Printed is the second value of a source that prints two (3 ft and 914 mm): a
// reading written in that system of units is held to it.
type Printed struct {
	Within Constraint `json:"within"`
	Unit   string     `json:"unit"`
}

// Op is the operator of a Constraint. The zero value is invalid.
type Op string

// The operators. All and Any have Args, Some and Every one of them, the others an
// Operand. Some and Every are for a fact that is a list of words: one of its words,
// or every one, meets the constraint in Args. Where neither is written one of the
// words is enough, as in a condition.
const (
	All          Op = "all"
	Any          Op = "any"
	Less         Op = "<"
	AtMost       Op = "<="
	Greater      Op = ">"
	AtLeast      Op = ">="
	Equals       Op = "="
	Differs      Op = "!="
	Matches      Op = "=~"
	DoesNotMatch Op = "!~"
	Some         Op = "some"
	Every        Op = "every"
)

// Constraint is a small tree: one value serves evaluation, printing, the margin,
// the search for contradictions and the pre-compiled form.
type Constraint struct {
	Op      Op           `json:"op"`
	Args    []Constraint `json:"args,omitempty"`
	Operand *Operand     `json:"operand,omitempty"`
}

// Operand is a constant, or a fact times a number plus a number. Numbers are
// kept as the author wrote them.
type Operand struct {
	Number string `json:"number,omitempty"`
	Text   string `json:"text,omitempty"`
	Truth  *bool  `json:"truth,omitempty"`
	Fact   string `json:"fact,omitempty"`
	Times  string `json:"times,omitempty"` // of Fact; empty for 1
	Plus   string `json:"plus,omitempty"`  // to Fact, in the unit of the limit; empty for 0
}

// Condition is one part of a limit's `when`; all parts must hold. With a
// Quantifier, some or every entry of List must meet the conditions in Of.
type Condition struct {
	Fact       string      `json:"fact,omitempty"`
	Is         *Constraint `json:"is,omitempty"`
	Quantifier string      `json:"quantifier,omitempty"` // "some" or "every"
	List       string      `json:"list,omitempty"`
	Of         []Condition `json:"of,omitempty"`
}
