package jobfile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
)

// reader holds what one call of Read needs.
type reader struct {
	data  []byte
	lim   Limits
	lines *lineTable
	odd   []oddLine
	json  bool
	probs problems

	*slab
	multi []Span // scalars that run over several lines
	lost  bool   // a value was not found again at its position
}

// Read turns the bytes of one file into a tree. The name is only kept, and
// tells JSON by its ending ".json". It returns either a File or at least one
// Problem, never both: a file with any problem is refused as a whole, so that
// no half-understood value is judged. The problems are in order of position
// and come from as many causes as could be seen at once.
//
// The File keeps data; the caller must not change it afterwards.
func Read(name string, data []byte, lim Limits) (*File, []Problem) {
	return readWith(name, data, lim, &slab{})
}

// readWith is Read with the memory to put the tree into.
func readWith(name string, data []byte, lim Limits, memory *slab) (*File, []Problem) {
	r := &reader{data: data, lim: lim.complete(), json: hasJSONName(name), slab: memory}
	root := r.read()
	if len(r.probs.list) > 0 {
		return nil, r.probs.sorted()
	}
	sum := sha256.Sum256(data)
	return &File{Name: name, Digest: hex.EncodeToString(sum[:]), Root: root, Source: data}, nil
}

// hasJSONName tells JSON by the name, as the firm's other tools do.
func hasJSONName(name string) bool {
	const ending = ".json"
	return len(name) >= len(ending) && strings.EqualFold(name[len(name)-len(ending):], ending)
}

// read runs the stages: bytes, JSON, YAML, tree.
func (r *reader) read() *Node {
	if len(r.data) > r.lim.Bytes {
		r.probs.list = append(r.probs.list, tooLarge(int64(len(r.data)), r.lim.Bytes))
		return nil
	}
	if enc := foreignEncoding(r.data); enc != "" {
		r.probs.add(Position{}, CodeEncoding, "the file is encoded in "+enc, "save it as UTF-8")
		return nil
	}
	s := scan(r.data, &r.probs)
	r.lines, r.odd = &s.lines, s.odd
	if s.binary() || s.fatal {
		return nil
	}
	if r.json && !r.strictJSON() {
		return nil
	}
	if r.directive() {
		return nil
	}
	doc := r.parse()
	if doc == nil {
		return nil
	}
	root := r.tree(doc)
	r.oddIndentation()
	if r.lost && len(r.probs.list) == 0 {
		r.probs.add(Position{}, CodePositionLost,
			"a value could not be found again in the bytes of the file",
			"write the values in a simpler form; this is a fault of this program, please report it")
	}
	return root
}

// oddIndentation refuses tabs and wide spaces in the indentation of lines that
// are not the content of a scalar on several lines. Both lists are in order of
// position, so one walk along them suffices.
func (r *reader) oddIndentation() {
	next := 0
	for _, o := range r.odd {
		at := r.lines.start(o.line)
		for next < len(r.multi) && r.multi[next].End <= at {
			next++
		}
		inside := next < len(r.multi) && r.multi[next].Start < at
		if inside || o.tab && (r.json || o.comment) {
			continue
		}
		r.addOdd(o)
	}
}

func (r *reader) addOdd(o oddLine) {
	pos := Position{Line: o.line, Column: o.column}
	if o.tab {
		r.probs.add(pos, CodeTab, "this line is indented with a tab", "indent with spaces; YAML counts no tabs")
		return
	}
	r.probs.add(pos, CodeOddIndent, "this line is indented with a space that is not the ordinary one",
		"replace the characters before the text by ordinary spaces")
}

// tooLarge words the refusal by size; size is -1 if it is only known to be
// larger.
func tooLarge(size int64, most int) Problem {
	message := fmt.Sprintf("the file is larger than %d bytes", most)
	if size >= 0 {
		message = fmt.Sprintf("the file has %d bytes, more than the %d allowed", size, most)
	}
	return Problem{Code: CodeTooLarge, Message: message,
		Mend: "a job file is a few thousand bytes; keep photographs and logs elsewhere and name them in it"}
}
