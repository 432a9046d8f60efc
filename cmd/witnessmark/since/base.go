package since

import (
	"strings"
	"sync"

	"witnessmark.example/checks"
)

// Base is a sink that keeps what was found in the base, for a Comparison.
type Base struct {
	jobs    map[string]*baseJob   // by file
	across  []*Finding            // sums over premises and checks across files
	clashes map[string][]*Finding // of across, those of checks across files, by file
	other   []*Finding            // problems of no job file
	unread  []string              // job files that could not be read
	notKept []string              // as of checks.Run
	digest  string                // of the limits

	rendered sync.Map // file to *baseJob, between Render and Job
}

// baseJob is one job of the base.
type baseJob struct {
	file, number, digest string
	unread               bool
	findings             []*Finding
}

// NewBase returns an empty base.
func NewBase() *Base { return &Base{jobs: map[string]*baseJob{}, clashes: map[string][]*Finding{}} }

// Begin keeps by what the base is judged.
func (b *Base) Begin(r *checks.Run) error {
	b.digest, b.notKept = r.LimitsDigest, r.NotKept
	return nil
}

// Render keeps one job and writes only its name.
func (b *Base) Render(dst []byte, job *checks.Job) []byte {
	j := &baseJob{file: job.File, number: strings.Clone(job.Number), digest: job.Digest, unread: job.Result == nil}
	j.findings, _ = ofJob(job)
	b.rendered.Store(job.File, j)
	return append(dst, job.File...)
}

// Job takes over what Render kept.
func (b *Base) Job(rendered []byte) error {
	kept, _ := b.rendered.LoadAndDelete(string(rendered))
	j := kept.(*baseJob)
	b.jobs[j.file] = j
	if j.unread {
		b.unread = append(b.unread, j.file)
	}
	return nil
}

// End keeps what runs across jobs.
func (b *Base) End(r *checks.Run) error {
	b.across, _ = ofRun(r, func(file string) string { return file })
	for _, f := range b.across {
		if f.Sum == "" && strings.HasPrefix(f.Name, "record#") {
			b.clashes[f.File] = append(b.clashes[f.File], f)
		}
	}
	for i := range r.Problems {
		if p := &r.Problems[i]; b.jobs[p.File] == nil {
			b.other = append(b.other, ofProblem(p, ""))
		}
	}
	return nil
}
