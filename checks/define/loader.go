package define

import (
	"fmt"
	"io/fs"
	"path"
	"sort"
	"strings"
	"time"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// Module is the import path of the tool's own definitions.
const Module = "witnessmark.example/schema"

// loader builds CUE packages from two file systems and nothing else: the tool's
// own module, and the files of a firm given to it one by one. There is no
// registry, no module cache, no embedding of other files.
type loader struct {
	ctx   *cue.Context
	build *build.Context
	own   fs.FS
	cache map[string]*build.Instance
}

func newLoader(own fs.FS) *loader {
	return &loader{ctx: cuecontext.New(), build: build.NewContext(), own: own, cache: map[string]*build.Instance{}}
}

// ownPackage builds one package of the tool's own module ("job", "rules/us").
func (l *loader) ownPackage(dir string) (cue.Value, error) {
	inst := l.load(token.NoPos, Module+"/"+dir)
	if inst.Err != nil {
		return cue.Value{}, inst.Err
	}
	v := l.ctx.BuildInstance(inst)
	return v, v.Err()
}

// form returns a definition of the tool's own module that a firm's definitions
// must fit; zero where the module has none.
func (l *loader) form(dir, name string) cue.Value {
	v, err := l.ownPackage(dir)
	if err != nil {
		return cue.Value{}
	}
	return v.LookupPath(cue.ParsePath(name))
}

// load is the build.LoadFunc: it answers imports. A path without a dot in its
// first part is CUE's own library.
func (l *loader) load(pos token.Pos, importPath string) *build.Instance {
	clean, _, _ := strings.Cut(importPath, ":")
	if first, _, _ := strings.Cut(clean, "/"); !strings.Contains(first, ".") {
		return nil
	}
	if inst := l.cache[clean]; inst != nil {
		return inst
	}
	dir, ok := strings.CutPrefix(clean, Module+"/")
	inst := l.build.NewInstance(dir, l.load)
	inst.ImportPath = clean
	l.cache[clean] = inst
	if !ok {
		inst.ReportError(newLoadError(pos, importPath))
		return inst
	}
	files, err := fs.Glob(l.own, path.Join(dir, "*.cue"))
	if err != nil || len(files) == 0 {
		inst.ReportError(newLoadError(pos, importPath))
		return inst
	}
	sort.Strings(files)
	for _, name := range files {
		data, err := fs.ReadFile(l.own, name)
		if err != nil {
			inst.ReportError(newLoadError(pos, importPath))
			return inst
		}
		f, err := parser.ParseFile("schema/"+name, data, parser.ParseComments)
		if err != nil {
			inst.ReportError(newLoadError(pos, fmt.Sprintf("%s: %v", importPath, err)))
			return inst
		}
		if p := attributeOnDefinition(f); p.IsValid() {
			inst.ReportError(newLoadError(p, importPath+": an attribute on a definition is lost where the definition is used; write it on the field itself"))
			return inst
		}
		_ = inst.AddSyntax(f)
	}
	_ = inst.Complete()
	return inst
}

// attributeOnDefinition finds an attribute on a definition: it would be lost
// through every reference to it.
func attributeOnDefinition(f *ast.File) (found token.Pos) {
	for _, d := range f.Decls {
		if field, ok := d.(*ast.Field); ok && len(field.Attrs) > 0 {
			if name, _, err := ast.LabelName(field.Label); err == nil && strings.HasPrefix(name, "#") {
				return field.Pos()
			}
		}
	}
	return found
}

// file builds one file of a firm by itself. The syntax has been through the gate.
func (l *loader) file(f *ast.File) (cue.Value, []limit.Fault) {
	inst := l.build.NewInstance(path.Dir(f.Filename), l.load)
	inst.ImportPath = "firm.example/" + strings.TrimSuffix(f.Filename, ".cue")
	_ = inst.AddSyntax(f)
	if err := inst.Complete(); err != nil || inst.Err != nil {
		if err == nil {
			err = inst.Err
		}
		return cue.Value{}, explain(f.Filename, err, f)
	}
	v, ok := l.buildInTime(inst)
	if !ok {
		return cue.Value{}, []limit.Fault{{At: fact.Origin{File: f.Filename, Line: 1}, Code: "takes-too-long",
			Message: fmt.Sprintf("the definitions were not evaluated within %s", longest), Mend: "join fewer lists of alternatives"}}
	}
	if err := v.Err(); err != nil {
		return cue.Value{}, explain(f.Filename, err, f)
	}
	return v, nil
}

// longest is how long one file of a firm may take. A sound one takes milliseconds.
const longest = 5 * time.Second

// buildInTime evaluates a file, and gives up on one that gets past the gate and
// still keeps CUE busy. Nothing can stop CUE then: it is left behind with its
// context, and the loader goes on with a new one.
func (l *loader) buildInTime(inst *build.Instance) (cue.Value, bool) {
	ctx, done := l.ctx, make(chan cue.Value, 1)
	go func() {
		v := ctx.BuildInstance(inst)
		_ = v.Validate() // evaluates all of it; what is wrong is reported definition by definition
		done <- v
	}()
	select {
	case v := <-done:
		return v, true
	case <-time.After(longest):
		l.ctx, l.build, l.cache = cuecontext.New(), build.NewContext(), map[string]*build.Instance{}
		return cue.Value{}, false
	}
}

func at(p token.Pos) fact.Origin {
	if !p.IsValid() {
		return fact.Origin{}
	}
	return fact.Origin{File: p.Filename(), Line: p.Line()}
}

func unknownImport(path string) string {
	return fmt.Sprintf("there is no package %q; definitions may import the packages of %s", path, Module)
}
