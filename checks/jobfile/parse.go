package jobfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"go.yaml.in/yaml/v4"
)

// depthGuard stops the YAML parser before a deeply nested file makes it slow
// or exhausts the stack.
type depthGuard struct {
	most     int
	exceeded bool
}

var errDepth = errors.New("too deep")

// CheckDepth implements yaml.LoaderLimitsPlugin. Brackets and indentation are
// counted apart there, so the tree may be twice as deep; the strict pass counts
// them together.
func (g *depthGuard) CheckDepth(depth int, _ *yaml.DepthContext) error {
	if depth > g.most {
		g.exceeded = true
		return errDepth
	}
	return nil
}

// CheckAlias implements yaml.LoaderLimitsPlugin. Aliases are refused by the
// strict pass and never expanded, so there is nothing to count.
func (g *depthGuard) CheckAlias(_, _ int) error { return nil }

// parse gives the document node of the file. It notes what keeps the file from
// being read, a second document among it, and returns nil if there is no tree.
func (r *reader) parse() *yaml.Node {
	guard := &depthGuard{most: r.lim.Depth}
	body := r.data[r.lines.start(1):]
	loader, err := yaml.NewLoader(bytes.NewReader(body), yaml.WithPlugin(guard))
	if err != nil {
		r.probs.add(Position{}, CodeSyntax, "the YAML parser could not be started", "")
		return nil
	}
	doc, err := loadOne(loader)
	if err == io.EOF {
		r.empty()
		return nil
	}
	if err != nil {
		r.syntax(err, guard.exceeded)
		return nil
	}
	second, err := loadOne(loader)
	switch {
	case err == io.EOF:
	case err != nil:
		r.syntax(err, guard.exceeded)
		return nil
	default:
		r.probs.add(Position{Line: second.Line, Column: second.Column}, CodeSeveralDocuments,
			"a second document begins here; everything from here on would be lost",
			"take out the line of --- or ... before it, or move what follows to a file of its own")
	}
	return doc
}

// loadOne loads the next document. The parser panics on streams it holds to be
// impossible; one hostile file must not end the run over all the others.
func loadOne(loader *yaml.Loader) (doc *yaml.Node, err error) {
	defer func() {
		if cause := recover(); cause != nil {
			doc, err = nil, fmt.Errorf("yaml parser: %v", cause)
		}
	}()
	doc = new(yaml.Node)
	if err := loader.Load(doc); err != nil {
		return nil, err
	}
	return doc, nil
}

func (r *reader) empty() {
	r.probs.add(Position{}, CodeEmpty, "the file is empty or has only comments", "write the job's fields, or delete the file")
}

// directive refuses a %YAML or %TAG line at the top and reports whether there
// is one.
func (r *reader) directive() bool {
	for line := 1; line <= r.lines.count(); line++ {
		from, to := r.lines.start(line), r.lines.end(line)
		text := bytes.TrimRight(r.data[from:to], " \t\r")
		if len(text) == 0 || text[0] == '#' {
			continue
		}
		if text[0] == '%' {
			p := directiveProblem(Position{Line: line, Column: 1})
			r.probs.add(p.Pos, p.Code, p.Message, p.Mend)
			return true
		}
		break
	}
	return false
}

func directiveProblem(at Position) Problem {
	return Problem{at, CodeDirective, "a line that begins with % changes how the rest is read", "delete it, or indent it if it belongs to a text"}
}
