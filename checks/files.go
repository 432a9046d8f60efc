package checks

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sort"
	"strings"

	"witnessmark.example/checks/define"
)

// place is where a run looks: the root, its files, and which of the job files
// under it were asked for.
type place struct {
	fsys    fs.FS
	folder  string   // of the root, as the system names it
	hasRoot bool     // a root file is there
	wanted  []string // asked for, from the root; "." for all
}

// locate finds the root file above the paths, or takes the folder given. Without
// a root file the first path's folder is the root of the run.
func locate(o Options) (*place, error) {
	paths := o.Paths
	switch {
	case len(paths) > 0:
	case o.FS == nil && o.Root != "" && !isBelow(".", o.Root):
		paths = []string{o.Root}
	default:
		paths = []string{"."}
	}
	if o.FS != nil {
		_, err := fs.Stat(o.FS, define.RootFile)
		return &place{fsys: o.FS, folder: ".", hasRoot: err == nil, wanted: paths}, nil
	}
	p := &place{}
	for _, given := range paths {
		abs, err := filepath.Abs(given)
		if err != nil {
			return nil, fmt.Errorf("find %s: %w", given, err)
		}
		info, err := os.Lstat(abs)
		if err != nil {
			return nil, fmt.Errorf("%s: there is no such file or folder", given)
		}
		root, has, err := rootFor(abs, info.IsDir(), o.Root)
		if err != nil {
			return nil, err
		}
		if p.folder != "" && p.folder != root {
			return nil, fmt.Errorf("%s and %s belong to different repositories (%s, %s); lint them one by one", paths[0], given, p.folder, root)
		}
		p.folder, p.hasRoot = root, has
		rel, err := filepath.Rel(root, abs)
		if err != nil || strings.HasPrefix(rel, "..") && o.Root != "" {
			return nil, fmt.Errorf("%s is not below the root %s", given, o.Root)
		}
		if strings.HasPrefix(rel, "..") {
			rel = "."
		}
		p.wanted = append(p.wanted, filepath.ToSlash(rel))
	}
	p.fsys = os.DirFS(p.folder)
	return p, nil
}

