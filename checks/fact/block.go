package fact

// block is one mapping of the shape: what each key leads to.
type block struct {
	name    string
	keys    map[string]entry
	names   []string // in the order of the shape, for suggestions
	ordered []entry  // the same order
}

// entry is exactly one of a leaf, a nested block or a list.
type entry struct {
	leaf  *Leaf
	block *block
	list  *Scope
	place int // in the order of the shape
}

// find looks a key up. People write fields in the order of the shape, so the one
// behind the last is tried first.
func (b *block) find(key string, last int) (entry, bool) {
	if next := last + 1; next < len(b.names) && b.names[next] == key {
		return b.ordered[next], true
	}
	e, ok := b.keys[key]
	return e, ok
}

// add enters a key that is not taken.
func (b *block) add(name string, e entry) entry {
	e.place = len(b.names)
	b.keys[name] = e
	b.names = append(b.names, name)
	b.ordered = append(b.ordered, e)
	return e
}

func (b *block) put(path []string, e entry) bool {
	for _, p := range path[:len(path)-1] {
		next, ok := b.keys[p]
		if !ok {
			next = b.add(p, entry{block: &block{name: p, keys: map[string]entry{}}})
		}
		if next.block == nil {
			return false
		}
		b = next.block
	}
	name := path[len(path)-1]
	if _, taken := b.keys[name]; taken {
		return false
	}
	b.add(name, e)
	return true
}
