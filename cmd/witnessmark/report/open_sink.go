package report

import (
	"encoding/json"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/since"
)

// openSink gathers what is open in all jobs; formats for CI embed it and write
// everything at the end.
type openSink struct {
	since *since.Comparison // nil where nothing is compared with a base
	jobs  []openJob
	shown shownFiles
}

// openJob is what is kept of one job.
type openJob struct {
	File, Number, Stage string
	Unread              bool
	Same                bool // nothing of it differs from the base
	Open                []Open
	Gates               []string // what is open before each gate, and what is then listed
	Said                []string // what was judged, and what was not
}

// Begin has nothing to do.
func (s *openSink) Begin(*checks.Run) error { return nil }

// Render makes what is kept of one job. It is safe for concurrent use.
func (s *openSink) Render(dst []byte, job *checks.Job) []byte {
	s.shown.add(job)
	j := openJob{File: job.File, Number: job.Number, Stage: job.Stage, Unread: job.Result == nil, Open: openOf(job, s.since.Of(job))}
	if of := s.since.Of(job); of != nil {
		j.Same = !of.Shown
	}
	if job.Result != nil {
		j.say(job)
	}
	text, err := json.Marshal(j)
	if err != nil {
		panic("report: " + err.Error()) // it holds only text and numbers
	}
	return append(dst, text...)
}

// say takes over the sentences of the text report on open points and on what was
// judged.
func (j *openJob) say(job *checks.Job) {
	w := teller(job, job.Result.AsOf)
	heads := func(write func()) (out []string) {
		for _, t := range w.tell(write) {
			out = append(out, sentenceCase(t.head))
		}
		return out
	}
	if len(j.Open) > 0 && !job.Result.SetAside() {
		j.Gates = heads(func() { w.gates(job.Result.Facts.OnHold) })
	}
	j.Said = heads(func() { w.closing(len(j.Open) == 0) })
}

// Job keeps what Render made of one job.
func (s *openSink) Job(rendered []byte) error {
	var j openJob
	if err := json.Unmarshal(rendered, &j); err != nil {
		return err
	}
	s.jobs = append(s.jobs, j)
	return nil
}

// all lists everything that is open, jobs first, then across jobs, then problems of
// definitions and of files that are no job, and that nothing was checked at all. No two
// have the same key.
func (s *openSink) all(r *checks.Run) []Open {
	var out []Open
	for i := range s.jobs {
		out = append(out, s.jobs[i].Open...)
	}
	out = append(out, openAcross(r, s.since)...)
	for i, p := range s.shown.others(r) {
		o := openProblem(p, "")
		o.compared(s.since.Problem(i))
		out = append(out, o)
	}
	if r.Counts.Judged == 0 { // an empty list would look like a pass
		out = append(out, openProblem(&checks.Problem{Code: "nothing-checked", Message: "nothing was checked: no value was compared with a limit"}, ""))
	}
	seen := identitiesSeen{}
	for i := range out {
		out[i].Key = seen.unique(out[i].Key)
	}
	return out
}
