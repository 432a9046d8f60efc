// Package checks is the engine's front door: it reads a firm's repository, judges
// every job file against every limit that applies, and hands the results to
// sinks in the order of the files.
package checks

import (
	"time"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// AsOf is the instant a run is judged at. An explicit date is that date in every
// time zone; otherwise the instant is read as a date in each job's own zone.
type AsOf struct {
	Instant time.Time
	Date    fact.Day // fact.NoDay unless a date was asked for
}

// Day returns the calendar day in a job's time zone.
func (a AsOf) Day(zone *time.Location) fact.Day {
	if a.Date != fact.NoDay {
		return a.Date
	}
	return fact.DayOf(a.Instant.In(zone))
}

// String writes the date asked for, or the instant in UTC to the second.
func (a AsOf) String() string {
	if a.Date != fact.NoDay {
		return a.Date.String()
	}
	return a.Instant.UTC().Format(time.RFC3339)
}

// Run is a run as a whole: what it was judged by, and after the last job what
// came out across files.
type Run struct {
	Tool         string // version of the tool
	AsOf         AsOf
	LimitsDigest string           // over all definitions that took part
	Firm         string           // name of the firm, empty without a root file
	Contacts     []define.Contact // of the firm, in the order of its root file
	Languages    []string         // of labels and pages where a job states none, as the firm has it
	NotKept      []string         // what the firm has not, so that nothing was checked by it: "a register of people"
	Notes        []string         // what was not checked in this run as a whole, as sentences
	Shape        *fact.Compiled
	Files        int  // job files that were asked for, whether or not they can be read
	Redacted     bool // private values are left out of all that follows
	Broken       bool // mistakes were found in definitions before the first job, so that some of them took no part

	// Complete after the last job:
	Repository Repository
	Problems   []Problem        // of definitions and of files, in a fixed order
	Limits     []*limit.Planned // every limit that took part, sorted by full name
	Sources    []*limit.Source  // their sources, sorted by name
	Counts     Counts
	Failed     []SinkError // sinks that could not write
}

// SinkError says that a sink, by its place in the call, could not write.
type SinkError struct {
	Sink int
	Err  error
}

// Sink takes the results of a run. Render may be called by several goroutines at
// once; the other methods are called one after the other. An error of a sink
// stops only that sink.
type Sink interface {
	// Begin is called before the first job; of Run only the first part is known.
	Begin(r *Run) error
	// Render appends what the sink writes for one job to dst.
	Render(dst []byte, j *Job) []byte
	// Job takes what Render made, in the order of the files.
	Job(rendered []byte) error
	// End is called after the last job, with everything known.
	End(r *Run) error
}
