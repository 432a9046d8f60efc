package report

import "sync"

// shownFiles are the files whose problems are written with their job, so that the list
// of all problems does not repeat them. It is safe for concurrent use; the zero value
// holds none.
type shownFiles struct {
	mu    sync.Mutex
	files map[string]bool
}

func (s *shownFiles) add(file string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.files == nil {
		s.files = map[string]bool{}
	}
	s.files[file] = true
}

func (s *shownFiles) has(file string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.files[file]
}
