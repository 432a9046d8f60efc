package jobfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"syscall"
)

// ReadFS reads one file of a file system with Read. Its name in the File is
// path. At most Limits.Bytes and one byte more are read, whatever size the file
// says it has. What cannot be read gives one Problem without position.
//
// Pipes and devices are told by their type before they are opened, since
// opening one may wait for ever, and again afterwards, in case the name was
// given to another file in between.
func ReadFS(fsys fs.FS, path string, lim Limits) (*File, []Problem) {
	return NewReader(lim).ReadFS(fsys, path)
}

// Reader reads one file after the other and uses its memory again: a File it
// returned is good until the next call. One Reader serves one goroutine.
type Reader struct {
	lim    Limits
	memory slab
	bytes  bytes.Buffer
}

// NewReader returns a reader with the limits, completed by their defaults.
func NewReader(lim Limits) *Reader { return &Reader{lim: lim.complete()} }

// ReadFS is like the function of that name.
func (r *Reader) ReadFS(fsys fs.FS, path string) (*File, []Problem) {
	data, problem := readBytes(fsys, path, r.lim.Bytes, &r.bytes)
	if problem != nil {
		return nil, []Problem{*problem}
	}
	return r.Read(path, data)
}

// Read is like the function of that name.
func (r *Reader) Read(name string, data []byte) (*File, []Problem) {
	return readWith(name, data, r.lim, &r.memory)
}

// readBytes returns the file's bytes in the memory of buf, or why there are none.
func readBytes(fsys fs.FS, path string, most int, buf *bytes.Buffer) ([]byte, *Problem) {
	if !fs.ValidPath(path) {
		return nil, readProblem(fsys, path, fs.ErrInvalid) // not every file system says so itself
	}
	info, err := fs.Stat(fsys, path)
	if err != nil {
		return nil, readProblem(fsys, path, err)
	}
	if p := typeProblem(info, most); p != nil {
		return nil, p
	}
	f, err := fsys.Open(path)
	if err != nil {
		return nil, readProblem(fsys, path, err)
	}
	defer f.Close() // read only: nothing is lost if closing fails
	if info, err = f.Stat(); err != nil {
		return nil, readProblem(fsys, path, err)
	}
	if p := typeProblem(info, most); p != nil {
		return nil, p
	}
	// The size only guides the first allocation; the limit holds by counting.
	buf.Reset()
	buf.Grow(int(max(info.Size(), 0)) + bytes.MinRead)
	if _, err = buf.ReadFrom(io.LimitReader(f, int64(most)+1)); err != nil {
		return nil, readProblem(fsys, path, err)
	}
	if buf.Len() > most {
		p := tooLarge(-1, most)
		return nil, &p
	}
	return buf.Bytes(), nil
}

// typeProblem refuses what is no ordinary file, or too large to read at all.
func typeProblem(info fs.FileInfo, most int) *Problem {
	mode := info.Mode()
	switch {
	case mode.IsDir():
		return &Problem{Code: CodeDirectory, Message: "this is a folder, not a file", Mend: "name the job file in it"}
	case !mode.IsRegular():
		return &Problem{Code: CodeNotAFile, Message: "this is " + special(mode) + ", not an ordinary file", Mend: "put an ordinary file in its place"}
	case info.Size() > int64(most):
		p := tooLarge(info.Size(), most)
		return &p
	}
	return nil
}

func special(mode fs.FileMode) string {
	switch {
	case mode&fs.ModeDevice != 0:
		return "a device"
	case mode&fs.ModeNamedPipe != 0:
		return "a pipe"
	case mode&fs.ModeSocket != 0:
		return "a socket"
	case mode&fs.ModeSymlink != 0:
		return "a link"
	}
	return "a special file"
}

// readProblem words an error of the file system.
func readProblem(fsys fs.FS, path string, err error) *Problem {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if info, lerr := fs.Lstat(fsys, path); lerr == nil && info.Mode()&fs.ModeSymlink != 0 {
			return &Problem{Code: CodeDanglingLink, Message: "this is a link to a file that is not there", Mend: "correct the link, or put the file in its place"}
		}
		return &Problem{Code: CodeNotFound, Message: "there is no such file", Mend: "check the name, capital letters included"}
	case errors.Is(err, syscall.ELOOP):
		return &Problem{Code: CodeLinkLoop, Message: "this is a link that leads back to itself", Mend: "correct the link, or put the file in its place"}
	case errors.Is(err, fs.ErrPermission):
		return &Problem{Code: CodePermission, Message: "the file may not be read by this user", Mend: "give read permission, on the folders above it too"}
	case errors.Is(err, syscall.EISDIR):
		return &Problem{Code: CodeDirectory, Message: "this is a folder, not a file", Mend: "name the job file in it"}
	case errors.Is(err, fs.ErrInvalid):
		return &Problem{Code: CodeBadPath, Message: "this is not a path inside the folder", Mend: "use a relative path with forward slashes and without .."}
	}
	reason := err
	var pathErr *fs.PathError
	if errors.As(err, &pathErr) && pathErr.Err != nil {
		reason = pathErr.Err // without the path, which the report prints already
	}
	return &Problem{Code: CodeUnreadable, Message: fmt.Sprintf("the file could not be read: %s", shown(reason.Error())), Mend: "try again; if it persists, check disk and network"}
}
