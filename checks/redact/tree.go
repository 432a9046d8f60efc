package redact

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
)

// Places says which places of a job file are private, by the shape. It is
// read-only and safe for concurrent use.
type Places struct {
	private map[string]bool // fields, by path
	above   map[string]bool // blocks and lists in which a private field stands
	known   map[string]bool // every field, block and list
	leaves  map[string]bool // every field
	keyed   map[string]bool // lists whose key is private
	names   map[string]bool // of fields, which are nobody's
	people  map[*fact.Scope]bool
}

// NewPlaces finds the private places of a shape.
func NewPlaces(c *fact.Compiled) *Places {
	p := &Places{private: map[string]bool{}, above: map[string]bool{}, known: map[string]bool{}, leaves: map[string]bool{}, keyed: map[string]bool{}, names: map[string]bool{"planned": true, "built": true}, people: map[*fact.Scope]bool{}}
	for _, l := range c.Leaves {
		if l.Scope.List.IsElsewhere() || l.Calculation != nil {
			continue
		}
		p.known[l.Path], p.leaves[l.Path] = true, true
		p.private[l.Path], p.names[l.Name()] = l.IsPrivate(), true
		for path := l.Path; strings.Contains(path, "."); {
			path = path[:strings.LastIndexByte(path, '.')]
			p.known[path] = true
			p.above[path] = p.above[path] || l.IsPrivate()
		}
		if l.Type == fact.Key && l.IsPrivate() {
			p.keyed[l.Scope.List.Name] = true
		}
		if l.Type == fact.Link && l.Target.List.IsRegister() && l.IsPrivate() {
			p.people[l.Target] = true
		}
	}
	return p
}

// Registered tells whether keys of a register are private: every key by which a
// job names an entry of it is.
func (p *Places) Registered(register *fact.Scope) bool { return p.people[register] }

// Gather adds the private values of a file to w, and blanks the tree so that no
// report can read them there: private values and all comments. A value in a place
// where nothing is known (a misspelt field), or where a block with private fields
// belongs, counts as private, since nobody can say what it is.
func (p *Places) Gather(w *Words, root *jobfile.Node) {
	p.gather(w, root, "", open)
	w.blank(root)
}

// blank takes private words and all comments out of a tree.
func (w *Words) blank(n *jobfile.Node) {
	for i := range n.Fields {
		w.blank(n.Fields[i].Value)
	}
	for _, item := range n.Items {
		w.blank(item)
	}
	n.Blank(w.Scrub(n.Text))
}

// class says what a place of the file is.
type class uint8

const (
	open    class = iota
	private       // a private field
	unknown       // no field of the shape
)

func (p *Places) gather(w *Words, n *jobfile.Node, path string, c class) {
	switch n.Kind {
	case jobfile.Mapping:
		for i := range n.Fields {
			p.field(w, &n.Fields[i], path, c)
		}
	case jobfile.List:
		for _, item := range n.Items {
			p.gather(w, item, path, c)
		}
	case jobfile.Scalar:
		if c == private || c == open && p.above[path] && !p.leaves[path] || c == unknown && telling(n.Text) {
			w.Add(n.Text)
		}
	}
}

// field gathers from one key of a mapping and its value.
func (p *Places) field(w *Words, f *jobfile.Field, path string, c class) {
	below := f.Key
	if path != "" {
		below = path + "." + f.Key
	}
	switch {
	case c == private:
		if !p.names[f.Key] {
			w.Add(f.Key)
		}
	case c == open && p.private[below]:
		c = private
	case c == open && !p.known[below] && !p.leaves[path]:
		c = unknown
		if p.keyed[path] && f.Value.Kind == jobfile.Mapping { // an entry written below its key
			c = private
			w.Add(f.Key)
		}
	}
	p.gather(w, f.Value, below, c)
}

// telling tells whether a value that stands where nothing is known can give
// anything away: a word or a longer number, but not yes, 12 or a single letter.
func telling(text string) bool {
	const letters, digits = 4, 6
	n := 0
	for _, r := range text {
		if unicode.IsDigit(r) {
			n++
		}
	}
	switch text {
	case "true", "false", "none":
		return false
	}
	return utf8.RuneCountInString(text)-n >= letters || n >= digits
}
