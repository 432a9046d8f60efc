package explain

import "witnessmark.example/checks/fact"

// Kind says what a name stands for. The zero value is invalid.
type Kind string

// The kinds of names.
const (
	OfLimit    Kind = "limit"
	OfMeasure  Kind = "measure" // calculated
	OfField    Kind = "field"   // written by somebody: in a job, in equipment data, in a register
	OfList     Kind = "list"
	OfRuleSet  Kind = "rule_set"
	OfCheck    Kind = "check"
	OfOutcome  Kind = "outcome"
	OfGrade    Kind = "grade"
	OfWeight   Kind = "weight" // blocking or advisory
	OfDecision Kind = "decision"
	OfStage    Kind = "stage"
	OfGate     Kind = "gate"
	OfEvent    Kind = "event"
	OfSeveral  Kind = "several" // the name stands for more than one thing
)

// Explanation is everything there is to say about one name. Parts that do not
// belong to its kind are empty.
type Explanation struct {
	Kind  Kind   `json:"kind"`
	Name  string `json:"name"` // the full name
	Label string `json:"label,omitempty"`
	What  string `json:"what"`
	Why   string `json:"why,omitempty"`

	Limit       *Limit       `json:"limit,omitempty"`
	Source      *Source      `json:"source,omitempty"` // of a limit and of a rule set
	RuleSet     *RuleSet     `json:"rule_set,omitempty"`
	Fact        *Fact        `json:"fact,omitempty"` // of a field and of a measure
	Calculation *Calculation `json:"calculation,omitempty"`
	List        *List        `json:"list,omitempty"`
	Word        *Word        `json:"word,omitempty"`

	Due      *Due         `json:"due,omitempty"`
	Examples []Example    `json:"examples,omitempty"`
	At       *fact.Origin `json:"at,omitempty"` // where it is defined; nil for what is built in
	Notes    []string     `json:"notes,omitempty"`

	Candidates   []Candidate    `json:"candidates,omitempty"`   // of several: full names to ask for
	Explanations []*Explanation `json:"explanations,omitempty"` // of several: one word in several meanings
}

// Candidate is one thing that a short name may stand for.
type Candidate struct {
	Kind Kind   `json:"kind"`
	Name string `json:"name"`
	What string `json:"what"`
}

// Limit is what is said of a limit beside its source.
type Limit struct {
	Measure   string   `json:"measure"`
	Within    string   `json:"within"` // ">= 3 ft"
	InWords   string   `json:"in_words"`
	Unit      string   `json:"unit,omitempty"`
	Printed   *Printed `json:"printed,omitempty"`
	Clause    string   `json:"clause"`
	Grade     string   `json:"grade"`
	Meaning   string   `json:"grade_meaning"`
	Blocking  bool     `json:"blocking"`
	Promoted  string   `json:"promoted_by,omitempty"` // the policy that makes an advisory limit block
	Scope     string   `json:"scope"`                 // the list; empty for the job itself
	JudgedFor string   `json:"judged_for"`
	Applies   string   `json:"applies"` // which jobs it is for at all

	When        []Condition `json:"when,omitempty"`
	InForce     *InForce    `json:"in_force,omitempty"`
	Product     string      `json:"product,omitempty"` // whose datasheet states it
	Replaces    []string    `json:"replaces,omitempty"`
	ReplacedBy  []string    `json:"replaced_by,omitempty"`
	HandsOverTo string      `json:"hands_over_to,omitempty"`
	Beside      []string    `json:"beside,omitempty"` // other limits on the same measure
	Address     string      `json:"address,omitempty"`
	Reviewed    string      `json:"reviewed"`
	ReviewBy    string      `json:"review_by"`
}

// Printed is the second value of a source that prints two.
type Printed struct {
	Within  string `json:"within"`
	InWords string `json:"in_words"`
	Unit    string `json:"unit"`
}

// Condition is one part of when a limit applies, as a sentence; of some and every
// with what is asked of the entries.
type Condition struct {
	Text string      `json:"text"`
	Fact string      `json:"fact,omitempty"`
	List string      `json:"list,omitempty"`
	Of   []Condition `json:"of,omitempty"`
}

// InForce says on which days of which date of the job a limit is in force. An
// empty day is no bound.
type InForce struct {
	Date  string `json:"date"` // "dates.permit"
	From  string `json:"from,omitempty"`
	Until string `json:"until,omitempty"`
}

