package define

import (
	"slices"
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"

	"witnessmark.example/checks/fact"
)

// Places finds where the parts of definitions stand in the text of their files,
// beyond the one place that every definition carries itself. What cannot be
// found has the place it was looked for at. The zero value finds nothing. It is
// not safe for concurrent use.
type Places struct {
	read  func(file string) ([]byte, error)
	files map[string]*ast.File // nil where the file cannot be read
}

// NewPlaces returns Places over files that read returns, by their names in
// definitions.
func NewPlaces(read func(file string) ([]byte, error)) *Places {
	return &Places{read: read, files: map[string]*ast.File{}}
}

// file parses a file once.
func (p *Places) file(name string) *ast.File {
	f, done := p.files[name]
	if done || p.read == nil {
		return f
	}
	if data, err := p.read(name); err == nil {
		f, _ = parser.ParseFile(name, data, parser.ParseComments)
	}
	p.files[name] = f
	return f
}

// Beside finds a field of the block that a definition's own place stands in: the
// `why` of a limit, whose place is that of its measure. A field that is stated
// for all limits at once, by a pattern beside the block, is found there; of several
// patterns the first that says text counts.
func (p *Places) Beside(at fact.Origin, name, text string) fact.Origin {
	if f := p.beside(at, name, text); f != nil {
		return fact.Origin{File: at.File, Line: f.Pos().Line()}
	}
	return at
}

func (p *Places) beside(at fact.Origin, name, text string) *ast.Field {
	f := p.file(at.File)
	if f == nil {
		return nil
	}
	block := blockAt(f, at.Line)
	var own, best *ast.Field
	eachField(f.Decls, nil, func(x *ast.Field, path []string) bool {
		if len(path) == 0 || path[len(path)-1] != name || !covers(path[:len(path)-1], block) {
			return true
		}
		switch {
		case slices.Equal(path[:len(path)-1], block):
			own = x
		case best == nil || says(x, text) && !says(best, text):
			best = x
		}
		return true
	})
	if own != nil {
		return own
	}
	return best
}

// says tells whether a field is written with this text.
func says(f *ast.Field, text string) bool {
	lit, ok := f.Value.(*ast.BasicLit)
	if !ok {
		return false
	}
	s, err := literal.Unquote(lit.Value)
	return err == nil && s == text
}

// blockAt finds the block that a definition's own place stands in. On a line with
// several fields it is the one whose place definitions carry.
func blockAt(f *ast.File, line int) []string {
	anchors := []string{"measure", "name", "title", "promotes"}
	var block []string
	found := false
	eachField(f.Decls, nil, func(x *ast.Field, path []string) bool {
		anchored := slices.Contains(anchors, path[len(path)-1])
		if x.Pos().Line() == line && !found && (anchored || block == nil) {
			block, found = slices.Clone(path[:len(path)-1]), anchored
		}
		return true
	})
	return block
}

// covers tells whether a path of the syntax stands for a block: it is the same,
// but for patterns, which are taken to fit.
func covers(path, block []string) bool {
	return slices.EqualFunc(path, block, func(a, b string) bool { return a == b || strings.HasPrefix(a, "[") })
}

// Items finds the places of the entries of a list: of `replaces` beside the place
// of a limit, of `within` in `examples`. Path names the list from the block.
func (p *Places) Items(at fact.Origin, path ...string) []fact.Origin {
	f := p.beside(at, path[0], "")
	for _, name := range path[1:] {
		if f == nil {
			return nil
		}
		var inner *ast.Field
		for _, s := range structs(f.Value) {
			for _, d := range s.Elts {
				if x, ok := d.(*ast.Field); ok && label(x) == name {
					inner = x
				}
			}
		}
		f = inner
	}
	if f == nil {
		return nil
	}
	list, ok := f.Value.(*ast.ListLit)
	if !ok {
		return nil
	}
	out := make([]fact.Origin, len(list.Elts))
	for i, e := range list.Elts {
		out[i] = fact.Origin{File: at.File, Line: e.Pos().Line()}
	}
	return out
}

// Revision finds every place where a revision of a product is stated in a file.
func (p *Places) Revision(file, product string) []fact.Origin {
	key, revision, _ := strings.Cut(product, "@")
	var out []fact.Origin
	p.each(file, func(path []string, at fact.Origin) {
		if slices.Equal(path, []string{"#products", key, revision}) {
			out = append(out, at)
		}
	})
	return out
}

// Limits finds every place where a limit that a file defines states its measure;
// more than one for a limit that is written twice and merged without a word. The
// places of each limit come together, limits by their first.
func (p *Places) Limits(file string) [][]fact.Origin {
	var order []string
	places := map[string][]fact.Origin{}
	p.each(file, func(path []string, at fact.Origin) {
		n := len(path)
		if n < 3 || path[n-1] != "measure" || path[n-3] != "limits" || strings.HasPrefix(path[n-2], "[") {
			return
		}
		name := strings.Join(path, "\x00")
		if places[name] == nil {
			order = append(order, name)
		}
		places[name] = append(places[name], at)
	})
	out := make([][]fact.Origin, len(order))
	for i, name := range order {
		out[i] = places[name]
	}
	return out
}

// each visits every field of a file with its path and place.
func (p *Places) each(file string, visit func(path []string, at fact.Origin)) {
	f := p.file(file)
	if f == nil {
		return
	}
	eachField(f.Decls, nil, func(x *ast.Field, path []string) bool {
		visit(path, fact.Origin{File: file, Line: x.Pos().Line()})
		return true
	})
}
