package since

import (
	"bytes"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/jobfile"
)

// Moves finds the job files of the head that stood under another name in the base:
// by the same content, else by the same job number. Only a file of the base that is
// not in the head can have been moved, and only where one file of each side fits: a
// copy of a job is new.
func Moves(b *Base, base, head fs.FS) map[string]string {
	gone := map[string]*baseJob{}
	for file, j := range b.jobs {
		if _, err := fs.Stat(head, file); errors.Is(err, fs.ErrNotExist) {
			gone[file] = j
		}
	}
	if len(gone) == 0 {
		return nil
	}
	added := newJobs(base, head)
	moves := map[string]string{}
	pair(moves, gone, added, func(j *baseJob) string { return j.digest }, func(a addedJob) string { return a.digest })
	pair(moves, gone, added, func(j *baseJob) string { return j.number }, func(a addedJob) string { return a.number })
	return moves
}

// addedJob is a job file that the base does not have under its name.
type addedJob struct{ digest, number string }

// newJobs reads the files that look like jobs and are not in the base, wherever they
// are: one that is no job of the firm can only keep another from being paired.
func newJobs(base, head fs.FS) map[string]addedJob {
	out := map[string]addedJob{}
	reader := jobfile.NewReader(jobfile.Limits{})
	walk(head, func(name string) {
		switch strings.ToLower(path.Ext(name)) {
		case ".yaml", ".yml", ".json":
		default:
			return
		}
		if _, err := fs.Stat(base, name); err == nil {
			return
		}
		if f, _ := reader.ReadFS(head, name); f != nil {
			a := addedJob{digest: f.Digest}
			if n := f.Root.Field("job"); n != nil && n.Kind == jobfile.Scalar {
				a.number = strings.Clone(n.Text)
			}
			out[name] = a
		}
	})
	return out
}

// pair takes out of gone and added what has the same mark, if no other has it.
func pair(moves map[string]string, gone map[string]*baseJob, added map[string]addedJob, was func(*baseJob) string, is func(addedJob) string) {
	before, after := map[string][]string{}, map[string][]string{}
	for file, j := range gone {
		before[was(j)] = append(before[was(j)], file)
	}
	for file, a := range added {
		after[is(a)] = append(after[is(a)], file)
	}
	for mark, files := range before {
		if mark != "" && len(files) == 1 && len(after[mark]) == 1 {
			moves[after[mark][0]] = files[0]
			delete(gone, files[0])
			delete(added, after[mark][0])
		}
	}
}

// Definitions lists the definition files that are not the same in base and head,
// sorted.
func Definitions(base, head fs.FS) []string {
	seen := map[string]bool{}
	var out []string
	look := func(name string) {
		if !define.IsDefinition(name) || seen[name] {
			return
		}
		seen[name] = true
		a, errA := fs.ReadFile(base, name)
		b, errB := fs.ReadFile(head, name)
		if (errA == nil) != (errB == nil) || !bytes.Equal(a, b) {
			out = append(out, name)
		}
	}
	walk(base, look)
	walk(head, look)
	slices.Sort(out)
	return out
}

// walk calls look for every file that is in no hidden folder and not among the copies
// of what ships with the tool.
func walk(fsys fs.FS, look func(name string)) {
	_ = fs.WalkDir(fsys, ".", func(name string, e fs.DirEntry, err error) error { // what cannot be read, the run itself reports
		switch {
		case err != nil:
			return nil
		case e.IsDir() && name != "." && (strings.HasPrefix(e.Name(), ".") || e.Name() == "cue.mod"):
			return fs.SkipDir
		case !e.IsDir():
			look(name)
		}
		return nil
	})
}
