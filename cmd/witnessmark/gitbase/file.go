package gitbase

import (
	"io"
	"io/fs"
)

// file is an open file.
type file struct {
	info fs.FileInfo
	left []byte
}

func (f *file) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *file) Close() error               { return nil }

func (f *file) Read(p []byte) (int, error) {
	if len(f.left) == 0 && len(p) > 0 {
		return 0, io.EOF
	}
	n := copy(p, f.left)
	f.left = f.left[n:]
	return n, nil
}

// folder is an open folder.
type folder struct {
	tree *tree
	at   string
	node *node
	next int
}

func (f *folder) Stat() (fs.FileInfo, error) { return info{f.node}, nil }
func (f *folder) Close() error               { return nil }

func (f *folder) Read([]byte) (int, error) {
	return 0, &fs.PathError{Op: "read", Path: f.at, Err: fs.ErrInvalid}
}

// ReadDir lists the entries, as fs.ReadDirFile says.
func (f *folder) ReadDir(n int) ([]fs.DirEntry, error) {
	left := f.node.children[f.next:]
	if n > 0 && len(left) == 0 {
		return nil, io.EOF
	}
	if n > 0 && len(left) > n {
		left = left[:n]
	}
	f.next += len(left)
	out := make([]fs.DirEntry, len(left))
	for i, child := range left {
		out[i] = entry{tree: f.tree, at: join(f.at, child.name), info: info{child}}
	}
	return out, nil
}

func join(folder, name string) string {
	if folder == "." {
		return name
	}
	return folder + "/" + name
}

// entry is an entry of a folder.
type entry struct {
	tree *tree
	at   string
	info
}

// Info describes the entry, with its size.
func (e entry) Info() (fs.FileInfo, error) { return e.tree.info(e.at, e.n), nil }
