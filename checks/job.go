package checks

import (
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/propose"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/register"
)

// Job is what came out for one job file. It belongs to the worker that judged
// it: a Sink renders it at once and keeps nothing of it.
type Job struct {
	File     string // from the root, forward slashes
	Digest   string // SHA-256 of the file, lower-case hexadecimal; empty if it was not read
	Number   string // the firm's job number
	Premises string
	Status   string // as written; "active" where nothing is written
	Stage    string
	Result   *judge.Result // nil where the file could not be read at all
	Problems []Problem     // of this file

	Proposals []propose.Proposal // other values with which findings would go away

	Identities []Identity // of the outcomes; empty where nothing is left out
}

// Problem is something that kept a file, a value or a definition from being
// checked. It is never a finding about a site.
type Problem struct {
	File    string // from the root; of definitions that ship with the tool, below schema/
	At      jobfile.Position
	Code    string // stable short word: "duplicate-key"
	Message string
	Mend    string

	Identity Identity
}

// PremisesResult is what came out for the sums over one property.
type PremisesResult struct {
	Premises string
	Jobs     []string // numbers of the jobs that count, in order of their files
	Outcomes []RepositoryOutcome
}

// RepositoryOutcome is an outcome that belongs to several jobs at once: a sum
// over a property, or a built-in check across files.
type RepositoryOutcome struct {
	Name     string // limit or built-in check
	Limit    *limit.Planned
	Kind     judge.Kind
	Blocking bool
	Measure  string
	Fact     string            // address of the value, in File
	Value    quantity.Quantity // the sum; zero where it is not known or there is no number
	Bound    quantity.Quantity
	Margin   string           // with its unit, as in judge.Outcome.Margin
	Room     quantity.Decimal // the same as a number
	Strict   bool             // the strictest limit on this sum
	Shares   []register.Share // of a sum: what each job adds
	File     string           // where to look; of a sum, the last of its jobs
	At       jobfile.Position
	Written  string
	Reason   string
	Identity Identity
}

// Repository is what came out across all files.
type Repository struct {
	Premises   []PremisesResult
	Outcomes   []RepositoryOutcome
	Incomplete bool // a job file, asked for or not, could not be read in full: what is not found across files may be there
}

// Counts are the figures of a run. The zero value counts nothing.
type Counts struct {
	Jobs      int // job files judged
	Unread    int // job files that could not be read
	ByKind    map[judge.Kind]int
	ByGrade   map[limit.Grade]map[judge.Kind]int // outcomes of limits
	ByRuleSet map[string]map[judge.Kind]int      // by source name; built-in checks under "record"
	Blocking  map[judge.Kind]int                 // of ByKind, those that block
	Problems  int
	Judged    int // outcomes of limits for which a value was compared; not sums to which no job adds anything
	Without   WithoutEntry
}

// WithoutEntry counts limits that found nothing to judge, since a job has no entry
// of the list they are judged for. A limit counts once for each such job.
type WithoutEntry struct {
	Jobs     int // in which there is such a limit
	Limits   int
	Blocking int // of Limits
}
