package explain

import (
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
)

// fragment is a piece of a job file under construction. It holds whole paths from
// the top of the file, so that it can be pasted there as it is.
type fragment struct {
	book    *Book
	root    *part
	entries map[string]*part // by list and key
}

// part is one key of a mapping: with a value as it is written, parts below it, or
// the entries of a list.
type part struct {
	name  string
	value string
	parts []*part
	items []*part
}

func (b *Book) fragment() *fragment {
	return &fragment{book: b, root: &part{}, entries: map[string]*part{}}
}

// at returns the part a dotted path leads to, and makes it.
func (p *part) at(path string) *part {
	for _, name := range strings.Split(path, ".") {
		i := slices.IndexFunc(p.parts, func(q *part) bool { return q.name == name })
		if i < 0 {
			p.parts = append(p.parts, &part{name: name})
			i = len(p.parts) - 1
		}
		p = p.parts[i]
	}
	return p
}

// entry returns the entry of a list with a key, and makes it, in entries of the
// lists that it stands in.
func (f *fragment) entry(sc *fact.Scope, key string) *part {
	if sc.Parent == nil {
		return f.root
	}
	name := sc.List.Name + "[" + key + "]"
	if e := f.entries[name]; e != nil {
		return e
	}
	up := sc.Parent
	parent := f.root
	if up.Parent != nil {
		parent = f.entry(up, keyOf(up))
	}
	e := &part{}
	if sc.List.Key != "" {
		e.at(sc.List.Key).value = scalar(key, false)
	}
	list := parent.at(strings.TrimPrefix(strings.TrimPrefix(sc.List.Name, up.List.Name), "."))
	list.items = append(list.items, e)
	f.entries[name] = e
	return e
}

// put writes one field in the entry it belongs to, with the entry that a link
// names. Built writes the reading on site beside the plan.
func (f *fragment) put(l *fact.Leaf, value string, built bool) {
	key := value
	if l.Type != fact.Key {
		key = ""
		if l.Scope.Parent != nil {
			key = keyOf(l.Scope)
		}
	}
	e := f.entry(l.Scope, key)
	if l.Type == fact.Key {
		return
	}
	if l.Type == fact.Link && inJob(l.Target) {
		if l.Target == l.Scope && value == key {
			value = key + "-2" // another entry of the same list
		}
		f.entry(l.Target, value)
	}
	e.at(l.Inside()).value = f.value(l, value, built)
}

// value writes the value of a field; with built the plan and the reading on site,
// of which only the reading has an uncertainty.
func (f *fragment) value(l *fact.Leaf, value string, built bool) string {
	value = f.book.decimals(l, value)
	both := built && l.Planned >= 0
	write := func(text string) string {
		if !l.Many {
			return scalar(text, both)
		}
		words := wordsIn(l, text)
		for i := range words {
			words[i] = scalar(words[i], true)
		}
		return "[" + strings.Join(words, ", ") + "]"
	}
	if !both {
		return write(value)
	}
	return fmt.Sprintf("{planned: %s, built: %s}", write(planOf(value)), write(value))
}

// planOf takes the uncertainty of a reading off: a plan has none.
func planOf(value string) string {
	plan, _, _ := strings.Cut(value, " ±")
	return plan
}

// String writes the fragment as YAML in block style.
func (f *fragment) String() string {
	var b strings.Builder
	f.root.yaml(&b, "", "")
	return b.String()
}

func (p *part) yaml(b *strings.Builder, first, rest string) {
	for i, q := range p.parts {
		lead := rest
		if i == 0 {
			lead = first
		}
		switch {
		case q.items != nil:
			fmt.Fprintf(b, "%s%s:\n", lead, q.name)
			for _, item := range q.items {
				item.yaml(b, rest+"  - ", rest+"    ")
			}
		case q.parts != nil:
			fmt.Fprintf(b, "%s%s:\n", lead, q.name)
			q.yaml(b, rest+"  ", rest+"  ")
		default:
			fmt.Fprintf(b, "%s%s: %s\n", lead, q.name, q.value)
		}
	}
}
