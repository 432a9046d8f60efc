package checks

import (
	"fmt"
	"io/fs"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/physics"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
	"witnessmark.example/schema"
)

// Shipped is what ships with the tool, read and compiled: shape, rule sets and
// tables. Nothing of it changes afterwards, so that one may serve any number of
// runs, at the same time too.
type Shipped struct {
	definitions *define.Definitions
	digest      string
	files       fs.FS // the CUE module that a firm's definitions import
	shape       *fact.Compiled
	sets        []compiledSet

	functions []quantity.Function // of the physics rooms
	tables    *table.Set          // that they look figures up in
}

// compiledSet is a rule set with what was wrong with it.
type compiledSet struct {
	set    *limit.Set
	faults []limit.Fault
}

// ReadShipped reads what ships with the tool. A run does so by itself unless
// Options bring what was read before; a process with a single run gains nothing
// by it. An error means that the build is broken.
func ReadShipped() (*Shipped, error) {
	own, digest, err := define.Decode(schema.Compiled)
	if err != nil {
		return nil, err
	}
	return compileShipped(own, digest, schema.Files)
}

// shippedFor returns what ships with the tool, or what Options put in its place.
func shippedFor(o Options) (*Shipped, error) {
	switch {
	case o.Schema != nil:
		return evaluated(o.Schema)
	case o.Shipped != nil:
		return o.Shipped, nil
	}
	return ReadShipped()
}

// evaluated reads a CUE module as if it shipped with the tool, by way of the same
// plain data.
func evaluated(module fs.FS) (*Shipped, error) {
	own, err := define.ReadOwn(module)
	if err != nil {
		return nil, err
	}
	data, err := own.Encode()
	if err != nil {
		return nil, err
	}
	own, digest, err := define.Decode(data)
	if err != nil {
		return nil, err
	}
	return compileShipped(own, digest, module)
}

func compileShipped(own *define.Definitions, digest string, files fs.FS) (*Shipped, error) {
	tables, err := table.NewSet(own.Tables)
	if err != nil {
		return nil, fmt.Errorf("the tool's own tables: %w", err)
	}
	functions := physics.Functions(tables)
	shape, err := fact.Compile(&own.Shape, functions)
	if err != nil {
		return nil, fmt.Errorf("the tool's own definitions: %w", err)
	}
	s := &Shipped{definitions: own, digest: digest, files: files, shape: shape, functions: functions, tables: tables}
	for i := range own.RuleSets {
		set, faults := limit.CompileSet(shape, &own.RuleSets[i])
		s.sets = append(s.sets, compiledSet{set, faults})
	}
	return s, nil
}
