package report

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"sort"
	"strconv"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/since"
)

// Open is one thing that somebody has to look at, as the formats for CI show it: a
// finding of a job, one across jobs, or a problem that kept something from being
// checked. It holds text only, so that it may be kept beyond the job.
type Open struct {
	Name     string     // of the limit or built-in check; "problem/CODE" of a problem
	Kind     judge.Kind // zero for a problem
	Blocking bool       // problems always block
	Job      string     // number of the job; empty across jobs
	File     string     // from the root; empty where no file is meant
	Line     int        // counted from 1; 0 where it is not known
	Column   int
	Fact     string // address of the value; empty of a problem
	Topic    string
	Text     string     // one sentence, beginning with the value
	Items    []OpenItem // what is to be said besides
	Key      string     // stable identity; see keyOf

	State  since.State // beside the base; empty where nothing is compared
	InBase string      // what it was in the base, where that was something else
}

// OpenItem is one line under a finding with a name for what it says.
type OpenItem struct{ Name, Text string }

// Outcome is the word for how it came out.
func (o *Open) Outcome() string {
	if o.Kind == 0 {
		return "problem"
	}
	return spoken(o.Kind)
}

// keyOf makes the identity of a finding from what it is about, not from where it
// stands: name, file and address of the value, and of a problem its message. A line
// more or less above it changes nothing.
func keyOf(parts ...string) string {
	sum := sha256.Sum256([]byte("witnessmark finding 1\x00" + strings.Join(parts, "\x00")))
	return hex.EncodeToString(sum[:16])
}

// openOf lists what somebody has to look at in one job, in the order of the file, and
// what is said of it beside the base, if anything.
func openOf(job *checks.Job, beside *since.Job) []Open {
	var out []Open
	for i := range job.Problems {
		o := openProblem(&job.Problems[i], job.Number)
		o.compared(beside.Problem(i))
		out = append(out, o)
	}
	if job.Result == nil {
		return out
	}
	w := teller(job, job.Result.AsOf)
	for _, f := range w.inFile() {
		for _, t := range w.tell(f.write) {
			o := Open{Name: f.name, Kind: f.kind, Blocking: f.block, Job: job.Number, File: job.File, Line: f.at.Line, Column: f.at.Column,
				Fact: f.about.of.AddressOf(f.about.leaf), Topic: f.about.leaf.Topic}
			o.tell(t)
			o.Key = keyOf(o.Name, o.File, o.Fact)
			o.compared(beside.Together(f.outcomes))
			out = append(out, o)
		}
	}
	sort.SliceStable(out, func(i, k int) bool { return out[i].Line < out[k].Line })
	return out
}

// tell takes over what the text report says. The outcome stands in a field of its own.
func (o *Open) tell(t told) {
	_, o.Text, _ = strings.Cut(t.head, ": ")
	o.Text = sentenceCase(o.Text)
	for _, item := range t.items {
		o.Items = append(o.Items, OpenItem{item.name, item.text})
	}
}

func openProblem(p *checks.Problem, job string) Open {
	o := Open{Name: "problem/" + p.Code, Blocking: true, Job: job, File: p.File, Line: p.At.Line, Column: p.At.Column, Text: sentenceCase(p.Message), Key: keyOf("problem/"+p.Code, p.File, p.Message)}
	if p.Mend != "" {
		o.Items = []OpenItem{{"mend", p.Mend}}
	}
	return o
}

