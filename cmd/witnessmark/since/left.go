package since

import (
	"slices"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/redact"
)

// Left is a finding of the base that stands no more.
type Left struct {
	*Finding
	State State  // Fixed or Gone
	Why   string // what became of it, in words
}

// What became of findings of the base.
const (
	nowWithin = "now within"
	notDue    = "not due yet"
)

// Job is what the comparison says of one job.
type Job struct {
	File     string
	Was      string // its file in the base; empty where it was not there
	Edited   bool   // its content differs from that in the base
	Unread   bool   // now
	SetAside bool   // now: not judged as a whole
	Shown    bool   // in reports for people: it differs, or something of it does, or all jobs are shown
	New      int    // findings, and problems
	Known    int
	Left     []Left

	Problems []Verdict // of the job's problems, in their order
	problems []*Finding
	findings []*Finding                 // all that take part, with problems
	on       []Verdict                  // on each of them
	verdicts map[*judge.Outcome]Verdict // while the job is rendered
	recorded map[*Finding]bool          // which values of findings across files of the base are still there
}

// Verdict returns what is said of an outcome of the job; nothing of one that takes no
// part.
func (j *Job) Verdict(o *judge.Outcome) Verdict {
	if j == nil {
		return Verdict{}
	}
	return j.verdicts[o]
}

// Problem returns the verdict on a problem of the job, by its place.
func (j *Job) Problem(i int) Verdict {
	if j == nil || i >= len(j.Problems) {
		return Verdict{}
	}
	return j.Problems[i]
}

// Together returns the verdict on several outcomes that are told as one: new if one
// of them is.
func (j *Job) Together(outcomes []*judge.Outcome) Verdict {
	var out Verdict
	for _, o := range outcomes {
		v := j.Verdict(o)
		if out.State == "" || v.State == New && out.State == Known || v.State == out.State && out.Was == nil {
			out = v
		}
	}
	return out
}

// Count returns how many findings of the base are fixed, and how many are gone.
func (j *Job) Count() (fixed, gone int) {
	for i := range j.Left {
		if j.Left[i].State == Fixed {
			fixed++
		}
	}
	return fixed, len(j.Left) - fixed
}

// compare compares one job with the base.
func (c *Comparison) compare(job *checks.Job) *Job {
	j := &Job{File: job.File, Unread: job.Result == nil, verdicts: map[*judge.Outcome]Verdict{}}
	var before []*Finding
	if b := c.base.jobs[c.was(job.File)]; b != nil {
		j.Was, j.Edited, before = b.file, b.digest != job.Digest || b.unread, b.findings
	}
	if job.Result != nil {
		j.SetAside, j.recorded = job.Result.SetAside(), recorded(job.Result.Facts, c.base.clashes[j.Was])
	}
	head, outcomes := ofJob(job)
	verdicts, left := Compare(onFile(before, job.File), head)
	j.findings, j.on = head, verdicts
	for i, v := range verdicts {
		if head[i].IsFinding() && v.State == New {
			j.New++
		} else if head[i].IsFinding() {
			j.Known++
		}
		o := outcomes[i]
		if o == nil {
			j.Problems, j.problems = append(j.Problems, v), append(j.problems, head[i])
			continue
		}
		j.verdicts[o] = v
		if o.Kind == judge.NotDue && v.Was != nil && v.Was.IsFinding() {
			j.Left = append(j.Left, Left{Finding: v.Was, State: Gone, Why: notDue})
		}
	}
	for _, l := range fates(job, left) {
		j.Left = append(j.Left, c.fate(l))
	}
	j.Shown = c.Whole || j.Was != j.File || j.Edited || j.Unread || j.New > 0 || len(j.Left) > 0 || len(j.Problems) > 0
	return j
}

// onFile says of findings of the base that they are of a file of the head, which may
// have another name.
func onFile(all []*Finding, file string) []*Finding {
	out := make([]*Finding, len(all))
	for i, f := range all {
		out[i] = f
		if f.File != file {
			moved := *f
			moved.File = file
			out[i] = &moved
		}
	}
	return out
}

// fates says what became of findings that a job has no more.
func fates(job *checks.Job, left []*Finding) []Left {
	var out []Left
	now := outcomesOf(job, left)
	for _, f := range left {
		if !f.IsFinding() {
			continue
		}
		l := Left{Finding: f, State: Gone}
		switch kind := now[f.subject()]; {
		case job.Result == nil:
			l.Why = "the file could not be read"
		case f.Kind == 0:
			l.State, l.Why = Fixed, "the problem is gone"
		case job.Result.SetAside():
			l.Why = "the job is not judged any more"
		case kind == judge.Within:
			l.State, l.Why = Fixed, nowWithin
		case kind == judge.NotApplicable:
			l.Why = "does not apply any more"
		case slices.Contains(slices.Collect(job.Result.BrokenLimits()), f.Name):
			l.Why = "the limit is not understood any more"
		default:
			l.State, l.Why = unjudged(job.Result.Facts, f)
		}
		out = append(out, l)
	}
	return out
}

// unjudged says what became of a finding of which the job has no outcome at all.
func unjudged(facts *fact.Facts, f *Finding) (State, string) {
	if strings.Contains(f.Fact, strings.TrimSuffix(redact.LeftOut, ")")) {
		return Gone, "not judged any more" // nobody knows which entry it was
	}
	for _, in := range facts.Entries[f.leaf.Scope.ID] {
		if in.AddressOf(f.leaf) != f.Fact {
			continue
		}
		switch state := in.Get(f.leaf).State; {
		case !strings.HasPrefix(f.Name, "record#"):
			return Gone, "no limit of this name judges it any more"
		case state == fact.Known && f.Kind != judge.Outside:
			return Fixed, "now recorded"
		case state == fact.Known:
			return Fixed, "now as it should be"
		}
		return Gone, "not demanded any more"
	}
	return Gone, "no longer recorded"
}

// outcomesOf returns how the job's outcomes came out that findings of the base are
// about, where they are none that take part.
func outcomesOf(job *checks.Job, left []*Finding) map[subject]judge.Kind {
	if job.Result == nil || len(left) == 0 {
		return nil
	}
	names := map[string]bool{}
	for _, f := range left {
		names[f.Name] = true
	}
	out := map[subject]judge.Kind{}
	for i := range job.Result.Outcomes {
		if o := &job.Result.Outcomes[i]; !compared(o.Kind) && names[o.Name()] {
			var id checks.Identity
			if len(job.Identities) > 0 {
				id = job.Identities[i]
			}
			key := subjectOf(o.Name(), o.Fact(), id)
			out[key] = max(out[key], o.Kind) // of two, the one that was not compared: it is no sign of a mend
		}
	}
	return out
}
