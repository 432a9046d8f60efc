package checks

import (
	"io/fs"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/table"
)

// Library is everything that jobs are judged by, without any job: the shape,
// the rule sets that ship and those of the firm, and all of its equipment data.
// The commands that explain, list and check definitions read it.
type Library struct {
	Shape    *fact.Compiled
	Sets     []*limit.Set // rule sets, sorted by name
	Products []*define.Revision
	Tables   []table.Table // published figures that calculations look up
	Firm     *define.Firm
	HasFirm  bool
	Root     string // folder of the root file; of no meaning without a firm
	Files    fs.FS  // the firm's files, from the root
	Faults   []limit.Fault
	Own      map[string]bool // rule sets that ship with the tool, by name

	engine *engine
}

// OpenLibrary reads the definitions that a run with these options would judge
// by, equipment data in full. An error means that there is nothing to read at
// all; mistakes in definitions are in Faults.
func OpenLibrary(o Options) (*Library, error) {
	where, err := locate(o)
	if err != nil {
		return nil, err
	}
	e, own, _, err := prepare(o, where)
	if err != nil {
		return nil, err
	}
	l := &Library{Shape: e.shape, Firm: e.firm, HasFirm: where.hasRoot, Root: where.folder, Files: where.fsys, Own: map[string]bool{}, Tables: own.Tables, engine: e}
	for i := range own.RuleSets {
		l.Own[own.RuleSets[i].Source.Name] = true
	}
	for _, name := range e.book.names {
		l.Sets = append(l.Sets, e.book.sets[name])
	}
	l.Products = e.firm.Products.All()
	l.Faults = e.book.allFaults(e.firm)
	return l, nil
}

// Plan ties the rule sets of these names, those that always apply, and these
// products (as in "morvane@B") together, as for a job that uses them.
func (l *Library) Plan(ruleSets, products []string) *limit.Plan {
	return l.engine.book.plan(ruleSets, products)
}

// Limits lists every limit: of rule sets by their name, then of products.
func (l *Library) Limits() []*limit.Compiled {
	var out []*limit.Compiled
	for _, s := range l.Sets {
		out = append(out, s.Limits...)
	}
	for _, p := range l.Products {
		out = append(out, p.Set.Limits...)
	}
	return out
}