// openAcross lists what somebody has to look at across jobs: sums over the premises and
// checks across files.
func openAcross(r *checks.Run, c *since.Comparison) []Open {
	t := teller(nil, fact.NoDay)
	var out []Open
	add := func(o *checks.RepositoryOutcome, premises string, write func()) {
		if !o.Kind.IsFinding() && o.Kind != judge.Accepted {
			return
		}
		for _, one := range t.tell(write) {
			f := Open{Name: o.Name, Kind: o.Kind, Blocking: o.Blocking, File: o.File, Line: o.At.Line, Column: o.At.Column, Fact: o.Fact, Key: keyOf(o.Name, across(o, premises), o.Fact)}
			if l := r.Shape.Leaf(o.Measure); l != nil {
				f.Topic = l.Topic
			}
			f.tell(one)
			f.compared(c.Outcome(o))
			out = append(out, f)
		}
	}
	for i := range r.Repository.Premises {
		p := &r.Repository.Premises[i]
		for k := range p.Outcomes {
			o := &p.Outcomes[k]
			add(o, p.Premises, func() {
				t.across(o)
				t.property(p, o)
			})
		}
	}
	for i := range r.Repository.Outcomes {
		o := &r.Repository.Outcomes[i]
		add(o, "", func() { t.across(o) })
	}
	return out
}

// across is what an outcome across jobs belongs to: its premises, and not whichever job
// of them is the last; else its file.
func across(o *checks.RepositoryOutcome, premises string) string {
	if premises != "" {
		return "premises " + premises
	}
	return o.File
}

// openSink gathers what is open in all jobs; formats for CI embed it and write
// everything at the end.
type openSink struct {
	since *since.Comparison // nil where nothing is compared with a base
	jobs  []openJob
	shown map[string]bool // files whose problems came with their job
}

// openJob is what is kept of one job.
type openJob struct {
	File, Number, Stage, Status string
	Unread                      bool
	Problems                    bool
	Counts                      [judge.Accepted + 1]int // outcomes of limits
	Open                        []Open
}

// Begin has nothing to do.
func (s *openSink) Begin(*checks.Run) error { return nil }

// Render makes what is kept of one job. It is safe for concurrent use.
func (s *openSink) Render(dst []byte, job *checks.Job) []byte {
	j := openJob{File: job.File, Number: job.Number, Stage: job.Stage, Status: job.Status, Unread: job.Result == nil, Problems: len(job.Problems) > 0, Open: openOf(job, s.since.Of(job))}
	if job.Result != nil {
		for i := range job.Result.Outcomes {
			if o := &job.Result.Outcomes[i]; o.Limit != nil {
				j.Counts[o.Kind]++
			}
		}
	}
	text, err := json.Marshal(j)
	if err != nil {
		panic("report: " + err.Error()) // it holds only text and numbers
	}
	return append(dst, text...)
}

// Job keeps what Render made of one job.
func (s *openSink) Job(rendered []byte) error {
	var j openJob
	if err := json.Unmarshal(rendered, &j); err != nil {
		return err
	}
	if s.shown == nil {
		s.shown = map[string]bool{}
	}
	s.shown[j.File] = s.shown[j.File] || j.Problems
	s.jobs = append(s.jobs, j)
	return nil
}

// all lists everything that is open, jobs first, then across jobs, then problems of
// definitions and of files that are no job. No two have the same key.
func (s *openSink) all(r *checks.Run) []Open {
	var out []Open
	for i := range s.jobs {
		out = append(out, s.jobs[i].Open...)
	}
	out = append(out, openAcross(r, s.since)...)
	for i := range r.Problems {
		if p := &r.Problems[i]; !s.shown[p.File] {
			o := openProblem(p, "")
			o.compared(s.since.Problem(i))
			out = append(out, o)
		}
	}
	seen := map[string]int{}
	for i := range out {
		key := out[i].Key
		if seen[key]++; seen[key] > 1 {
			out[i].Key = keyOf(key, strconv.Itoa(seen[key]))
		}
	}
	return out
}

// worstFirst orders by what blocks, then by outcome, then by place.
func worstFirst(all []Open) {
	sort.SliceStable(all, func(i, k int) bool {
		a, b := &all[i], &all[k]
		switch {
		case a.Blocking != b.Blocking:
			return a.Blocking
		case severity(a.Kind) != severity(b.Kind):
			return severity(a.Kind) < severity(b.Kind)
		case a.File != b.File:
			return a.File < b.File
		}
		return a.Line < b.Line
	})
}

// severity is the place of an outcome among things to look at: problems first, since
// nobody knows what they hide.
func severity(k judge.Kind) int {
	if k == 0 {
		return -1
	}
	return rank[k]
}
