package define

import (
	"fmt"
	"io/fs"
	"path"
	"sort"
	"strings"
	"sync"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/parser"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/nearest"
)

// Products is a firm's equipment data. The syntax of all of it is read at once;
// a product is compiled when the first job names it. It is safe for concurrent
// use.
type Products struct {
	mu     sync.Mutex
	shape  *fact.Compiled
	loader *loader
	dir    string
	files  map[string]*productFile // by product key; nil where the file is broken
	keys   []string
	ready  map[string]*product
	faults []limit.Fault
}

// productFile is the file of one product, built when a job first names it.
type productFile struct {
	name string
	data []byte
	done bool
	built
}

// product is one revision of one product, compiled.
type product struct {
	instance *fact.Instance
	set      *limit.Set
	rules    *limit.RuleSet
	err      error
}

// readProducts reads the syntax of every file of the equipment folder.
func readProducts(l *loader, shape *fact.Compiled, fsys fs.FS, dir string, others ...string) *Products {
	p := &Products{shape: shape, loader: l, dir: dir, files: map[string]*productFile{}, ready: map[string]*product{}}
	names, faults := definitionFiles(fsys, dir, "equipment", others...)
	p.faults = append(p.faults, faults...)
	for _, name := range names {
		key := strings.TrimSuffix(path.Base(name), ".cue")
		p.keys = append(p.keys, key)
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			p.faults = append(p.faults, unreadable(name, err))
			p.files[key] = nil
			continue
		}
		if _, err := parser.ParseFile(name, data, parser.ParseComments); err != nil {
			b := (built{}).uselessFor(explain(name, err, nil))
			p.faults = append(p.faults, b.faults...)
			p.files[key] = nil
			continue
		}
		p.files[key] = &productFile{name: name, data: data}
	}
	return p
}

// Product finds a product of a kind by its pinned name, as in "morvane@B".
func (p *Products) Product(kind, name string) (*fact.Instance, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	one := p.find(kind, name)
	return one.instance, one.err
}

// Set returns the limits of a product that has been found.
func (p *Products) Set(name string) *limit.Set {
	p.mu.Lock()
	defer p.mu.Unlock()
	if one := p.ready[name]; one != nil {
		return one.set
	}
	return nil
}

// Faults lists the mistakes found in equipment data so far, in the order of
// files and lines.
func (p *Products) Faults() []limit.Fault {
	p.mu.Lock()
	defer p.mu.Unlock()
	out := append([]limit.Fault(nil), p.faults...)
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].At.File != out[j].At.File {
			return out[i].At.File < out[j].At.File
		}
		return out[i].At.Line < out[j].At.Line
	})
	return out
}

// Has tells whether a product with this key exists, whatever its revision.
func (p *Products) Has(key string) bool {
	_, ok := p.files[key]
	return ok
}

// Revision is one revision of one product: what its datasheet states and limits.
type Revision struct {
	Name     string // "morvane@B"
	Kind     string // "storage"
	At       fact.Origin
	Source   *limit.Source
	Instance *fact.Instance // what the datasheet states
	Set      *limit.Set     // what it limits
}

// All compiles and lists every revision of every product, in the order of files
// and their lines. One that cannot be used is left out; Faults says why.
func (p *Products) All() []*Revision {
	p.mu.Lock()
	defer p.mu.Unlock()
	var out []*Revision
	for _, key := range p.keys {
		f := p.files[key]
		if f == nil {
			continue
		}
		p.build(f)
		all := f.value.LookupPath(cue.MakePath(cue.Def("products"), cue.Str(key)))
		if f.useless || !all.Exists() {
			continue
		}
		for _, revision := range revisions(all) {
			name := key + "@" + revision
			v := all.LookupPath(cue.MakePath(cue.Str(revision)))
			kind := text(v, "kind")
			if one := p.find(kind, name); one.err == nil {
				out = append(out, &Revision{Name: name, Kind: kind, At: one.rules.Source.At, Source: &one.rules.Source, Instance: one.instance, Set: one.set})
			}
		}
	}
	return out
}

