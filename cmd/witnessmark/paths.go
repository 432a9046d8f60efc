package main

import (
	"path/filepath"
	"strings"

	"witnessmark.example/checks"
)

// pathsFor decides how text shows the paths of a run: nil for as they are, from
// the root, or else from the working folder. On its own it takes the latter only
// on a terminal, where people click on them; a report that is kept must not
// depend on where it was made.
func pathsFor(option string, toStdout bool, o checks.Options, around surroundings) (func(string) string, error) {
	fromHere := option == "working-directory" || option == "auto" && toStdout && around.terminal
	if !fromHere {
		return nil, nil
	}
	here, err := around.folder()
	if err != nil {
		return nil, err
	}
	root, err := rootOf(o, here)
	if err != nil {
		return nil, nil // the run itself will say what is wrong with the path
	}
	return func(file string) string {
		path, err := filepath.Rel(here, filepath.Join(root, filepath.FromSlash(file)))
		if err != nil || isShipped(file) { // another drive, or no file of the user's at all
			return file
		}
		return filepath.ToSlash(path)
	}, nil
}

// isShipped tells whether a definition belongs to the tool itself: it lies in no
// folder of the user's.
func isShipped(file string) bool {
	return strings.HasPrefix(file, "schema/") && strings.HasSuffix(file, ".cue")
}

// rootOf finds the folder that the paths of a run count from, seen from here.
func rootOf(o checks.Options, here string) (string, error) {
	absolute := func(path string) string {
		if !filepath.IsAbs(path) {
			path = filepath.Join(here, path)
		}
		return path
	}
	from := checks.Options{Paths: []string{here}}
	if o.Root != "" {
		from.Root = absolute(o.Root)
		from.Paths = []string{from.Root} // wherever here is
	}
	if len(o.Paths) > 0 {
		from.Paths = []string{absolute(o.Paths[0])}
	}
	return checks.RootOf(from)
}
