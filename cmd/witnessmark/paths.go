package main

import (
	"os"
	"path/filepath"
	"strings"

	"witnessmark.example/checks"
	"witnessmark.example/checks/define"
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
	root := rootOf(o, here)
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

// rootOf finds the folder that the paths of a run count from, by the same rule
// as the engine: the folder of the root file above the first path, else that
// path's own folder.
func rootOf(o checks.Options, here string) string {
	absolute := func(path string) string {
		if !filepath.IsAbs(path) {
			path = filepath.Join(here, path)
		}
		return filepath.Clean(path)
	}
	if o.Root != "" {
		return absolute(o.Root)
	}
	start := here
	if len(o.Paths) > 0 {
		start = absolute(o.Paths[0])
		if info, err := os.Lstat(start); err == nil && !info.IsDir() {
			start = filepath.Dir(start)
		}
	}
	for dir := start; ; dir = filepath.Dir(dir) {
		if _, err := os.Lstat(filepath.Join(dir, define.RootFile)); err == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			return start
		}
	}
}
