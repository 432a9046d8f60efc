package report

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"witnessmark.example/checks/nearest"
)

// Target is where one report goes: a format, and a path or standard output.
type Target struct {
	Format Format
	Path   string // empty for standard output
}

// ParseTarget reads FORMAT[:PATH]; without a path, or with "-", the report goes
// to standard output.
func ParseTarget(text string) (Target, error) {
	name, path, hasPath := strings.Cut(text, ":")
	if hasPath && path == "" {
		return Target{}, fmt.Errorf("the path behind %q is empty; leave the colon out to write to standard output", name+":")
	}
	if path == "-" {
		path = ""
	}
	for _, f := range Formats() {
		if f.Name == name {
			return Target{f, path}, nil
		}
	}
	return Target{}, fmt.Errorf("there is no output format %q%s; formats are %s", name, nearest.Hint(nearest.Of(name, FormatNames())), strings.Join(FormatNames(), ", "))
}

// ParseTargets reads the values of --output; none at all means text on standard
// output. Only one report can go there, and only one into each file.
func ParseTargets(texts []string) ([]Target, error) {
	if len(texts) == 0 {
		return []Target{{Format: Formats()[0]}}, nil
	}
	taken := map[string]bool{}
	var out []Target
	for _, text := range texts {
		t, err := ParseTarget(text)
		if err != nil {
			return nil, err
		}
		key := t.Path
		if key != "" {
			key = filepath.Clean(key)
		}
		switch {
		case taken[key] && key == "":
			return nil, errors.New("only one report can go to standard output; give the others a path, as in json:report.json")
		case taken[key]:
			return nil, fmt.Errorf("two reports cannot go to the same file %s", t.Path)
		}
		taken[key] = true
		out = append(out, t)
	}
	return out, nil
}

// File is an open report. A regular file appears under its name only when Commit
// is called, whole or not at all; anything else (standard output, a device, a
// pipe) is written as the report comes.
type File struct {
	io.Writer
	file  *os.File // nil for standard output
	final string   // what file is renamed to; empty where it is written in place
}

// Open makes ready to write to the target.
func (t Target) Open(stdout io.Writer) (*File, error) {
	if t.Path == "" {
		return &File{Writer: stdout}, nil
	}
	path, mode := t.Path, fs.FileMode(0o666)
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real // replace what a link leads to, not the link
	}
	switch info, err := os.Stat(path); {
	case err == nil && info.IsDir():
		return nil, fmt.Errorf("write %s: it is a folder", t.Path)
	case err == nil && !info.Mode().IsRegular():
		f, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			return nil, fmt.Errorf("write %s: %w", t.Path, Cause(err))
		}
		return &File{Writer: f, file: f}, nil
	case err == nil:
		mode = info.Mode().Perm()
	}
	f, err := createBeside(path, mode)
	if err != nil {
		return nil, fmt.Errorf("write %s: %w", t.Path, Cause(err))
	}
	return &File{Writer: f, file: f, final: path}, nil
}

// createBeside creates a file of a free name beside path. Names are tried in
// order, so that nothing depends on chance.
func createBeside(path string, mode fs.FileMode) (*os.File, error) {
	const attempts, longest = 1000, 200
	folder, name := filepath.Split(path)
	name = name[:min(len(name), longest)] // a name may have 255 bytes, and this one becomes longer
	for n := 1; ; n++ {
		f, err := os.OpenFile(filepath.Join(folder, "."+name+"."+strconv.Itoa(n)+".tmp"), os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if err == nil || !errors.Is(err, fs.ErrExist) || n == attempts {
			return f, err
		}
	}
}

// Commit puts the finished report in place.
func (f *File) Commit() error {
	if f.file == nil {
		return nil
	}
	if f.final == "" {
		return Cause(f.file.Close())
	}
	err := f.file.Sync()
	if closed := f.file.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(f.file.Name(), f.final)
	}
	if err != nil {
		_ = os.Remove(f.file.Name()) // nothing more can be done about it
	}
	return Cause(err)
}

// Abort drops a report that is not complete. What stood under its name stays.
func (f *File) Abort() {
	if f.file == nil {
		return
	}
	_ = f.file.Close()
	if f.final != "" {
		_ = os.Remove(f.file.Name())
	}
}

// Cause takes the plain cause out of an error of the file system, which would
// otherwise name a temporary file.
func Cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
