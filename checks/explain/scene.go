package explain

import (
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// spot is one entry of a scene: of a list of the job, or a product or an entry of
// a register, which no job file holds.
type spot struct {
	scope *fact.Scope
	key   string
}

// elsewhere tells whether the entry stands in a file of the firm and not in the job.
func (p spot) elsewhere() bool { return !inJob(p.scope) }

// scene is a fragment of a job under construction in which values are put along
// links: facts that a limit names are given to the entries that it finds them in.
type scene struct {
	*fragment
	keys map[*fact.Scope][]string       // of the entries that there are
	to   map[spot]map[*fact.Leaf]spot   // by the entry that has a link
	back map[spot]map[*fact.Leaf]spot   // by the entry that a link names
	set  map[spot]map[*fact.Leaf]string // values written
}

func (b *Book) scene() *scene {
	return &scene{fragment: b.fragment(), keys: map[*fact.Scope][]string{}, to: map[spot]map[*fact.Leaf]spot{},
		back: map[spot]map[*fact.Leaf]spot{}, set: map[spot]map[*fact.Leaf]string{}}
}

// named returns the entry with a key, and makes it.
func (s *scene) named(sc *fact.Scope, key string) spot {
	p := spot{sc, key}
	if sc.Parent == nil || p.elsewhere() {
		return p
	}
	if !slices.Contains(s.keys[sc], key) {
		s.keys[sc] = append(s.keys[sc], key)
		s.entry(sc, key)
	}
	return p
}

// fresh makes one more entry of a list.
func (s *scene) fresh(sc *fact.Scope) spot {
	if sc.Parent == nil {
		return spot{scope: sc}
	}
	key := keyOf(sc)
	for slices.Contains(s.keys[sc], key) {
		key = nextKey(key)
	}
	return s.named(sc, key)
}

// nextKey counts the last sign of a key up: A, B; u1, u2.
func nextKey(key string) string {
	last := key[len(key)-1]
	if last == '9' || last == 'z' || last == 'Z' {
		return key + "1"
	}
	return key[:len(key)-1] + string(last+1)
}

// up is the entry of a list that p stands in, or p itself.
func (s *scene) up(p spot, sc *fact.Scope) (spot, bool) {
	for at := p.scope; at != nil; at = at.Parent {
		switch {
		case at != sc:
		case at == p.scope:
			return p, true
		case at.Parent == nil:
			return spot{scope: at}, true
		default:
			return s.named(at, keyOf(at)), true
		}
	}
	return spot{}, false
}

// find follows a dotted name as limits write it from an entry, making what it
// leads through. It returns the entry that has the fact; ok is false where the
// name cannot be followed from there.
func (s *scene) find(from spot, path string) (at spot, l *fact.Leaf, ok bool) {
	w, err := s.book.Shape.Way(path)
	if err != nil {
		return spot{}, nil, false
	}
	if at, ok = s.up(from, w.Start); !ok {
		return spot{}, nil, false
	}
	for _, h := range s.book.hops(path) {
		if h.back {
			at = s.linker(at, h.link)
		} else {
			at = s.linked(at, h.link)
		}
	}
	return at, w.Leaf, true
}

// linked returns what a link of an entry names, and makes it name something.
func (s *scene) linked(p spot, l *fact.Leaf) spot {
	if t, ok := s.to[p][l]; ok {
		return t
	}
	if l.Target.List.IsElsewhere() {
		return s.link(p, l, spot{l.Target, sample(l)})
	}
	return s.link(p, l, s.fresh(l.Target))
}

// linker returns the entry that names p by a link, and makes it.
func (s *scene) linker(p spot, l *fact.Leaf) spot {
	if b, ok := s.back[p][l]; ok {
		return b
	}
	b := s.fresh(l.Scope)
	s.link(b, l, p)
	return b
}

// link makes a link of one entry name another.
func (s *scene) link(p spot, l *fact.Leaf, to spot) spot {
	put(s.to, p, l, to)
	put(s.back, to, l, p)
	s.write(p, l, to.key)
	return to
}

// write gives a fact of an entry a value.
func (s *scene) write(p spot, l *fact.Leaf, text string) {
	put(s.set, p, l, text)
	if p.elsewhere() {
		return // it stands in the firm's own files
	}
	s.entry(p.scope, p.key).at(l.Inside()).value = s.value(l, text, false)
}

func put[T any](m map[spot]map[*fact.Leaf]T, p spot, l *fact.Leaf, v T) {
	if m[p] == nil {
		m[p] = map[*fact.Leaf]T{}
	}
	m[p][l] = v
}

// hop is one step of a dotted name: along a link, or back along one.
type hop struct {
	link *fact.Leaf
	back bool
}

// hops lists the links that a dotted name leads along; none for a name of which
// nothing is known.
func (b *Book) hops(path string) []hop {
	w, err := b.Shape.Way(path)
	if err != nil {
		return nil
	}
	rest := strings.Split(strings.TrimPrefix(strings.TrimPrefix(path, w.Start.List.Name), "."), ".")
	var out []hop
	for sc := w.Start; len(rest) > 0; {
		h, n := b.nextHop(sc, rest)
		if n == 0 {
			return out
		}
		out, rest = append(out, h), rest[n:]
		if sc = h.link.Target; h.back {
			sc = h.link.Scope
		}
	}
	return out
}

// reach lists the links that lead from what a limit of a datasheet is judged for
// to the product; none for other limits.
func (b *Book) reach(l *limit.Compiled) []hop {
	w, err := b.Shape.Way(l.Along())
	if l.Along() == "" || err != nil {
		return nil
	}
	return append(b.hops(l.Along()), hop{link: w.Leaf})
}

// nextHop finds the link that the parts begin with, and how many parts name it.
func (b *Book) nextHop(sc *fact.Scope, parts []string) (hop, int) {
	for n := 1; n < len(parts); n++ {
		l := b.Shape.Leaf(strings.TrimPrefix(sc.List.Name+"."+strings.Join(parts[:n], "."), "."))
		if l != nil && l.Type == fact.Link {
			return hop{link: l}, n
		}
	}
	for _, l := range sc.Backs {
		if len(parts) > 1 && l.Field.Back == parts[0] {
			return hop{link: l, back: true}, 1
		}
	}
	return hop{}, 0
}