// build evaluates the file of a product, once.
func (p *Products) build(f *productFile) {
	if !f.done {
		f.built, f.done = p.loader.buildFile(f.name, f.data, true, nil), true
		p.faults = append(p.faults, f.faults...)
	}
}

func (p *Products) find(kind, name string) *product {
	one := p.ready[name]
	if one == nil {
		one = p.compile(name)
		p.ready[name] = one
	}
	if one.err == nil && one.rules.Product != kind { // whatever kind it was asked for first
		return &product{err: fmt.Errorf("%q is no %s", name, kind)}
	}
	return one
}

func (p *Products) compile(name string) *product {
	key, revision, pinned := strings.Cut(name, "@")
	f, exists := p.files[key]
	switch {
	case !exists:
		return &product{err: fmt.Errorf("there is no equipment data for %q%s", key, nearest.Hint(nearest.Of(key, p.keys)))}
	case !pinned:
		return &product{err: &fact.Unpinned{Product: key}}
	case f == nil:
		return &product{err: &fact.BrokenProduct{Product: key, File: path.Join(p.dir, key+".cue")}}
	}
	p.build(f)
	at := "#products." + key + "." + revision
	all := f.value.LookupPath(cue.MakePath(cue.Def("products"), cue.Str(key)))
	rev := all.LookupPath(cue.MakePath(cue.Str(revision)))
	switch {
	case f.useless:
		return &product{err: &fact.BrokenProduct{Product: key, File: f.name}}
	case f.left[at]:
		return &product{err: &fact.BrokenProduct{Product: name, File: f.name}}
	case !all.Exists():
		return &product{err: fmt.Errorf("%s does not define #products: %s", f.name, key)}
	case !rev.Exists():
		return &product{err: fmt.Errorf("the equipment data of %q has no revision %q; it has %s", key, revision, strings.Join(revisions(all), ", "))}
	}
	return p.read(name, rev, f.name)
}

// revisions lists the revisions of a product.
func revisions(v cue.Value) []string {
	var out []string
	it, err := v.Fields()
	for err == nil && it.Next() {
		out = append(out, it.Selector().Unquoted())
	}
	return out
}

// read turns a revision into an instance with values and a rule set.
func (p *Products) read(name string, v cue.Value, file string) *product {
	source := limit.Source{Name: "equipment/" + name, Title: text(v, "title"), Edition: text(v, "edition"), Kind: limit.Datasheet, Decision: limit.Guarded,
		DecidedBy: "The maker's datasheet; only the maker can consent to something else.", Address: text(v, "address"), At: origin(v.LookupPath(cue.ParsePath("title")))}
	if source.Title == "" || source.Edition == "" {
		p.faults = append(p.faults, limit.Fault{At: fact.Origin{File: file, Line: max(1, origin(v).Line)}, Code: "broken-definition", Message: fmt.Sprintf("%s lacks its title or edition", name), Mend: "state both as the datasheet prints them"})
	}
	kind := text(v, "kind")
	scope := p.shape.Scope("equipment." + kind)
	if scope == nil {
		return &product{err: fmt.Errorf("%q states no kind of equipment", name)}
	}
	in := &fact.Instance{Scope: scope, Key: name, File: file, Values: make([]fact.Value, scope.Slots()), Lines: map[string]fact.Origin{}}
	for _, l := range scope.Leaves {
		p.faults = append(p.faults, readFigure(in, l, v.LookupPath(cue.ParsePath(l.Inside())))...)
	}
	limits, broken, faults := readLimits(v.LookupPath(cue.ParsePath("limits")), source.Name)
	key, revision, _ := strings.Cut(name, "@")
	broken = append(broken, cutOut(p.files[key].left, "#products."+key+"."+revision, source.Name)...)
	rules := &limit.RuleSet{Source: source, Limits: limits, Product: kind, Broken: broken, Figures: in}
	set, more := limit.CompileSet(p.shape, rules)
	p.faults = append(p.faults, append(faults, more...)...)
	return &product{instance: in, set: set, rules: rules}
}