// Source is the document behind a limit or a rule set.
type Source struct {
	Name       string `json:"name"`
	Title      string `json:"title"`
	Edition    string `json:"edition"`
	Kind       string `json:"kind"`
	Decision   string `json:"decision"`
	Decides    string `json:"decision_meaning"`
	DecidedBy  string `json:"decided_by"`
	SelectedBy string `json:"selected_by,omitempty"` // date of the job
	Always     bool   `json:"always,omitempty"`
	Address    string `json:"address,omitempty"`
	Ships      bool   `json:"ships"` // with the tool, rather than from the firm
}

// RuleSet is what is said of a rule set beside its source.
type RuleSet struct {
	Applies  string      `json:"applies"`
	Required []string    `json:"required,omitempty"` // where the firm's map requires it
	Limits   []LimitLine `json:"limits"`
	Promotes []string    `json:"promotes,omitempty"`
	Bands    []Band      `json:"bands,omitempty"`
}

// LimitLine is a limit in one line of its rule set.
type LimitLine struct {
	Name     string `json:"name"`
	Measure  string `json:"measure"`
	Within   string `json:"within"`
	Grade    string `json:"grade"`
	Blocking bool   `json:"blocking"`
}

// Band is the uncertainty a policy gives to plain readings of a field.
type Band struct {
	Fact string `json:"fact"`
	Band string `json:"band"`
}

// Fact is what is said of a field or measure.
type Fact struct {
	Type        string   `json:"type"`
	Written     string   `json:"written"` // where and how it is written, as a phrase
	Unit        string   `json:"unit,omitempty"`
	Words       []string `json:"words,omitempty"`
	Pattern     string   `json:"pattern,omitempty"`
	Many        bool     `json:"many,omitempty"`
	List        string   `json:"list,omitempty"`     // it belongs to; empty for the job itself
	Names       string   `json:"names,omitempty"`    // list that a link names
	Back        string   `json:"back,omitempty"`     // name of the way back
	ValidOn     string   `json:"valid_on,omitempty"` // of a link to a register: the field with the day on which the entry must be good
	RulesOn     string   `json:"rules_on,omitempty"` // of a link to the people: the field that says what the person rules on
	Least       int      `json:"least,omitempty"`    // of a count
	Private     bool     `json:"private,omitempty"`
	Unique      bool     `json:"unique,omitempty"`
	BoundBy     []string `json:"bound_by,omitempty"`     // limits on it
	ConditionOf []string `json:"condition_of,omitempty"` // limits that look at it, to see whether they apply or how far they go
	UsedBy      []string `json:"used_by,omitempty"`      // measures that are calculated from it
}

// Calculation is how a measure comes about.
type Calculation struct {
	Formula  string  `json:"formula"`
	Validity string  `json:"validity,omitempty"`
	Source   string  `json:"source"`
	Inputs   []Input `json:"inputs"`
	Where    []Input `json:"where,omitempty"`  // what entries must be to be added, in Words
	Across   bool    `json:"across,omitempty"` // over all jobs of the premises
}

// Input is one thing that goes into a calculation.
type Input struct {
	Symbol string   `json:"symbol,omitempty"`
	Fact   string   `json:"fact"`
	Label  string   `json:"label,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	Over   string   `json:"over,omitempty"` // link that ties what is added to what has the sum
	Words  []string `json:"words,omitempty"`
}

// List is what is said of a list of a job, a kind of equipment or a register.
type List struct {
	Key     string   `json:"key,omitempty"`
	Parent  string   `json:"parent,omitempty"`
	Fields  []Input  `json:"fields"`
	Lists   []string `json:"lists,omitempty"`           // that stand in its entries
	BoundBy []string `json:"judged_for_each,omitempty"` // limits that are judged for each entry
}

// Word is what is said of a word of the reports.
type Word struct {
	Shown string   `json:"shown"`           // as text reports write it
	Do    string   `json:"do,omitempty"`    // what to do about it
	Facts []string `json:"facts,omitempty"` // of a stage, gate or event: what falls due then
}

// Due says when a fact must be recorded. Of a limit it is its measure.
type Due struct {
	At    string `json:"at"` // a stage, gate or event; "never" for what is optional
	Days  int    `json:"days,omitempty"`
	Built string `json:"built,omitempty"` // stage from which on the reading on site is due and decides
	Gate  string `json:"gate,omitempty"`  // the first gate before which it must be settled
	Text  string `json:"text"`
}

// Example shows how something is written, or a value that comes out one way.
type Example struct {
	Title    string `json:"title"`              // "planned", "read on site", "within", "outside" …
	Value    string `json:"value,omitempty"`    // the value by itself
	Text     string `json:"text,omitempty"`     // lines of a file
	Language string `json:"language,omitempty"` // of Text: "yaml" or "cue"
	Note     string `json:"note,omitempty"`
}
