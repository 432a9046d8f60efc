package report

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"witnessmark.example/checks/nearest"
)

// LimitsTargets reads the values of --output for reports on limits, of which
// formats lists the names, the default first. As for a lint, one report can go to
// standard output, and one into each file.
func LimitsTargets(texts, formats []string) ([]Target, error) {
	if len(texts) == 0 {
		texts = formats[:1]
	}
	taken := map[string]bool{}
	var out []Target
	for _, text := range texts {
		t, err := limitsTarget(text, formats)
		if err != nil {
			return nil, err
		}
		key := t.Path
		if key != "" {
			key = filepath.Clean(key)
		}
		switch {
		case taken[key] && key == "":
			return nil, errors.New("only one report can go to standard output; give the others a path, as in json:limits.json")
		case taken[key]:
			return nil, fmt.Errorf("two reports cannot go to the same file %s", t.Path)
		}
		taken[key] = true
		out = append(out, t)
	}
	return out, nil
}

func limitsTarget(text string, formats []string) (Target, error) {
	name, path, hasPath := strings.Cut(text, ":")
	if hasPath && path == "" {
		return Target{}, fmt.Errorf("the path behind %q is empty; leave the colon out to write to standard output", name+":")
	}
	if path == "-" {
		path = ""
	}
	for _, f := range formats {
		if f == name {
			return Target{Format{Name: name}, path}, nil
		}
	}
	return Target{}, fmt.Errorf("there is no output format %q here%s; formats are %s", name, nearest.Hint(nearest.Of(name, formats)), strings.Join(formats, ", "))
}

// pathOf returns how a path from the root is shown.
func (s Settings) pathOf() func(string) string {
	if s.Path == nil {
		return func(file string) string { return file }
	}
	return s.Path
}
