package checks

import (
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// Candidates is every limit on every value of one job: those it was judged by,
// those that do not apply, and those of rule sets that it does not name. It holds
// no facts of the job and may be kept.
type Candidates struct {
	File, Number, Premises, Status, Stage string
	AsOf                                  fact.Day
	Unread                                bool // the file could not be read at all; Problems says why
	Values                                []CandidateValue
	Sums                                  []CandidateSum
	Sets                                  []SetUse
	Required                              judge.Kind        // whether it names what the firm's map requires; 0 where there is no map
	RequiredWhy                           string            // what is left out, or why that is not known
	Without                               []*limit.Compiled // limits that apply to entries this job has none of
	Problems                              []Problem
	Notes                                 []string
}

// CandidateValue is one value of the job with the limits on it.
type CandidateValue struct {
	Fact    string // address: "stacks[A].wall_gap"
	Measure string // full path: "stacks.wall_gap"
	Label   string
	At      jobfile.Position // of the value, else of where it belongs
	Now     string           // with its unit, as its author wrote it; empty where it is not known
	State   string           // "recorded", "calculated", "not recorded", "unreadable", "not calculated"
	Planned string           // of a value read on site; empty where nothing is written
	Built   string
	Formula string // of a calculated value

	Candidates []Candidate
	NotAsked   []*limit.Compiled // limits on it of rule sets that the job does not name
	Why        string            // why the first candidate is the strictest; empty where none was compared
}

// Candidate is one limit on one value, and what became of it.
type Candidate struct {
	Limit     *limit.Planned
	Kind      judge.Kind
	Blocking  bool
	Second    bool   // held to the second printed value of the source
	Bound     string // of a bound that is taken from a fact, its value here
	Margin    string // room to the bound with its unit; empty without a number
	Room      quantity.Decimal
	Beside    bool // the value lies outside
	Strictest bool
	Reason    string
	Unmet     []limit.Unmet // what keeps it from applying
	WaitsOn   []string      // facts that are not recorded
	By        *limit.Planned
	Relaxes   []*limit.Planned // limits whose place it takes here

	signed float64
}

// CandidateSum is one sum over the premises with the limits on it.
type CandidateSum struct {
	Measure  string
	Label    string
	Outcomes []RepositoryOutcome
	Unmet    map[string][]limit.Unmet // by limit: what this job does not meet
	NotAsked []*limit.Compiled
}

// Use says how a rule set comes to judge a job. The zero value is invalid.
type Use string

// The ways.
const (
	Named    Use = "named"     // the job names it
	Always   Use = "always"    // it applies to every job of the firm
	Product  Use = "product"   // the job uses the product
	NotNamed Use = "not named" // it exists, and the job does not ask for it
)

// SetUse is one rule set or revision of equipment data as one job uses it.
type SetUse struct {
	Source   *limit.Source
	Limits   []string // their names, without the source
	Use      Use
	Line     int      // of the job file, where it is named
	UsedBy   []string // addresses of the facts that name the product
	Moment   fact.Moment
	Date     fact.Day // of the job at Moment; fact.NoDay where it is not recorded
	Recorded bool     // Date is known
	Dated    []DatedLimit
}

// DatedLimit is a limit that is in force for some dates only.
type DatedLimit struct {
	*limit.Compiled
	Force limit.Truth // in force on the job's date; Unknown where that is not recorded
}

// CandidateSink gathers the candidates of the one job that a run asks for.
type CandidateSink struct {
	library *Library
	out     Candidates
	unmet   map[string][]limit.Unmet // of limits on sums
}

// NewCandidateSink returns a sink for a run with one job file. The library must
// be of the same options.
func NewCandidateSink(l *Library) *CandidateSink {
	return &CandidateSink{library: l, unmet: map[string][]limit.Unmet{}}
}

// Candidates returns what was gathered, complete after the run.
func (s *CandidateSink) Candidates() *Candidates { return &s.out }

// Begin does nothing.
func (s *CandidateSink) Begin(*Run) error { return nil }

// Job does nothing: Render has taken what is needed.
func (s *CandidateSink) Job([]byte) error { return nil }

// Render takes the candidates of the job. It is called once in such a run.
func (s *CandidateSink) Render(dst []byte, j *Job) []byte {
	s.take(j)
	return dst
}

// End adds what is known only after the last job: sums and problems.
func (s *CandidateSink) End(r *Run) error {
	s.out.Problems, s.out.Notes = r.Problems, r.Notes
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			if o := &p.Outcomes[k]; p.Premises == s.out.Premises && (p.Premises != "" || o.File == s.out.File) {
				s.sum(o)
			}
		}
	}
	return nil
}

// sum enters one limit on a sum over the premises.
func (s *CandidateSink) sum(o *RepositoryOutcome) {
	if o.Limit == nil {
		return
	}
	for i := range s.out.Sums {
		if s.out.Sums[i].Measure == o.Measure {
			s.out.Sums[i].Outcomes = append(s.out.Sums[i].Outcomes, *o)
			return
		}
	}
	leaf := o.Limit.Way.Leaf
	s.out.Sums = append(s.out.Sums, CandidateSum{Measure: o.Measure, Label: leaf.Label.In("en"), Outcomes: []RepositoryOutcome{*o},
		Unmet: s.unmet, NotAsked: s.notAsked(leaf.Path)})
}

// JobFiles is a sink that keeps which file has which job number.
type JobFiles struct {
	byNumber map[string][]string
	numbers  []string
	unread   int
}

// NewJobFiles returns an empty index.
func NewJobFiles() *JobFiles { return &JobFiles{byNumber: map[string][]string{}} }

// Find returns the files that have a job number, in order, how many files could
// not be read, and every number there is.
func (f *JobFiles) Find(number string) (files []string, unread int, numbers []string) {
	return f.byNumber[number], f.unread, f.numbers
}

// Begin does nothing.
func (f *JobFiles) Begin(*Run) error { return nil }

// Render packs the number and the file.
func (f *JobFiles) Render(dst []byte, j *Job) []byte {
	dst = append(dst, j.Number...)
	return append(append(dst, 0), j.File...)
}

// Job enters one file.
func (f *JobFiles) Job(rendered []byte) error {
	number, file := cutZero(rendered)
	if number == "" {
		f.unread++
		return nil
	}
	if f.byNumber[number] == nil {
		f.numbers = append(f.numbers, number)
	}
	f.byNumber[number] = append(f.byNumber[number], file)
	return nil
}

// End does nothing.
func (f *JobFiles) End(*Run) error { return nil }
