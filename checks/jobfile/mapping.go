package jobfile

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v4"
)

// mapping converts the fields of a mapping.
func (r *reader) mapping(n *Node, y *yaml.Node, depth int) {
	n.Kind = Mapping
	count := len(y.Content) / 2
	n.Fields = r.fields[:count:count]
	r.fields = r.fields[count:]
	end, sure := n.Span.Start+1, n.Span.Start >= 0
	bare := false // some key has no colon behind it
	for i := range n.Fields {
		f, k, v := &n.Fields[i], y.Content[2*i], y.Content[2*i+1]
		known := r.key(f, k)
		colon := -1
		if known {
			colon = r.colon(f.KeySpan.End, n.Style == Flow)
		}
		f.Value = r.node(v, depth+1)
		addComments(f.Value, k)
		if known && colon < 0 && n.Style != Flow {
			r.probs.add(f.KeyPos, CodeComplexKey, "the key is written without a colon behind it", "write key: value on one line, without \"? \"")
			sure = false
			continue
		}
		if known && colon < 0 {
			bare = true
			end = f.KeySpan.End
			f.Value.Span = Span{Start: end, End: end}
			continue
		}
		sure = sure && known && f.Value.Span.Start >= 0
		if !sure {
			continue
		}
		if f.Value.Kind == Null && f.Value.Text == "" {
			f.Value.Span = Span{Start: colon + 1, End: colon + 1}
			f.Value.Pos = r.lines.position(colon + 1)
		}
		end = f.Value.Span.End
	}
	if bare {
		r.withoutColon(n)
	}
	r.duplicates(n.Fields)
	r.close(n, end, sure, '}')
}

// key converts a key and reports whether its place in the bytes is known.
func (r *reader) key(f *Field, k *yaml.Node) bool {
	f.Key = k.Value
	f.KeyPos = Position{Line: k.Line, Column: k.Column}
	if !r.bare(k) {
		return false
	}
	switch {
	case k.Kind != yaml.ScalarNode, k.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		r.probs.add(f.KeyPos, CodeComplexKey, "a key must be one word or a text in quotes", "write the key on one line, followed by a colon and a space")
		return false
	case k.Tag == "!!merge" && k.Style == 0:
		r.probs.add(f.KeyPos, CodeMergeKey, "the key << merges another mapping into this one", "write the fields out where they belong")
	case k.Style == 0 && isNullWord(k.Value):
		r.probs.add(f.KeyPos, CodeNullKey, "there is no key before the colon, or it means \"nothing\"", "write the key; put it in quotes if it really is "+quoted(k.Value))
		return false
	}
	if len(k.Value) > r.lim.ScalarBytes {
		r.tooLong(f.KeyPos)
	}
	lines := len(r.multi)
	f.KeySpan, _ = r.measure(k, r.lines.offset(k.Line, k.Column))
	if len(r.multi) > lines {
		r.probs.add(f.KeyPos, CodeComplexKey, "a key must stand on one line", "write the key on one line, followed by a colon and a space")
		return false
	}
	return f.KeySpan.Start >= 0
}

// isNullWord reports a plain key that YAML takes for nothing.
func isNullWord(s string) bool {
	switch s {
	case "", "~", "null", "Null", "NULL":
		return true
	}
	return false
}

// colon returns the offset of the colon behind a key, -1 if there is none. In
// flow style it may stand on a later line.
func (r *reader) colon(at int, flow bool) int {
	for at < len(r.data) && (r.data[at] == ' ' || r.data[at] == '\t') {
		at++
	}
	if flow && at < len(r.data) && (r.data[at] == '\n' || r.data[at] == '\r') {
		at = r.skipBetween(at)
	}
	if at < len(r.data) && r.data[at] == ':' {
		return at
	}
	return -1
}

// withoutColon refuses the keys in { } that have no colon behind them: a value
// torn apart by a comma, or a forgotten value.
func (r *reader) withoutColon(n *Node) {
	for i := 0; i < len(n.Fields); i++ {
		f := &n.Fields[i]
		if !f.bare() {
			continue
		}
		if i > 0 && r.torn(&n.Fields[i-1], f) {
			last := i
			for last+1 < len(n.Fields) && n.Fields[last+1].bare() && r.torn(f, &n.Fields[last+1]) {
				last++
				f = &n.Fields[last]
			}
			r.commaInMapping(n.Fields[i-1 : last+1])
			i = last
			continue
		}
		mend := "write key: value; a list stands in [ ]"
		if strings.IndexByte(f.Key, ':') > 0 {
			mend = "write a space after the colon"
		}
		r.probs.add(f.KeyPos, CodeKeyWithoutValue, "between { and } the key "+quoted(f.Key)+" has no value", mend)
	}
}

// bare reports a key without colon: its empty value begins where it ends.
func (f *Field) bare() bool {
	return f.Value.Kind == Null && f.KeySpan.End > 0 && f.Value.Span == Span{Start: f.KeySpan.End, End: f.KeySpan.End}
}

// manyKeys is the size from which duplicates are looked up in a map; below,
// comparing each with each is quicker and allocates nothing.
const manyKeys = 16

// duplicates refuses a key that stands twice in one mapping.
func (r *reader) duplicates(fields []Field) {
	if len(fields) > manyKeys {
		first := make(map[string]int, len(fields))
		for i := range fields {
			if j, twice := first[fields[i].Key]; twice {
				r.duplicate(&fields[j], &fields[i])
				continue
			}
			first[fields[i].Key] = i
		}
		return
	}
	for i := 1; i < len(fields); i++ {
		for j := range i {
			if fields[i].Key == fields[j].Key {
				r.duplicate(&fields[j], &fields[i])
				break
			}
		}
	}
}

func (r *reader) duplicate(first, second *Field) {
	if second.KeySpan.End == 0 || first.KeySpan.End == 0 {
		return // no simple key; refused already
	}
	r.probs.add(second.KeyPos, CodeDuplicateKey,
		fmt.Sprintf("the key %s stands here again; it stood on line %d first", quoted(second.Key), first.KeyPos.Line),
		"keep one of the two")
}
