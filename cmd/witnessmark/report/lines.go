package report

import (
	"strconv"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/cmd/witnessmark/since"
)

// lines gathers text line by line. own takes words of this program, from takes
// everything else; only from and path may be given text of a file, a definition
// or a command line. No line begins with from.
type lines struct {
	b     []byte
	paint palette
	path  func(file string) string // how a path from the root is shown
	asOf  fact.Day                 // on which limits may be due for review
	state since.State              // of the finding that begins next, where a base is compared with
	wrapping

	// marked writes no places, and sets the names of items off by control characters,
	// which nothing else can bring in, so that the HTML report says everything in the
	// words of the text report; see told.
	marked bool
}

// Marks around the name of an item.
const (
	itemMark = '\x1e'
	nameMark = '\x1f'
)

// own appends words of this program.
func (t *lines) own(words ...string) *lines {
	for _, s := range words {
		if s != "" && t.joins(s[0]) {
			t.b = append(t.b, ' ')
		}
		t.b = append(t.b, s...)
	}
	return t
}

// from appends text from elsewhere, so that it can steer nothing.
func (t *lines) from(s string) *lines {
	if s != "" && t.joins(s[0]) {
		t.b, s = appendMark(t.b, rune(s[0])), s[1:]
	}
	t.b = AppendShown(t.b, s)
	return t
}

// joins tells whether c, put behind what is there, would complete `::` or `##[`.
func (t *lines) joins(c byte) bool {
	n := len(t.b)
	return c == ':' && n > 0 && t.b[n-1] == ':' || c == '[' && n > 1 && t.b[n-1] == '#' && t.b[n-2] == '#'
}

// in appends own words in a colour.
func (t *lines) in(p painter, words ...string) *lines {
	t.b = append(t.b, p.on...)
	t.own(words...)
	t.b = append(t.b, p.off...)
	return t
}

// place begins a line with a place as editors and terminals recognise it. What
// is not known of the position is left out.
func (t *lines) place(path string, at jobfile.Position) *lines {
	if t.marked {
		return t
	}
	from := len(t.b)
	t.b = append(t.b, t.paint.path.on...)
	t.b = AppendPath(t.b, path)
	if at.Line > 0 {
		t.b = strconv.AppendInt(append(t.b, ':'), int64(at.Line), 10)
		if at.Column > 0 {
			t.b = strconv.AppendInt(append(t.b, ':'), int64(at.Column), 10)
		}
	}
	t.b = append(t.b, t.paint.path.off...)
	t.b = append(t.b, ':')
	t.keep(from, len(t.b))
	t.b = append(t.b, ' ')
	t.hang = smallIndent
	return t
}

// item begins an indented line under a finding with a name for what it says.
func (t *lines) item(name string) *lines {
	const width = 11
	if t.marked {
		t.b = append(append(append(t.b, itemMark), name...), nameMark)
		return t
	}
	t.hang = 2 + width + 1
	t.b = append(t.b, "  "...)
	t.in(t.paint.faint, name)
	for n := len(name); n < width; n++ {
		t.b = append(t.b, ' ')
	}
	t.b = append(t.b, ' ')
	return t
}

// end ends the line, broken into several where text has a width.
func (t *lines) end() {
	t.b = append(t.wrap(t.b), '\n')
	t.begin(len(t.b))
}
