package report

import (
	"iter"
	"sync"

	"witnessmark.example/checks"
)

// shownFiles remembers the files whose problems are written with their job, since the
// run lists them once more at its end. The zero value remembers none.
type shownFiles struct {
	mu    sync.Mutex
	files map[string]bool
}

// add remembers a job that has problems. It is safe for concurrent use.
func (s *shownFiles) add(job *checks.Job) {
	if len(job.Problems) == 0 {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.files == nil {
		s.files = map[string]bool{}
	}
	s.files[job.File] = true
}

// others yields the problems of a run that stand with no job, and their places in it.
func (s *shownFiles) others(r *checks.Run) iter.Seq2[int, *checks.Problem] {
	return func(yield func(int, *checks.Problem) bool) {
		for i := range r.Problems {
			if p := &r.Problems[i]; !s.files[p.File] && !yield(i, p) {
				return
			}
		}
	}
}
