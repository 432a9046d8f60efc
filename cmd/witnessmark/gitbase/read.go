package gitbase

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
)

// mostBytes is what is read of one file. No job file or definition is as large; of a
// larger file only the size is known, by which it is refused.
const mostBytes = 64 << 20

// reader is a running git cat-file --batch.
type reader struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Reader
}

// start starts what reads the objects.
func (t *tree) start(ctx context.Context, g *git) error {
	c := g.command(ctx, "cat-file", "--batch")
	in, err := c.StdinPipe()
	if err != nil {
		return err
	}
	out, err := c.StdoutPipe()
	if err != nil {
		return err
	}
	if err := c.Start(); err != nil {
		return fmt.Errorf("git cat-file could not be run: %w", err)
	}
	t.reader = &reader{cmd: c, in: in, out: bufio.NewReaderSize(out, 1<<16)}
	return nil
}

// close ends what reads the objects. What was read stays.
func (t *tree) close() {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.reader == nil {
		return
	}
	_ = t.reader.in.Close() // it ends by itself then
	_, _ = io.Copy(io.Discard, t.reader.out)
	_ = t.reader.cmd.Wait()
	t.reader = nil
}

// content returns the bytes of a file or link.
func (t *tree) content(at string, n *node) ([]byte, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if !n.read {
		n.read = true
		if t.reader == nil {
			n.err = errors.New("the base is closed")
			return nil, n.err
		}
		if n.data, n.size, n.err = t.reader.object(n.object); n.err == nil && n.mode.IsRegular() {
			n.data, n.err = t.asCheckedOut(at, n.data)
			n.size = max(n.size, int64(len(n.data)))
		}
	}
	return n.data, n.err
}

// object reads one object. Of one that is too large the size alone is returned.
func (r *reader) object(name string) ([]byte, int64, error) {
	if _, err := io.WriteString(r.in, name+"\n"); err != nil {
		return nil, 0, fmt.Errorf("git cat-file ended early: %w", err)
	}
	head, err := r.out.ReadString('\n')
	if err != nil {
		return nil, 0, fmt.Errorf("git cat-file ended early: %w", err)
	}
	parts := strings.Fields(head)
	if len(parts) != 3 {
		return nil, 0, errors.New("git has lost this object: " + strings.TrimSpace(head))
	}
	size, err := strconv.ParseInt(parts[2], 10, 64)
	if err != nil {
		return nil, 0, fmt.Errorf("git cat-file wrote a line that is not understood: %q", head)
	}
	if size > mostBytes {
		_, err = io.CopyN(io.Discard, r.out, size+1)
		return nil, size, err
	}
	data := make([]byte, size+1) // with the line end behind it
	if _, err := io.ReadFull(r.out, data); err != nil {
		return nil, 0, fmt.Errorf("git cat-file ended early: %w", err)
	}
	return data[:size:size], size, nil
}

// pointer begins a file of which git keeps only where its content is.
var pointer = []byte("version https://git-lfs")

// errPointer says that the content of a file is not in the repository.
var errPointer = errors.New("the repository holds only a pointer to the content of this file, which is kept elsewhere")

// asCheckedOut returns the bytes of a file as they lie in the work tree where that
// holds the same file: git may write other line ends there, and may keep a large file
// elsewhere. Neither is a change.
func (t *tree) asCheckedOut(at string, data []byte) ([]byte, error) {
	const longestPointer = 1024
	here := func() []byte {
		lying, err := os.ReadFile(filepath.Join(t.top, filepath.FromSlash(at)))
		if err != nil {
			return nil
		}
		return lying
	}
	if len(data) < longestPointer && bytes.HasPrefix(data, pointer) {
		_, rest, _ := bytes.Cut(data, []byte("\noid sha256:"))
		want, _, _ := bytes.Cut(rest, []byte("\n"))
		lying := here()
		if sum := sha256.Sum256(lying); lying == nil || hex.EncodeToString(sum[:]) != string(want) {
			return nil, errPointer
		}
		return lying, nil
	}
	info, err := os.Stat(filepath.Join(t.top, filepath.FromSlash(at)))
	ends := int64(bytes.Count(data, []byte("\n")))
	if err != nil || !info.Mode().IsRegular() || ends == 0 || info.Size() != int64(len(data))+ends {
		return data, nil
	}
	if lying := here(); bytes.Equal(bytes.ReplaceAll(lying, []byte("\r\n"), []byte("\n")), data) {
		return lying, nil
	}
	return data, nil
}
