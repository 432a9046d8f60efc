package boundary

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
)

// node is one part of a mapping under construction.
type node struct {
	name  string
	value string // of a leaf
	parts []*node
	items []*node // of a list: mappings
}

// at returns the part a dotted path leads to, and makes it.
func (n *node) at(path string) *node {
	for _, name := range strings.Split(path, ".") {
		i := slices.IndexFunc(n.parts, func(p *node) bool { return p.name == name })
		if i < 0 {
			n.parts = append(n.parts, &node{name: name})
			i = len(n.parts) - 1
		}
		n = n.parts[i]
	}
	return n
}

// jobFile writes the job. products names each product for its links.
func (w *world) jobFile(products map[*entry]string) string {
	var b strings.Builder
	w.tree(w.root, products).yaml(&b, "", "")
	return b.String()
}

func (w *world) tree(e *entry, products map[*entry]string) *node {
	out := &node{}
	for _, l := range e.scope.Leaves {
		if value, ok := w.value(e, l, products); ok {
			out.at(l.Inside()).value = value
		}
	}
	for _, sc := range e.scope.Children {
		name := strings.TrimPrefix(strings.TrimPrefix(sc.List.Name, e.scope.List.Name), ".")
		for _, m := range w.entries {
			if m.scope == sc && m.parent == e {
				list := out.at(name)
				list.items = append(list.items, w.tree(m, products))
			}
		}
	}
	return out
}

// value writes one value. Fields read on site are written plainly, as the plan,
// unless the job has come so far that the reading decides.
func (w *world) value(e *entry, l *fact.Leaf, products map[*entry]string) (string, bool) {
	text, ok := e.text[l]
	switch targets := e.target[l]; {
	case l.Calculation != nil:
		return "", false
	case len(targets) > 0:
		keys := make([]string, len(targets))
		for i, t := range targets {
			if keys[i] = t.key; t.scope.List.IsElsewhere() && !t.pinned {
				keys[i] = products[t]
			}
		}
		text, ok = keys[0], true
		if l.Many {
			text = "[" + strings.Join(keys, ", ") + "]"
		}
	case e.many[l] != nil:
		text, ok = "["+strings.Join(e.many[l], ", ")+"]", true
	}
	if ok && l.Built != fact.NoStage && (w.staged || l.Built <= fact.Designed) {
		text = fmt.Sprintf("{planned: %s, built: %s}", text, text)
	}
	return text, ok
}

// yaml writes a mapping in block style.
func (n *node) yaml(b *strings.Builder, first, rest string) {
	for i, p := range n.parts {
		lead := rest
		if i == 0 {
			lead = first
		}
		switch {
		case p.items != nil:
			fmt.Fprintf(b, "%s%s:\n", lead, p.name)
			for _, item := range p.items {
				item.yaml(b, rest+"  - ", rest+"    ")
			}
		case p.parts != nil:
			fmt.Fprintf(b, "%s%s:\n", lead, p.name)
			p.yaml(b, rest+"  ", rest+"  ")
		default:
			fmt.Fprintf(b, "%s%s: %s\n", lead, p.name, p.value)
		}
	}
}

// keyMark stands where the product's key will be.
const keyMark = "KEY"

// productFile writes the equipment data of a product: one file with one
// revision, A.
func productFile(e *entry) string {
	kind := strings.TrimPrefix(e.scope.List.Name, "equipment.")
	var b strings.Builder
	b.WriteString("package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n")
	fmt.Fprintf(&b, "#products: %q: A: equipment.#%s & {\n\ttitle: %q\n\tedition: \"A\"\n", keyMark, strings.ToUpper(kind[:1])+kind[1:], cmp.Or(e.title, "Probe"))
	e.figures(&b, func(*fact.Leaf) (string, bool) { return "", false })
	b.WriteString("}\n")
	return b.String()
}

// figures writes the figures of an entry as CUE; otherwise says what those have
// that nothing was asked of.
func (e *entry) figures(b *strings.Builder, otherwise func(*fact.Leaf) (string, bool)) {
	for _, l := range e.scope.Leaves {
		text, ok := e.text[l]
		if !ok {
			text, ok = otherwise(l)
		}
		if !ok || l.Calculation != nil {
			continue
		}
		if l.Type != fact.Count && l.Type != fact.Truth {
			text = fmt.Sprintf("%q", text)
		}
		fmt.Fprintf(b, "\t%s: %s\n", strings.ReplaceAll(l.Inside(), ".", ": "), text)
	}
}

// registerFile writes a register with one entry that was always good.
func registerFile(e *entry) string {
	name := strings.TrimPrefix(e.scope.List.Name, "register.")
	var b strings.Builder
	b.WriteString("package registers\n\nimport \"witnessmark.example/schema/register\"\n\n")
	fmt.Fprintf(&b, "#%s: register.#%s & {%q: {\n", name, strings.ToUpper(name[:1])+name[1:], keyMark)
	e.figures(&b, func(l *fact.Leaf) (string, bool) {
		switch {
		case l.Many:
		case l.Type == fact.Word:
			return l.Words[0], true
		case l.Type == fact.Date && strings.Contains(l.Name(), "until"):
			return "2999-12-31", true
		case l.Type == fact.Date:
			return "1900-01-01", true
		}
		return "", false
	})
	b.WriteString("}}\n")
	return b.String()
}
