package jobfile

// Position is a place in a file. Lines and columns count from 1; a column
// counts Unicode code points, not bytes. Zero means unknown.
type Position struct {
	Line   int
	Column int
}

// before reports whether p comes earlier in the file than q.
func (p Position) before(q Position) bool {
	if p.Line != q.Line {
		return p.Line < q.Line
	}
	return p.Column < q.Column
}

// Span is a half-open range of byte offsets into the file as it was given,
// byte order mark included. The zero value is empty.
//
// A quoted scalar's span includes its quotes, a { } or [ ] its brackets. A
// block mapping runs from its first key to the end of its last value, a block
// list from its first dash to the end of its last item. A block scalar runs
// from the | or > to the end of its last line that is not blank. An empty
// value has an empty span right after its colon or dash.
type Span struct {
	Start int
	End   int
}

// NodeKind tells what a node is. The zero value is invalid.
type NodeKind uint8

// The kinds of nodes.
const (
	Scalar  NodeKind = iota + 1 // one value
	Mapping                     // keys with values, in Fields
	List                        // values in order, in Items
	Null                        // ~, null, or nothing after the colon or dash
)

// String returns the kind's name in lower case.
func (k NodeKind) String() string {
	switch k {
	case Scalar:
		return "scalar"
	case Mapping:
		return "mapping"
	case List:
		return "list"
	case Null:
		return "null"
	}
	return "invalid"
}

// ScalarType is the type of a scalar as the YAML 1.2 core schema resolves a
// value without quotes, with Date added. Quoted and block scalars are always
// Text. The zero value stands on nodes that are not scalars.
type ScalarType uint8

// The types of scalars.
const (
	Text    ScalarType = iota + 1 // anything else, yes/no/on/off among them
	Integer                       // decimal digits with an optional sign
	Number                        // with decimal point or exponent
	Boolean                       // true, false (also True, TRUE, False, FALSE)
	Date                          // yyyy-mm-dd; that the day exists is not checked
)

// String returns the type's name in lower case.
func (t ScalarType) String() string {
	switch t {
	case Text:
		return "text"
	case Integer:
		return "integer"
	case Number:
		return "number"
	case Boolean:
		return "boolean"
	case Date:
		return "date"
	}
	return "none"
}

// Style is how a value is written. The zero value is invalid.
type Style uint8

// The styles of values.
const (
	Plain        Style = iota + 1 // scalar without quotes, or Null
	SingleQuoted                  // 'scalar'
	DoubleQuoted                  // "scalar"
	Literal                       // | scalar, lines kept
	Folded                        // > scalar, lines joined
	Block                         // mapping or list by indentation
	Flow                          // mapping in { } or list in [ ]
)

// Node is one value of the file. It is read-only after Read, but for Blank.
type Node struct {
	Kind  NodeKind
	Type  ScalarType
	Style Style

	// Text is the scalar with quotes, escapes and folding resolved. For a
	// plain scalar or Null it is the author's own characters.
	Text string

	Pos    Position // first character; for an empty value right after its colon or dash
	Span   Span
	Fields []Field // of a Mapping, as written
	Items  []*Node // of a List, as written

	comments *Comments // nil for most
}

// Comments are what is written about a value, each with its # sign; several
// lines are joined by a line break. In a mapping they cover the key and its
// value together.
type Comments struct {
	Head string // above
	Line string // behind, on the same line
	Foot string // below, before an empty line
}

// Comments returns the comments of a value, empty if it has none or n is nil.
func (n *Node) Comments() Comments {
	if n == nil || n.comments == nil {
		return Comments{}
	}
	return *n.comments
}

// Blank puts another text in place of a scalar's and drops the comments, for a file
// whose words must not get any further. Who holds the file alone may call it.
func (n *Node) Blank(text string) { n.Text, n.comments = text, nil }

// Field is one key of a mapping with its value.
type Field struct {
	Key     string // quotes and escapes resolved
	KeyPos  Position
	KeySpan Span
	Value   *Node // never nil
}

// Field returns the value of the named key, nil if n is nil, no mapping, or
// has no such key.
func (n *Node) Field(name string) *Node {
	if n == nil {
		return nil
	}
	for i := range n.Fields {
		if n.Fields[i].Key == name {
			return n.Fields[i].Value
		}
	}
	return nil
}

// File is one job file that was read without a problem. It is read-only.
type File struct {
	Name   string // as given
	Digest string // SHA-256 of the bytes, lower-case hexadecimal
	Root   *Node  // always a Mapping

	// Source is the slice given to Read, not a copy: the caller leaves it
	// unchanged as long as the File is in use.
	Source []byte
}

// Raw returns the bytes of s as written, "" if s does not lie in the file.
func (f *File) Raw(s Span) string {
	if s.Start < 0 || s.End < s.Start || s.End > len(f.Source) {
		return ""
	}
	return string(f.Source[s.Start:s.End])
}
