// Package register keeps, in little memory, what has to be known across jobs:
// which storage stands on which premises, which serial numbers and job numbers
// were seen where. It is filled job by job in the order of the files, and judged
// after the last one.
package register

import (
	"slices"
	"sort"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// Part is what one job adds to the register. It holds no facts of the job, so
// that it may be kept.
type Part struct {
	File        string
	Job         string
	JobAt       jobfile.Position
	Premises    string
	At          jobfile.Position // of the premises, or of the job where none are named
	Concessions []judge.Concession
	Stage       fact.Stage
	Counts      bool // its storage stands there: neither cancelled nor removed
	AddsTo      Mention
	Replaces    Mention
	Sums        []Sum
	Limits      []LimitPart
	Serials     []Mention
	Doubt       bool // something in the file was not understood
}

// Mention is a name with the place it stands at.
type Mention struct {
	Name string
	Fact string // address of the value
	At   jobfile.Position
}

// Sum is a job's share of one measure that runs over the premises.
type Sum struct {
	Leaf   *fact.Leaf
	Known  bool
	Base   float64 // in the base unit of the measure
	Spread float64 // its uncertainty, in the same unit
	Reason string  // why it is not known
	Later  bool    // all that is absent is due later
}

// LimitPart says whether a limit on such a measure applies by this job.
type LimitPart struct {
	Limit   *limit.Planned
	Applies limit.Truth
	By      *limit.Planned // the limit that takes its place, where Applies is No for that
	Against *limit.Planned // a limit that applies too and contradicts it
	Reason  string         // what is not known
	Later   bool           // all that is absent is due later
}

// Register is the register of one run. The zero value is not ready; use New.
type Register struct {
	parts  []Part
	unread []string // files that may belong to any premises
	adrift []string // files of jobs that name no premises, which is as bad
}

// New returns an empty register.
func New() *Register { return &Register{} }

// Add enters one job.
func (r *Register) Add(p Part) {
	r.parts = append(r.parts, p)
	if p.Premises == "" && p.Counts {
		r.adrift = append(r.adrift, p.File)
	}
}

// Unread notes a job file that could not be read. It may belong to any premises,
// so that no sum can be known to be within a limit.
func (r *Register) Unread(file string) { r.unread = append(r.unread, file) }

// Complete tells whether every job file was read and understood, so that what the
// checks across files do not find is not there.
func (r *Register) Complete() bool {
	return len(r.unread) == 0 && !slices.ContainsFunc(r.parts, func(p Part) bool { return p.Doubt })
}

// Premises lists the premises of the register, sorted.
func (r *Register) Premises() []string {
	seen := map[string]bool{}
	var out []string
	for i := range r.parts {
		if p := r.parts[i].Premises; p != "" && !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	sort.Strings(out)
	return out
}
