package boundary

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// world is one job under construction, with the products it uses.
type world struct {
	shape     *fact.Compiled
	functions []quantity.Function
	root      *entry
	entries   []*entry // of lists, in the order in which they were made
	products  []*entry
	count     map[*fact.Scope]int
	staged    bool           // a stage other than the usual one was asked for
	asItComes bool           // calculated values are taken as they come, see find
	loose     map[place]bool // values that nothing asks for in particular
	undo      []func()
	tries     int // evaluations while values were looked for
}

// entry is the job itself, an entry of a list, or a product.
type entry struct {
	scope  *fact.Scope
	parent *entry
	key    string
	text   map[*fact.Leaf]string // as written
	many   map[*fact.Leaf][]string
	target map[*fact.Leaf][]*entry // what a link names
	back   map[*fact.Leaf]*entry   // by the link that leads here
	pinned bool                    // a product of the firm: its figures are given
	title  string                  // of a product that has to differ from others; empty for the usual one
}

func newWorld(c *fact.Compiled, functions []quantity.Function) *world {
	w := &world{shape: c, functions: functions, count: map[*fact.Scope]int{}, loose: map[place]bool{}}
	w.root = w.entry(c.Root, nil)
	return w
}

func (w *world) entry(sc *fact.Scope, parent *entry) *entry {
	return &entry{scope: sc, parent: parent, text: map[*fact.Leaf]string{}, many: map[*fact.Leaf][]string{},
		target: map[*fact.Leaf][]*entry{}, back: map[*fact.Leaf]*entry{}}
}

// add makes a new entry of a list, and of the lists it stands in unless one of
// near's own contains it. Keys are numbers, which every list takes.
func (w *world) add(sc *fact.Scope, near *entry) *entry {
	if sc.List.IsElsewhere() {
		e := w.entry(sc, nil)
		w.products = append(w.products, e)
		w.later(func() { w.products = w.products[:len(w.products)-1] })
		return e
	}
	parent := w.root
	if sc.Parent != w.shape.Root {
		for parent = near; parent != nil && parent.scope != sc.Parent; {
			parent = parent.parent
		}
		if parent == nil {
			parent = w.add(sc.Parent, near)
		}
	}
	e := w.entry(sc, parent)
	w.count[sc]++
	e.key = strconv.Itoa(w.count[sc])
	for _, l := range sc.Leaves {
		if l.Type == fact.Key && len(l.Words) > 0 {
			e.key = l.Words[w.among(e)%len(l.Words)]
		}
		if l.Type == fact.Key {
			e.text[l] = e.key
		}
	}
	w.entries = append(w.entries, e)
	w.later(func() { w.entries, w.count[sc] = w.entries[:len(w.entries)-1], w.count[sc]-1 })
	return e
}

// among counts the entries of the list that an entry joins.
func (w *world) among(e *entry) (n int) {
	for _, m := range w.entries {
		if m.scope == e.scope && m.parent == e.parent {
			n++
		}
	}
	return n
}

// later keeps how to take back what was just done.
func (w *world) later(back func()) { w.undo = append(w.undo, back) }

// takeBack undoes everything since the log of changes had this length.
func (w *world) takeBack(to int) {
	for len(w.undo) > to {
		w.undo[len(w.undo)-1]()
		w.undo = w.undo[:len(w.undo)-1]
	}
}

// put writes a value over an older one; an empty text leaves the fact out.
func (w *world) put(e *entry, l *fact.Leaf, text string) {
	old, had := e.text[l]
	w.later(func() {
		if delete(e.text, l); had {
			e.text[l] = old
		}
	})
	if e.text[l] = text; text == "" {
		delete(e.text, l)
	}
}

// resolve follows a dotted path as limits name facts, making what it leads
// through. It returns the entry that has the fact.
func (w *world) resolve(from *entry, path string) (*entry, *fact.Leaf, error) {
	parts := strings.Split(path, ".")
	start := w.shape.Root
	for n := len(parts) - 1; n > 0; n-- {
		if sc := w.shape.Scope(strings.Join(parts[:n], ".")); sc != nil {
			start, parts = sc, parts[n:]
			break
		}
	}
	e := from
	for e != nil && e.scope != start {
		e = e.parent
	}
	if e == nil {
		return nil, nil, fmt.Errorf("%s cannot be reached from an entry of %q", path, from.scope.List.Name)
	}
	return w.follow(e, parts, path)
}

func (w *world) follow(e *entry, parts []string, path string) (*entry, *fact.Leaf, error) {
	for n := 1; n <= len(parts); n++ {
		l := w.shape.Leaf(strings.TrimPrefix(e.scope.List.Name+"."+strings.Join(parts[:n], "."), "."))
		switch {
		case l == nil:
		case n == len(parts):
			return e, l, nil
		case l.Target != nil:
			return w.follow(w.linked(e, l), parts[n:], path)
		}
	}
	for _, b := range e.scope.Backs {
		if b.Field.Back == parts[0] && len(parts) > 1 {
			return w.follow(w.linker(e, b), parts[1:], path)
		}
	}
	return nil, nil, fmt.Errorf("there is no fact %s", path)
}

// linked returns what a link of an entry names, and makes it where it names
// nothing yet.
func (w *world) linked(e *entry, l *fact.Leaf) *entry {
	if t := e.target[l]; len(t) > 0 {
		return t[0]
	}
	return w.link(e, l, w.add(l.Target, e))
}

// link makes the link of e name to.
func (w *world) link(e *entry, l *fact.Leaf, to *entry) *entry {
	old, back := e.target[l], to.back[l]
	e.target[l] = append(slices.Clone(old), to)
	to.back[l] = e
	w.later(func() { e.target[l], to.back[l] = old, back })
	return to
}

// linker returns the entry that names e by the link l, and makes it.
func (w *world) linker(e *entry, l *fact.Leaf) *entry {
	if b := e.back[l]; b != nil {
		return b
	}
	b := w.add(l.Scope, e)
	w.link(b, l, e)
	return b
}

// set writes one value. A second, different one is refused: then no single job
// can meet what is asked.
func (w *world) set(e *entry, l *fact.Leaf, text string) error {
	old, ok := e.text[l]
	switch {
	case ok && old != text:
		return fmt.Errorf("%s would have to be both %s and %s", l.Path, old, text)
	case !ok && e.pinned:
		return fmt.Errorf("%s does not state %s, which would have to be %s", e.key, l.Path, text)
	}
	w.put(e, l, text)
	w.staged = w.staged || l.Stage && text != usualStage
	return nil
}

// usualStage is where plain values are plans and plans decide.
const usualStage = "designed"

// address is where the engine says the value stands.
func (e *entry) address(l *fact.Leaf) string {
	if e.parent == nil {
		return l.Inside()
	}
	return e.place() + "." + l.Inside()
}

func (e *entry) place() string {
	name := strings.TrimPrefix(strings.TrimPrefix(e.scope.List.Name, e.parent.scope.List.Name), ".")
	one := name + "[" + e.key + "]"
	if e.parent.parent == nil {
		return one
	}
	return e.parent.place() + "." + one
}
