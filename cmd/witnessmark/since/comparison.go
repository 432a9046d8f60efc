package since

import (
	"slices"
	"strings"
	"sync"

	"witnessmark.example/checks"
	"witnessmark.example/checks/judge"
)

// Comparison compares a run with the base while it goes on: it is the first sink of
// the run, and the others ask it.
type Comparison struct {
	Ref         string   // as it was given
	Commit      string   // full name of the base
	Uncommitted int      // paths that are changed or new and not committed
	Notes       []string // what the comparison could not look at, as sentences

	// Known from Begin on:
	Whole   bool     // definitions differ, so that every job is shown
	Changed []string // which; empty where that is not known

	// Complete after the last job:
	Jobs     []*Job // that were asked for, in the order of their files
	Left     []Left // that stand no more, of all jobs and across them
	Apart    []Left // of Left, those of no job of the head
	Totals   Totals
	Problems []Verdict // of Run.Problems, in their order

	unsure string // why nothing can be called fixed: what asked for something may have been lost; else empty
	base   *Base
	moved  map[string]string // files of the head to those of the base, where they differ
	wanted func(file string) bool
	ready  sync.Map // file to *Job, between Render and Job

	told   map[Finding][]Verdict // on problems of jobs
	across map[*checks.RepositoryOutcome]Verdict
}

// Outcome returns the verdict on an outcome across jobs; none of a nil comparison.
func (c *Comparison) Outcome(o *checks.RepositoryOutcome) Verdict {
	if c == nil {
		return Verdict{}
	}
	return c.across[o]
}

// Problem returns the verdict on a problem of the run, by its place; none of a nil
// comparison.
func (c *Comparison) Problem(i int) Verdict {
	if c == nil || i >= len(c.Problems) {
		return Verdict{}
	}
	return c.Problems[i]
}

// Short is enough of the name of the base to tell it from others by eye.
func (c *Comparison) Short() string { return c.Commit[:min(12, len(c.Commit))] }

// Totals counts findings, one for each limit and value. Problems are counted apart, and
// what was accepted, which is no finding.
type Totals struct {
	New, Known, Fixed, Gone       int
	NewAccepted                   int
	NewProblems, KnownProblems    int
	JobsShown, JobsNotShown       int
	KnownNotShown                 int           // of Known, those of jobs that are not shown
	NewCounts                     checks.Counts // what is new by outcome, for the exit status
	Added, Removed, Edited, Moved int           // job files
}

// Options say how to compare.
type Options struct {
	Ref, Commit string
	Uncommitted int
	Changed     []string // definition files that differ, from the root
	Notes       []string
	Moved       map[string]string      // see Moves
	Wanted      func(file string) bool // whether a file of the base was asked for
}

// NewComparison returns a comparison with a base that is complete.
func NewComparison(base *Base, o Options) *Comparison {
	c := &Comparison{Ref: o.Ref, Commit: o.Commit, Uncommitted: o.Uncommitted, Changed: o.Changed, Notes: o.Notes, base: base, moved: o.Moved, wanted: o.Wanted}
	c.Totals.NewCounts = checks.Counts{ByKind: map[judge.Kind]int{}, Blocking: map[judge.Kind]int{}}
	c.told = map[Finding][]Verdict{}
	c.across = map[*checks.RepositoryOutcome]Verdict{}
	for _, file := range base.unread {
		c.Notes = append(c.Notes, "The job file "+file+" could not be read in the base: what is found in it counts as new.")
	}
	return c
}

// fate is what became of a finding of the base. While definitions are broken or lost that
// the base had, what is found no more may only have lost what found it.
func (c *Comparison) fate(l Left) Left {
	if c.unsure != "" && l.State == Fixed {
		l.State, l.Why = Gone, c.unsure
	}
	return l
}

// Begin finds out whether both are judged by the same definitions.
func (c *Comparison) Begin(r *checks.Run) error {
	if c.Whole = r.LimitsDigest != c.base.digest; !c.Whole {
		c.Changed = nil // files that nothing was read from
	}
	lost := slices.DeleteFunc(slices.Clone(r.NotKept), func(what string) bool { return slices.Contains(c.base.notKept, what) })
	switch {
	case c.Whole && r.Broken:
		c.unsure = "definitions differ and could not be read in full"
	case len(lost) > 0:
		c.unsure = "the base has " + strings.Join(lost, ", ") + " to check by, and now there is none"
	}
	return nil
}

// Render compares one job and writes only its name.
func (c *Comparison) Render(dst []byte, job *checks.Job) []byte {
	c.ready.Store(job.File, c.compare(job))
	return append(dst, job.File...)
}

// Of returns what came out for a job that is being rendered; nil of a nil comparison.
func (c *Comparison) Of(job *checks.Job) *Job {
	if c == nil {
		return nil
	}
	kept, ok := c.ready.Load(job.File)
	if !ok {
		return nil
	}
	return kept.(*Job)
}

// Job takes over what Render kept. The job's own memory holds another one by then.
func (c *Comparison) Job(rendered []byte) error {
	kept, _ := c.ready.LoadAndDelete(string(rendered))
	c.add(kept.(*Job))
	return nil
}

// add counts one job.
func (c *Comparison) add(j *Job) {
	t := &c.Totals
	for i, f := range j.findings {
		t.count(j.on[i], f)
	}
	for i, f := range j.problems {
		c.told[f.key()] = append(c.told[f.key()], j.Problems[i])
	}
	switch {
	case j.Was == "":
		t.Added++
	case j.Was != j.File:
		t.Moved++
	case j.Edited:
		t.Edited++
	}
	if j.Shown {
		t.JobsShown++
	} else {
		t.JobsNotShown++
		t.KnownNotShown += j.Known
	}
	j.verdicts, j.findings, j.on, j.problems = nil, nil, nil, nil
	c.Jobs = append(c.Jobs, j)
	c.Left = append(c.Left, j.Left...)
}

// count counts one verdict.
func (t *Totals) count(v Verdict, f *Finding) {
	k := f.Kind
	if v.State == New {
		t.NewCounts.ByKind[k]++
		if f.Blocking {
			t.NewCounts.Blocking[k]++
		}
	}
	switch {
	case k == 0 && v.State == New:
		t.NewProblems++
	case k == 0:
		t.KnownProblems++
	case k == judge.Accepted && v.State == New:
		t.NewAccepted++
	case !k.IsFinding():
	case v.State == New:
		t.New++
	default:
		t.Known++
	}
}

// End compares what runs across jobs, and finds the jobs that are gone.
func (c *Comparison) End(r *checks.Run) error {
	c.acrossJobs(r)
	c.goneJobs()
	c.problems(r)
	c.Left = append(c.Left, c.Apart...)
	byFile := func(a, b Left) int { return strings.Compare(a.File, b.File) }
	slices.SortStableFunc(c.Left, byFile)
	slices.SortStableFunc(c.Apart, byFile)
	for i := range c.Left {
		if c.Left[i].State == Fixed {
			c.Totals.Fixed++
		} else {
			c.Totals.Gone++
		}
	}
	return nil
}
