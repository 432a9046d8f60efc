package fact

import (
	"fmt"
	"strings"

	"witnessmark.example/checks/nearest"
)

// Way leads from an entry of one list to a leaf: through declared links and
// ways back, and upwards to the lists the entry stands in. The zero value leads
// nowhere.
type Way struct {
	Text  string
	Start *Scope
	Leaf  *Leaf

	hops []hop
}

// hop is one step of a Way: along a link, or back along one.
type hop struct {
	link *Leaf
	back bool
}

// Way finds the way a dotted path describes: `stacks.wall_gap`,
// `stacks.equipment.module.energy`, `stacks.unit.location.setting`. A link that
// names several entries cannot be part of a way.
func (c *Compiled) Way(path string) (Way, error) {
	parts := strings.Split(path, ".")
	start, rest := c.Root, parts
	if isElsewhere(path) && len(parts) > 2 {
		sc := c.byName[parts[0]+"."+parts[1]]
		if sc == nil {
			return Way{}, c.unknownPath(path)
		}
		start, rest = sc, parts[2:]
	} else {
		start, rest = c.descend(c.Root, parts)
	}
	w := Way{Text: path, Start: start}
	return w, c.follow(&w, start, rest, path)
}

// From finds the way from an entry of sc: the path is relative to it.
func (c *Compiled) From(sc *Scope, path string) (Way, error) {
	w := Way{Text: path, Start: sc}
	return w, c.follow(&w, sc, strings.Split(path, "."), path)
}

// descend takes list names off the front of the parts.
func (c *Compiled) descend(sc *Scope, parts []string) (*Scope, []string) {
	b := sc.block
	for i := 0; i < len(parts)-1; i++ {
		e, ok := b.keys[parts[i]]
		switch {
		case ok && e.list != nil:
			return c.descend(e.list, parts[i+1:])
		case ok && e.block != nil:
			b = e.block
		default:
			return sc, parts
		}
	}
	return sc, parts
}

func (c *Compiled) follow(w *Way, sc *Scope, rest []string, path string) error {
	for n := 1; n <= len(rest); n++ {
		l := c.byPath[strings.TrimPrefix(sc.List.Name+"."+strings.Join(rest[:n], "."), ".")]
		if l != nil && n == len(rest) {
			w.Leaf = l
			return nil
		}
		if l != nil && l.Target != nil {
			if l.Many {
				return fmt.Errorf("%s names several entries; use some or every", l.Path)
			}
			w.hops = append(w.hops, hop{link: l})
			return c.follow(w, l.Target, rest[n:], path)
		}
	}
	for _, b := range sc.Backs {
		if len(rest) > 1 && b.Field.Back == rest[0] {
			w.hops = append(w.hops, hop{link: b, back: true})
			return c.follow(w, b.Scope, rest[1:], path)
		}
	}
	return c.unknownPath(path)
}

func (c *Compiled) unknownPath(path string) error {
	return &UnknownFact{Path: path, Nearest: nearest.Of(path, c.Paths())}
}

// UnknownFact says that a path names no fact of the shape.
type UnknownFact struct {
	Path    string
	Nearest []string
}

// Error names the path and the nearest facts that exist.
func (u *UnknownFact) Error() string {
	return fmt.Sprintf("there is no fact %q%s", u.Path, nearest.Hint(u.Nearest))
}

// Covers tells whether an entry of sc stands in (or is) an entry of the way's
// own list, so that the way can be taken from it.
func (w *Way) Covers(sc *Scope) bool {
	for ; sc != nil; sc = sc.Parent {
		if sc == w.Start {
			return true
		}
	}
	return false
}

// Value is what the way leads to from an entry: the value and the entry that
// has it. Where a link on the way is not recorded or names nothing, value is
// that link's value and broken is true.
func (w *Way) Value(from *Instance) (v *Value, of *Instance, leaf *Leaf, broken bool) {
	for from.Scope != w.Start {
		from = from.Parent
	}
	for _, h := range w.hops {
		if h.back {
			next := from.Backs[h.link.back]
			if next == nil {
				return nil, from, h.link, true
			}
			from = next
			continue
		}
		v := from.Get(h.link)
		if v.State != Known || v.Target == nil {
			return v, from, h.link, true
		}
		from = v.Target
	}
	return from.Get(w.Leaf), from, w.Leaf, false
}
