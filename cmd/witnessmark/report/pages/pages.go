// Package pages writes pages for people outside the firm, from the same facts as
// every other report: a page for the fire service, one for the owner, the list of
// snags, and the labels and signs of the job. Each is one HTML file that needs
// nothing else, without any script, made to be printed: every job, and every
// language of its site, begins a new page.
//
// A page shows what is recorded and says openly what is not. It approves nothing.
package pages

import (
	"bufio"
	"bytes"
	"html/template"
	"io"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/define"
)

// Kind is one kind of page: its name, and what it shows of a job.
type Kind struct {
	Name  string
	build func(w *writer) page
	once  bool // one page for all languages of the site
}

// The kinds of pages.
var (
	Emergency = Kind{Name: "emergency", build: emergency}
	Owner     = Kind{Name: "owner", build: owner}
	Snags     = Kind{Name: "snags", build: snags}
	Labels    = Kind{Name: "labels", build: labels, once: true}
)

// Kinds lists the kinds of pages.
func Kinds() []Kind { return []Kind{Emergency, Owner, Snags, Labels} }

// firm is what a page shows of the firm.
type firm struct {
	name      string
	contacts  []define.Contact
	languages []string
}

// sink writes the pages of one kind.
type sink struct {
	kind  Kind
	show  func(string) string
	out   *bufio.Writer
	firm  firm
	begun bool // the head of the file is written
}

// New returns a sink for one kind of page. Show is how text that came from a file
// is made safe to look at; escaping it for HTML is done here.
func New(k Kind, w io.Writer, show func(string) string) checks.Sink {
	return &sink{kind: k, show: show, out: bufio.NewWriterSize(w, 1<<16)}
}

// Begin keeps what is shown of the firm. The head of the file waits for the first
// page, whose language it states.
func (s *sink) Begin(r *checks.Run) error {
	s.firm = firm{r.Firm, r.Contacts, r.Languages}
	return nil
}

// Render appends the pages of one job, behind a line with the language of the
// first of them. It is safe for concurrent use.
func (s *sink) Render(dst []byte, job *checks.Job) []byte {
	var b bytes.Buffer
	languages := s.languagesOf(job)
	for i := range languages {
		one := &languages[i]
		w := &writer{tongue: one.tongue, show: s.show, firm: s.firm, job: job, site: languages}
		p := w.frame(s.kind, one.without)
		if i == 0 {
			b.WriteString(p.Lang + "\n")
		}
		execute(&b, "page", p)
		if s.kind.once {
			break
		}
	}
	return append(dst, b.Bytes()...)
}

// Job takes the pages of one job.
func (s *sink) Job(rendered []byte) error {
	language, pages, _ := strings.Cut(string(rendered), "\n")
	s.head(language)
	_, err := s.out.WriteString(pages)
	return err
}

// End writes what closes the file; without any job it says that there was none.
func (s *sink) End(*checks.Run) error {
	if !s.begun {
		t := s.firmTongues()[0]
		w := &writer{tongue: t.tongue, show: s.show, firm: s.firm}
		s.head(t.tag)
		execute(s.out, "page", w.none(s.kind))
	}
	execute(s.out, "foot", nil)
	return s.out.Flush()
}

// head begins the file, once. What went wrong in writing comes out of End, since
// the writer keeps its first error.
func (s *sink) head(language string) {
	if s.begun {
		return
	}
	s.begun = true
	t := tongueFor(language)
	execute(s.out, "head", struct {
		Lang, Title, Policy string
		Style               template.CSS
	}{t.tag, t.T(s.kind.Name+".title") + behind(s.show(s.firm.name)), policy, template.CSS(style)})
}

func behind(name string) string {
	if name == "" {
		return ""
	}
	return " – " + name
}
