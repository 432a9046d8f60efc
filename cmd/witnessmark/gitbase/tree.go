package gitbase

import (
	"fmt"
	"io/fs"
	"path"
	"sort"
	"strings"
	"sync"
	"syscall"
	"time"
)

// tree is the content of one commit as a file system. Files are read when they are
// first opened. It is safe for concurrent use.
type tree struct {
	nodes      map[string]*node // by path from the top; "." is the top
	submodules []string
	top        string // folder of the work tree

	mu     sync.Mutex // guards what is read
	reader *reader
}

// node is one file, folder or link.
type node struct {
	name     string // last part of its path
	mode     fs.FileMode
	object   string // of a file or link
	children []*node

	read bool
	data []byte
	size int64
	err  error
}

// newTree reads the output of ls-tree -r -z.
func newTree(listing, top string) (*tree, error) {
	t := &tree{nodes: map[string]*node{".": {name: ".", mode: fs.ModeDir | 0o755}}, top: top}
	for entry := range strings.SplitSeq(strings.TrimSuffix(listing, "\x00"), "\x00") {
		if entry == "" {
			continue // an empty tree
		}
		meta, name, ok := strings.Cut(entry, "\t")
		parts := strings.Fields(meta)
		if !ok || len(parts) != 3 {
			return nil, fmt.Errorf("git ls-tree wrote a line that is not understood: %q", entry)
		}
		n := &node{name: path.Base(name), object: parts[2]}
		switch parts[0] {
		case "160000":
			t.submodules = append(t.submodules, name)
			continue
		case "120000":
			n.mode = fs.ModeSymlink | 0o777
		default:
			n.mode = 0o644
		}
		t.nodes[name] = n
		t.under(path.Dir(name)).add(n)
	}
	for _, n := range t.nodes {
		sort.Slice(n.children, func(i, k int) bool { return n.children[i].name < n.children[k].name })
	}
	return t, nil
}

// under returns the folder of a name, and makes it and those above where they are not
// there yet.
func (t *tree) under(name string) *node {
	if n := t.nodes[name]; n != nil {
		return n
	}
	n := &node{name: path.Base(name), mode: fs.ModeDir | 0o755}
	t.nodes[name] = n
	t.under(path.Dir(name)).add(n)
	return n
}

func (n *node) add(child *node) { n.children = append(n.children, child) }

// find returns what a path leads to, following links on the way, and one at its end
// if follow says so. A link that leads out of the repository leads nowhere.
func (t *tree) find(op, name string, follow bool) (string, *node, error) {
	fail := func(err error) (string, *node, error) {
		return "", nil, &fs.PathError{Op: op, Path: name, Err: err}
	}
	if !fs.ValidPath(name) {
		return fail(fs.ErrInvalid)
	}
	const most = 40 // links on the way, as the system has it
	todo, at, links := strings.Split(name, "/"), ".", 0
	for len(todo) > 0 {
		next := path.Join(at, todo[0])
		todo = todo[1:]
		if next == ".." || strings.HasPrefix(next, "../") {
			return fail(fs.ErrNotExist)
		}
		n := t.nodes[next]
		if n == nil {
			return fail(fs.ErrNotExist)
		}
		if n.mode&fs.ModeSymlink == 0 || len(todo) == 0 && !follow {
			at = next
			continue
		}
		if links++; links > most {
			return fail(syscall.ELOOP)
		}
		target, err := t.content(next, n)
		switch {
		case err != nil:
			return fail(err)
		case path.IsAbs(string(target)):
			return fail(fs.ErrNotExist)
		}
		todo = append(strings.Split(string(target), "/"), todo...)
	}
	return at, t.nodes[at], nil
}

// Open opens a file or folder.
func (t *tree) Open(name string) (fs.File, error) {
	at, n, err := t.find("open", name, true)
	if err != nil {
		return nil, err
	}
	if n.mode.IsDir() {
		return &folder{tree: t, at: at, node: n}, nil
	}
	data, err := t.content(at, n)
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: err}
	}
	return &file{info: t.info(at, n), left: data}, nil
}

// Stat follows links.
func (t *tree) Stat(name string) (fs.FileInfo, error) {
	at, n, err := t.find("stat", name, true)
	if err != nil {
		return nil, err
	}
	return t.info(at, n), nil
}

// Lstat does not.
func (t *tree) Lstat(name string) (fs.FileInfo, error) {
	at, n, err := t.find("lstat", name, false)
	if err != nil {
		return nil, err
	}
	return t.info(at, n), nil
}

// ReadLink returns where a link leads.
func (t *tree) ReadLink(name string) (string, error) {
	at, n, err := t.find("readlink", name, false)
	if err != nil {
		return "", err
	}
	if n.mode&fs.ModeSymlink == 0 {
		return "", &fs.PathError{Op: "readlink", Path: name, Err: fs.ErrInvalid}
	}
	data, err := t.content(at, n)
	return string(data), err
}

// info describes a file; its size is known once it was read.
func (t *tree) info(at string, n *node) fs.FileInfo {
	if !n.mode.IsDir() {
		_, _ = t.content(at, n) // an error is said by Open
	}
	return info{n}
}

// info is the description of a node.
type info struct{ n *node }

func (i info) Name() string               { return i.n.name }
func (i info) Size() int64                { return i.n.size }
func (i info) Mode() fs.FileMode          { return i.n.mode }
func (i info) ModTime() time.Time         { return time.Time{} }
func (i info) IsDir() bool                { return i.n.mode.IsDir() }
func (i info) Sys() any                   { return nil }
func (i info) Type() fs.FileMode          { return i.n.mode.Type() }
func (i info) Info() (fs.FileInfo, error) { return i, nil }
