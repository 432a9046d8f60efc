package physics

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// arithmetic are the numbers that belong to arithmetic and to nobody's table:
// there and back, three phases, halves, per cent, kilo.
var arithmetic = map[float64]bool{0: true, 1: true, 2: true, 3: true, 0.5: true, 100: true, 1000: true, 1e-3: true}

// rooms are the folders of the physics.
var rooms = []string{"stack", "conductor", "supply"}

// No figure of a table, no limit and no factor of a code stands in Go: in the
// rooms of physics every number beyond those of arithmetic is refused. Places of
// inputs, which are constants of small whole numbers, are none of that.
func TestNoFigureStandsInGo(t *testing.T) {
	looked := 0
	for _, room := range rooms {
		files, err := filepath.Glob(filepath.Join("..", room, "*.go"))
		require.NoError(t, err)
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			looked++
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			for _, at := range figuresIn(t, name, text) {
				assert.Fail(t, "a figure in Go", "%s: put it into a table of schema/tables, or into the limit", at)
			}
		}
	}
	assert.Positive(t, looked)
	assert.Len(t, figuresIn(t, "x.go", []byte("package x\n\nvar a = 65.0\n\nfunc f() float64 {\n\tconst n, m = 4, 5\n\tconst k = 65\n\treturn 2 * 1.25\n}\n")), 3, "the test finds what it looks for")
}

// A room of physics knows quantities and tables and nothing of the plumbing.
func TestRoomsKeepToThemselves(t *testing.T) {
	for _, room := range rooms {
		files, err := filepath.Glob(filepath.Join("..", room, "*.go"))
		require.NoError(t, err)
		for _, name := range files {
			file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
			require.NoError(t, err)
			for _, i := range file.Imports {
				path := strings.Trim(i.Path.Value, `"`)
				if strings.HasPrefix(path, "witnessmark.example/") && !strings.HasSuffix(name, "_test.go") {
					assert.Contains(t, []string{"witnessmark.example/checks/quantity", "witnessmark.example/checks/table"}, path, name)
				}
			}
		}
	}
}

// figuresIn lists the numbers of a file that are not arithmetic, with their places.
func figuresIn(t *testing.T, name string, text []byte) []string {
	t.Helper()
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, text, 0)
	require.NoError(t, err)
	var out []string
	ast.Inspect(file, func(n ast.Node) bool {
		if d, ok := n.(*ast.GenDecl); ok && d.Tok == token.CONST {
			out = append(out, beyondPlaces(set, d)...)
			return false
		}
		out = append(out, figure(set, n)...)
		return true
	})
	return out
}

// mostInputs bounds what a constant can be the place of.
const mostInputs = 20

// beyondPlaces lists the constants that can be no place of an input.
func beyondPlaces(set *token.FileSet, d *ast.GenDecl) (out []string) {
	ast.Inspect(d, func(n ast.Node) bool {
		if l, ok := n.(*ast.BasicLit); ok {
			if place, err := strconv.Atoi(l.Value); err != nil || place > mostInputs {
				out = append(out, figure(set, n)...)
			}
		}
		return true
	})
	return out
}

func figure(set *token.FileSet, n ast.Node) []string {
	l, ok := n.(*ast.BasicLit)
	if !ok || l.Kind != token.INT && l.Kind != token.FLOAT {
		return nil
	}
	if x, err := strconv.ParseFloat(l.Value, 64); err == nil && arithmetic[x] {
		return nil
	}
	return []string{set.Position(l.Pos()).String() + ": " + l.Value}
}