// isBelow tells whether a path is the folder or in it.
func isBelow(path, folder string) bool {
	abs, err := filepath.Abs(path)
	in, err2 := filepath.Abs(folder)
	if err != nil || err2 != nil {
		return false
	}
	rel, err := filepath.Rel(in, abs)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// RootOf returns the folder that a run's paths count from: that of the root file
// above the paths of Options, else the first path's own folder.
func RootOf(o Options) (string, error) {
	p, err := locate(o)
	if err != nil {
		return "", err
	}
	return p.folder, nil
}

// Extent is what a run looks at: where its root is, and which files were asked for.
type Extent struct {
	Folder  string // of the root
	HasRoot bool   // a root file is there
	wanted  []string
}

// ExtentOf returns what a run by these Options looks at.
func ExtentOf(o Options) (*Extent, error) {
	p, err := locate(o)
	if err != nil {
		return nil, err
	}
	return &Extent{Folder: p.folder, HasRoot: p.hasRoot, wanted: p.wanted}, nil
}

// Wants tells whether a file, named from the root, was asked for, were it there.
func (x *Extent) Wants(file string) bool { return (&place{wanted: x.wanted}).isWanted(file) }

// rootFor walks up from a path to the folder of the root file.
func rootFor(abs string, isDir bool, given string) (root string, has bool, err error) {
	start := abs
	if !isDir {
		start = filepath.Dir(abs)
	}
	if given != "" {
		root, err = filepath.Abs(given)
		if err == nil {
			_, err = os.Stat(filepath.Join(root, define.RootFile))
		}
		if err != nil {
			return "", false, fmt.Errorf("%s holds no root file %s", given, define.RootFile)
		}
		return root, true, nil
	}
	for dir := start; ; dir = filepath.Dir(dir) {
		if _, err := os.Lstat(filepath.Join(dir, define.RootFile)); err == nil {
			return dir, true, nil
		}
		if dir == filepath.Dir(dir) {
			return start, false, nil
		}
	}
}

// jobFile is one file of a run. A file that was not asked for is read all the
// same, so that sums over premises and checks across files are right.
type jobFile struct {
	name   string
	wanted bool
}

// jobFiles lists the job files in order: those in the firm's folder of jobs, and
// those that were asked for by name.
func (p *place) jobFiles(jobs string) ([]jobFile, []Problem) {
	found := map[string]bool{}
	var problems []Problem
	folder := jobs
	if !p.hasRoot {
		folder = "."
	}
	problems = append(problems, p.collect(folder, found)...)
	for _, w := range p.wanted {
		if info, err := fs.Stat(p.fsys, w); err != nil || !info.IsDir() {
			found[w] = true // read whatever its name, with a clear message if it cannot be
		}
	}
	problems = append(problems, p.unmatched(folder, found)...)
	if len(found) == 0 && len(problems) == 0 {
		problems = append(problems, Problem{File: folder, Code: "no-job-file", Message: "there is no job file here, so nothing was checked",
			Mend: "write one for each installation, ending in .yaml, .yml or .json"})
	}
	out := make([]jobFile, 0, len(found))
	for name := range found {
		out = append(out, jobFile{name, p.isWanted(name)})
	}
	sort.Slice(out, func(i, j int) bool { return out[i].name < out[j].name })
	return out, problems
}

// unmatched reports the folders that were asked for and hold no job file that is
// read: what was meant to be checked there was not.
func (p *place) unmatched(folder string, found map[string]bool) []Problem {
	var problems []Problem
	for _, w := range p.wanted {
		matched := w == "." || w == folder || found[w]
		for name := range found {
			matched = matched || strings.HasPrefix(name, w+"/")
		}
		if !matched {
			problems = append(problems, Problem{File: w, Code: "no-job-file", Message: "no job file is read below this folder",
				Mend: "job files end in .yaml, .yml or .json and stand below " + folder + ", the folder that the root file names"})
		}
	}
	return problems
}

func (p *place) isWanted(name string) bool {
	for _, w := range p.wanted {
		if w == "." || w == name || strings.HasPrefix(name, w+"/") {
			return true
		}
	}
	return false
}

// collect lists the job files below a folder. A folder that cannot be read is a
// problem: what stands in it was not checked.
func (p *place) collect(folder string, found map[string]bool) []Problem {
	var problems []Problem
	err := fs.WalkDir(p.fsys, folder, func(name string, e fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist) && name == folder:
			problems = append(problems, Problem{File: name, Code: "not-found", Message: "the folder of job files does not exist", Mend: "create it, or name another one in the root file"})
		case err != nil:
			problems = append(problems, Problem{File: name, Code: "unreadable", Message: "the folder could not be read", Mend: "look at its permissions"})
		case e.IsDir() && name != folder && strings.HasPrefix(e.Name(), "."):
			return fs.SkipDir
		case e.Type()&fs.ModeSymlink != 0 && p.isFolder(name):
			problems = append(problems, Problem{File: name, Code: "not-read", Message: "this is a link to a folder; what stands in it was not read", Mend: "move the folder here, or name it in the root file"})
		case !e.IsDir() && isJobName(name):
			found[name] = true
		}
		return nil
	})
	if err != nil {
		problems = append(problems, Problem{File: folder, Code: "unreadable", Message: "the folder could not be read", Mend: "look at its permissions"})
	}
	return problems
}

// isFolder tells whether a name leads to a folder, following links.
func (p *place) isFolder(name string) bool {
	info, err := fs.Stat(p.fsys, name)
	return err == nil && info.IsDir()
}

// isJobName tells job files by their ending, whatever its capitals.
func isJobName(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".yaml", ".yml", ".json":
		return !strings.HasPrefix(path.Base(name), ".")
	}
	return false
}
