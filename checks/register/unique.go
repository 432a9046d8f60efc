package register

import (
	"fmt"
	"sort"

	"witnessmark.example/checks/jobfile"
)

// The built-in checks across files.
const (
	SerialUnique = "record#serial-unique"     // a serial number stands in one place only
	JobUnique    = "record#job-number-unique" // a job number belongs to one job file only
	EarlierJob   = "record#earlier-job"       // adds_to and replaces_job name a job that exists, and never lead in a circle
)

// Clash is one place that a built-in check across files points at.
type Clash struct {
	Check  string
	File   string
	Fact   string
	At     jobfile.Position
	Value  string
	Reason string
}

// Clashes runs the built-in checks. The result is in the order of files and
// lines.
func (r *Register) Clashes() []Clash {
	out := append(r.serials(), r.jobNumbers()...)
	out = append(out, r.earlierJobs()...)
	sort.SliceStable(out, func(i, j int) bool {
		a, b := &out[i], &out[j]
		if a.File != b.File {
			return a.File < b.File
		}
		if a.At.Line != b.At.Line {
			return a.At.Line < b.At.Line
		}
		return a.At.Column < b.At.Column
	})
	return out
}

type place struct {
	part *Part
	m    *Mention
}

func (p place) String() string {
	return fmt.Sprintf("%s:%d (%s)", p.part.File, p.m.At.Line, p.m.Fact)
}

// serials reports every place of a serial number that stands in more than one.
func (r *Register) serials() []Clash {
	first := map[string]place{}
	reported := map[string]bool{}
	gone := r.replaced() // what a later job took out stands there no more
	var out []Clash
	for i := range r.parts {
		p := &r.parts[i]
		if !p.Counts || gone[p.here(p.Job)] {
			continue
		}
		for j := range p.Serials {
			here := place{p, &p.Serials[j]}
			name := here.m.Name
			other, taken := first[name]
			if !taken {
				first[name] = here
				continue
			}
			if !reported[name] {
				reported[name] = true
				out = append(out, clash(SerialUnique, other, "the same serial number stands at "+here.String()))
			}
			out = append(out, clash(SerialUnique, here, "the same serial number stands at "+other.String()))
		}
	}
	return out
}

func clash(check string, at place, reason string) Clash {
	return Clash{Check: check, File: at.part.File, Fact: at.m.Fact, At: at.m.At, Value: at.m.Name, Reason: reason}
}

func (r *Register) jobNumbers() []Clash {
	first := map[string]place{}
	reported := map[string]bool{}
	var out []Clash
	for i := range r.parts {
		p := &r.parts[i]
		if p.Job == "" {
			continue
		}
		here := place{p, &Mention{Name: p.Job, Fact: "job", At: p.JobAt}}
		other, taken := first[p.Job]
		if !taken {
			first[p.Job] = here
			continue
		}
		if !reported[p.Job] {
			reported[p.Job] = true
			out = append(out, clash(JobUnique, other, "the same job number stands at "+here.String()))
		}
		out = append(out, clash(JobUnique, here, "the same job number stands at "+other.String()))
	}
	return out
}

// earlierJobs follows adds_to and replaces_job.
func (r *Register) earlierJobs() []Clash {
	byNumber := map[string]*Part{}
	for i := range r.parts {
		if byNumber[r.parts[i].Job] == nil {
			byNumber[r.parts[i].Job] = &r.parts[i]
		}
	}
	var out []Clash
	for i := range r.parts {
		p := &r.parts[i]
		for _, m := range []*Mention{&p.AddsTo, &p.Replaces} {
			if m.Name == "" {
				continue
			}
			other := byNumber[m.Name]
			switch {
			case other == nil:
				if len(r.unread) == 0 {
					out = append(out, clash(EarlierJob, place{p, m}, "there is no job with this number in the repository"))
				}
			case other.Premises != p.Premises:
				out = append(out, clash(EarlierJob, place{p, m}, fmt.Sprintf("that job is on other premises (%s)", other.Premises)))
			case inCircle(byNumber, p):
				out = append(out, clash(EarlierJob, place{p, m}, "the jobs lead in a circle"))
			}
		}
	}
	return out
}

// inCircle tells whether following earlier jobs from p leads back to p.
func inCircle(byNumber map[string]*Part, p *Part) bool {
	seen := map[*Part]bool{}
	todo := []*Part{p}
	for len(todo) > 0 {
		at := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, name := range []string{at.AddsTo.Name, at.Replaces.Name} {
			next := byNumber[name]
			if next == nil || name == "" {
				continue
			}
			if next == p {
				return true
			}
			if !seen[next] {
				seen[next] = true
				todo = append(todo, next)
			}
		}
	}
	return false
}
