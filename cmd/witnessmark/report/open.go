package report

import (
	"crypto/sha256"
	"encoding/hex"
	"regexp"
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

// item is the text of the first item of a name; empty where there is none.
func (o *Open) item(name string) string {
	for _, i := range o.Items {
		if i.Name == name {
			return i.Text
		}
	}
	return ""
}

// message is the finding as one text, for formats that have no more: outcome, sentence,
// and what has to be said besides, each put behind it by item.
func (o *Open) message(item func(name, text string) string) string {
	text := o.Outcome()
	if !o.Blocking {
		text += ", advisory"
	}
	text += ": " + o.Text
	for _, name := range []string{"margin", "source", "decided by", "note", "mend"} {
		if t := o.item(name); t != "" {
			text += item(name, t)
		}
	}
	return text
}

// keyOf makes the identity of a finding from what it is about, not from where it
// stands: name, file and address of the value, and of a problem its message. A line
// more or less above it changes nothing.
func keyOf(parts ...string) string {
	sum := sha256.Sum256([]byte("witnessmark finding 1\x00" + strings.Join(parts, "\x00")))
	return hex.EncodeToString(sum[:16])
}

// identitiesSeen makes identities unique: of things told by the same key, the second and later
// ones get another.
type identitiesSeen map[string]int

func (k identitiesSeen) unique(key string) string {
	if k[key]++; k[key] > 1 {
		return keyOf(key, strconv.Itoa(k[key]))
	}
	return key
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
		if len(out) == 0 { // nothing else would say so
			out = append(out, openProblem(&checks.Problem{File: job.File, Code: "unread", Message: unreadWords}, job.Number))
		}
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

// tell takes over what the text report says. The outcome, and that it is only advisory,
// stand in fields of their own.
func (o *Open) tell(t told) {
	_, o.Text, _ = strings.Cut(t.head, ": ")
	o.Text = strings.TrimPrefix(o.Text, "advisory: ")
	if first, _, _ := strings.Cut(o.Text, " "); !strings.ContainsAny(first, ".[_") { // an address stays as it is
		o.Text = sentenceCase(o.Text)
	}
	for _, item := range t.items {
		o.Items = append(o.Items, OpenItem{item.name, item.text})
	}
}

// lineNumber finds what a message says of lines, which another line above changes.
var lineNumber = regexp.MustCompile(`(:|\blines? )\d+`)

// keyProblem is the identity of a problem.
func keyProblem(name, file, message string) string {
	return keyOf(name, file, lineNumber.ReplaceAllString(message, "$1"))
}

func openProblem(p *checks.Problem, job string) Open {
	o := Open{Name: "problem/" + p.Code, Blocking: true, Job: job, File: p.File, Line: p.At.Line, Column: p.At.Column, Text: sentenceCase(p.Message)}
	o.Key = keyProblem(o.Name, p.File, p.Message)
	if p.Mend != "" {
		o.Items = []OpenItem{{"mend", p.Mend}}
	}
	return o
}

// keyAcross is the identity of an outcome across jobs. A sum belongs to its premises,
// whichever job comes last.
func keyAcross(o *checks.RepositoryOutcome, premises string) string {
	if premises != "" {
		return keyOf(o.Name, "premises", premises, o.Measure)
	}
	return keyOf(o.Name, o.File, o.Fact)
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
			f := Open{Name: o.Name, Kind: o.Kind, Blocking: o.Blocking, File: o.File, Line: o.At.Line, Column: o.At.Column, Fact: o.Fact, Key: keyAcross(o, premises)}
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

// worstOrder lists the places of all by what blocks, then by outcome, then by where it
// stands.
func worstOrder(all []Open) []int {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, k int) bool {
		a, b := &all[order[i]], &all[order[k]]
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
	return order
}

// severity is the place of an outcome among things to look at: problems first, since
// nobody knows what they hide.
func severity(k judge.Kind) int {
	if k == 0 {
		return -1
	}
	return rank[k]
}
