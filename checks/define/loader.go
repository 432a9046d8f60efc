package define

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"sort"
	"strings"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/build"
	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/parser"
	"cuelang.org/go/cue/token"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// module is the import path of the tool's own definitions.
const module = "witnessmark.example/schema"

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
	inst := l.load(token.NoPos, module+"/"+dir)
	if inst.Err != nil {
		return cue.Value{}, inst.Err
	}
	v := l.ctx.BuildInstance(inst)
	return v, v.Err()
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
	dir, ok := strings.CutPrefix(clean, module+"/")
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
		_ = inst.AddSyntax(f)
	}
	_ = inst.Complete()
	return inst
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
		return cue.Value{}, explain(f.Filename, err)
	}
	v := l.ctx.BuildInstance(inst)
	if err := v.Err(); err != nil {
		return cue.Value{}, explain(f.Filename, err)
	}
	return v, nil
}

// parse reads the syntax of one file of a firm and holds it to the gate.
func parse(name string, data []byte) (*ast.File, []limit.Fault) {
	f, err := parser.ParseFile(name, data, parser.ParseComments)
	if err != nil {
		return nil, explain(name, err)
	}
	if faults := gate(f); len(faults) > 0 {
		return nil, faults
	}
	return f, nil
}

func at(p token.Pos) fact.Origin {
	if !p.IsValid() {
		return fact.Origin{}
	}
	return fact.Origin{File: p.Filename(), Line: p.Line()}
}

var errUnknownImport = errors.New("unknown import")

func unknownImport(path string) string {
	return fmt.Sprintf("there is no package %q; definitions may import the packages of %s", path, module)
}
