package define

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// definitionFiles lists the definition files of a firm's folder, sorted by name.
// A folder that cannot be read would leave its limits out without a word, so it
// is a fault; so is one that the root file names (rather than leaving it at the
// usual name, which a firm may have no need of) and that does not exist, and a
// definition in a folder below, which is not looked for. The firm's other folders
// of definitions may stand below.
func definitionFiles(fsys fs.FS, dir, usual string, others ...string) (names []string, faults []limit.Fault) {
	refuse := func(file, code, message, mend string) {
		faults = append(faults, limit.Fault{At: fact.Origin{File: file}, Code: code, Message: message, Mend: mend})
	}
	entries, err := fs.ReadDir(fsys, dir)
	switch {
	case errors.Is(err, fs.ErrNotExist) && dir != usual:
		refuse(dir, "not-found", "the folder that the root file names does not exist", "create it, or correct its name in the root file")
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		refuse(dir, "unreadable", "the folder could not be read, so that nothing in it is applied", "look at its permissions")
	}
	for _, e := range entries {
		name := path.Join(dir, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), "."):
		case !e.IsDir() && IsDefinition(name):
			names = append(names, name)
		case e.IsDir() && dir != "." && !slices.ContainsFunc(others, func(o string) bool { return name == o || strings.HasPrefix(o, name+"/") }):
			if below, _ := fs.Glob(fsys, path.Join(name, "*.cue")); len(below) > 0 {
				refuse(below[0], "not-read", "definitions in folders below "+dir+" are not read", "move it up into "+dir)
			}
		}
	}
	return names, faults
}
