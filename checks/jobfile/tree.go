package jobfile

import (
	"fmt"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// slab hands out the tree's memory in three pieces instead of one for each value;
// the tree lives and dies as a whole. A slab that is used again keeps its pieces.
type slab struct {
	nodes  []Node
	used   int // of nodes
	fields []Field
	items  []*Node

	allFields []Field // what fields and items are handed out from
	allItems  []*Node
}

// prepare makes room for a tree. What was handed out before is taken back.
func (s *slab) prepare(nodes, fields, items int) {
	s.nodes = cleared(s.nodes, nodes)
	s.allFields, s.allItems = cleared(s.allFields, fields), cleared(s.allItems, items)
	s.used, s.fields, s.items = 0, s.allFields, s.allItems
	if fields == 0 {
		s.fields = nil // as in a tree with memory of its own
	}
	if items == 0 {
		s.items = nil
	}
}

// cleared returns a slice of n zero elements, in the memory of s where it fits.
func cleared[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

// next returns a fresh node. Where the tree turns out larger than it was
// measured, nodes come one by one.
func (s *slab) next() *Node {
	if s.used == len(s.nodes) {
		return new(Node)
	}
	s.used++
	return &s.nodes[s.used-1]
}

// measure adds up what a tree needs. It recurses no deeper than the parser's
// own guard allowed.
func (s *tally) measure(n *yaml.Node) {
	switch n.Kind {
	case yaml.MappingNode:
		s.fields += len(n.Content) / 2
	case yaml.SequenceNode:
		s.items += len(n.Content)
	default:
		return
	}
	for _, c := range n.Content {
		if len(c.Content) > 0 {
			s.measure(c)
		}
	}
}

type tally struct{ fields, items int }

// tree converts the parser's nodes and refuses what the strict rules refuse.
func (r *reader) tree(doc *yaml.Node) *Node {
	if len(doc.Content) != 1 {
		r.empty()
		return nil
	}
	top := doc.Content[0]
	if top.Kind == yaml.ScalarNode && top.Value == "" && top.Style == 0 && top.Tag == "!!null" {
		r.empty()
		return nil
	}
	var need tally
	need.measure(top)
	if total := need.fields + need.items + 1; total > r.lim.Nodes {
		r.probs.add(Position{}, CodeTooMany, fmt.Sprintf("the file has %d values, more than the %d allowed", total, r.lim.Nodes),
			"divide it into several jobs")
		return nil
	}
	r.prepare(need.fields+need.items+1, need.fields, need.items)
	root := r.node(top, 1)
	if root.Kind != Mapping && top.Kind != yaml.AliasNode {
		r.probs.add(root.Pos, CodeRoot, "the file does not consist of fields: it is a "+rootName(root),
			"begin with a field such as \"job: 2026-014\", with a space after the colon")
	}
	addComments(root, doc)
	return root
}

func rootName(n *Node) string {
	if n.Kind == List {
		return "list"
	}
	return "single value"
}

// node converts one value with everything in it.
func (r *reader) node(y *yaml.Node, depth int) *Node {
	n := r.next()
	n.Pos = Position{Line: y.Line, Column: y.Column}
	if y.HeadComment != "" || y.LineComment != "" || y.FootComment != "" {
		n.comments = &Comments{Head: y.HeadComment, Line: y.LineComment, Foot: y.FootComment}
	}
	if !r.bare(y) {
		// Behind an anchor or a tag the value stands elsewhere; it is refused
		// anyway, so only what is inside is looked at.
		n.Span = nowhere()
	} else {
		n.Span.Start = r.lines.offset(y.Line, y.Column)
	}
	switch y.Kind {
	case yaml.ScalarNode:
		r.scalar(n, y)
	case yaml.MappingNode, yaml.SequenceNode:
		if depth > r.lim.Depth {
			r.tooDeep(n.Pos)
			return n
		}
		n.Style = Block
		if y.Style&yaml.FlowStyle != 0 {
			n.Style = Flow
		}
		if y.Kind == yaml.MappingNode {
			r.mapping(n, y, depth)
		} else {
			r.list(n, y, depth)
		}
	}
	return n
}

// bare notes anchors, aliases and tags and reports whether there were none.
func (r *reader) bare(y *yaml.Node) bool {
	pos := Position{Line: y.Line, Column: y.Column}
	var p Problem
	switch {
	case y.Kind == yaml.AliasNode:
		p = aliasProblem(pos)
	case y.Anchor != "":
		p = anchorProblem(pos)
	case y.Style&yaml.TaggedStyle != 0 || y.Tag == "!":
		p = tagProblem(pos)
	default:
		return true
	}
	r.probs.add(p.Pos, p.Code, p.Message, p.Mend)
	return false
}

func aliasProblem(at Position) Problem {
	return Problem{at, CodeAlias, "a * at the beginning of a value refers to another place in the file", "write the value out, or put it in quotes if it is text"}
}

func anchorProblem(at Position) Problem {
	return Problem{at, CodeAnchor, "an & at the beginning of a value gives it a name to refer to", "take it out and write each value where it belongs, or put it in quotes if it is text"}
}

func tagProblem(at Position) Problem {
	return Problem{at, CodeTag, "a ! at the beginning of a value changes its type", "take it out, or put the value in quotes if it is text"}
}

// list converts the items of a list.
func (r *reader) list(n *Node, y *yaml.Node, depth int) {
	n.Kind = List
	count := len(y.Content)
	n.Items = r.items[:count:count]
	r.items = r.items[count:]
	end, sure := n.Span.Start+1, n.Span.Start >= 0
	for i, c := range y.Content {
		item := r.node(c, depth+1)
		n.Items[i] = item
		end, sure = item.Span.End, sure && item.Span.Start >= 0
		if n.Style != Flow || !sure {
			continue
		}
		if c.Kind == yaml.MappingNode && r.data[item.Span.Start] != '{' {
			r.probs.add(item.Pos, CodePairInList, "a key stands in a list in [ ]", "write { } around the key and its value, or instead of the [ ]")
		} else if i > 0 {
			r.commaInList(n.Items[i-1], item)
		}
	}
	r.close(n, end, sure, ']')
}

// close sets the end of a mapping or list: of its last value, and in flow
// style behind the bracket that follows it.
func (r *reader) close(n *Node, end int, sure bool, bracket byte) {
	if !sure {
		n.Span = nowhere()
		return
	}
	n.Span.End = end
	if n.Style != Flow {
		return
	}
	if end < len(r.data) && r.data[n.Span.Start] != '[' && r.data[n.Span.Start] != '{' {
		return // a pair in a list has no brackets of its own; refused by the list
	}
	at := r.skipBetween(end)
	if at >= len(r.data) || r.data[at] != bracket {
		r.loseTrack(n)
		return
	}
	n.Span.End = at + 1
}

// nowhere is the span of a value whose bytes are not known. It never leaves
// Read, since such a file is refused.
func nowhere() Span { return Span{Start: -1, End: -1} }

// loseTrack marks a value whose bytes are not where the parser said.
func (r *reader) loseTrack(n *Node) {
	n.Span = nowhere()
	r.lost = true
}

// refuseRunes notes characters in a resolved value that escapes brought in
// past the scan of the bytes.
func (r *reader) refuseRunes(text string, pos Position) {
	for _, c := range text {
		if c < utf8.RuneSelf && c >= ' ' && c != 0x7f {
			continue
		}
		if code := refusedRune(c); code != "" {
			r.probs.add(pos, code, fmt.Sprintf("the value has the character U+%04X, written as an escape", c), "take the escape out")
			return
		}
	}
}

// addComments gives a value what is said about its key, or about the document,
// so that all comments on a field are in one place.
func addComments(n *Node, from *yaml.Node) {
	if from.HeadComment == "" && from.LineComment == "" && from.FootComment == "" {
		return
	}
	if n.comments == nil {
		n.comments = new(Comments)
	}
	c := n.comments
	c.Head = joined(from.HeadComment, c.Head)
	c.Line = joined(from.LineComment, c.Line)
	c.Foot = joined(c.Foot, from.FootComment)
}

// joined puts two comments under one another.
func joined(a, b string) string {
	switch {
	case a == "":
		return b
	case b == "":
		return a
	}
	return a + "\n" + b
}
