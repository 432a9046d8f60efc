package define

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"sort"
	"sync"

	"cuelang.org/go/cue/format"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/table"
)

// Definitions are the tool's own definitions as plain data.
type Definitions struct {
	Shape    fact.Shape
	RuleSets []limit.RuleSet
	Tables   []table.Table
}

// ReadOwn reads the tool's own definitions from its CUE module. Anything that is
// not understood is an error: what ships must be whole.
func ReadOwn(own fs.FS) (*Definitions, error) {
	l := newLoader(own)
	shape, err := readShape(l)
	if err != nil {
		return nil, err
	}
	if err := readMeasures(l, shape); err != nil {
		return nil, err
	}
	d := &Definitions{Shape: *shape}
	if d.Tables, err = readTables(l, own); err != nil {
		return nil, err
	}
	dirs, err := ruleDirs(own)
	if err != nil {
		return nil, err
	}
	for _, dir := range dirs {
		v, err := l.ownPackage(dir)
		if err != nil {
			return nil, fmt.Errorf("package %s: %w", dir, err)
		}
		if err := v.Validate(); err != nil {
			return nil, fmt.Errorf("package %s: %w", dir, err)
		}
		sets, faults := readRuleSets(v, nil)
		if len(faults) > 0 {
			return nil, fmt.Errorf("%s: %s", faults[0].At, faults[0].Message)
		}
		d.RuleSets = append(d.RuleSets, sets...)
	}
	sort.Slice(d.RuleSets, func(i, j int) bool { return d.RuleSets[i].Source.Name < d.RuleSets[j].Source.Name })
	return d, nil
}

// ruleDirs lists the folders below rules that hold CUE files.
func ruleDirs(own fs.FS) ([]string, error) {
	seen := map[string]bool{}
	var out []string
	err := fs.WalkDir(own, "rules", func(p string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && path.Ext(p) == ".cue" && !seen[path.Dir(p)] {
			seen[path.Dir(p)] = true
			out = append(out, path.Dir(p))
		}
		return err
	})
	return out, err
}

// FactsFile returns the generated package facts for a module, formatted.
func FactsFile(own fs.FS) ([]byte, error) {
	l := newLoader(own)
	shape, err := readShape(l)
	if err != nil {
		return nil, err
	}
	if err := readMeasures(l, shape); err != nil {
		return nil, err
	}
	return format.Source([]byte(factsFile(shape)))
}

// parts are what the definitions are encoded as, a line of JSON for each, so that
// they can be decoded side by side.
func (d *Definitions) parts() []any { return []any{&d.Shape, &d.RuleSets, &d.Tables} }

// Encode writes the definitions as the lines of JSON that are shipped. Nobody
// reads them, and every run decodes them: so without indentation.
func (d *Definitions) Encode() ([]byte, error) {
	var out []byte
	for _, part := range d.parts() {
		data, err := json.Marshal(part)
		if err != nil {
			return nil, err
		}
		out = append(append(out, data...), '\n')
	}
	return out, nil
}

// Decode reads definitions written by Encode, and their digest.
func Decode(data []byte) (*Definitions, string, error) {
	var d Definitions
	var group sync.WaitGroup
	parts, lines := d.parts(), bytes.Split(bytes.TrimSuffix(data, []byte("\n")), []byte("\n"))
	if len(lines) != len(parts) {
		return nil, "", fmt.Errorf("read the compiled definitions: %d lines instead of %d", len(lines), len(parts))
	}
	errs := make([]error, len(parts))
	for i := range parts {
		group.Go(func() { errs[i] = json.Unmarshal(lines[i], parts[i]) })
	}
	group.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, "", fmt.Errorf("read the compiled definitions: %w", err)
	}
	sum := sha256.Sum256(data)
	return &d, hex.EncodeToString(sum[:]), nil
}
