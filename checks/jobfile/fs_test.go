package jobfile

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fakeFS answers with one file whose type, size, content and errors are set
// by the test; a real one would need a user who is not root.
type fakeFS struct {
	statErr, openErr, readErr error
	mode, opened              fs.FileMode // by name, and of the file once open
	size                      int64       // as claimed
	content                   int64       // bytes there really are
	read                      int64       // bytes asked for
}

func (f *fakeFS) Stat(string) (fs.FileInfo, error) { return fakeInfo{f.mode, f.size}, f.statErr }

func (f *fakeFS) Open(string) (fs.File, error) {
	if f.openErr != nil {
		return nil, f.openErr
	}
	return &fakeFile{f}, nil
}

type fakeFile struct{ *fakeFS }

func (f *fakeFile) Stat() (fs.FileInfo, error) { return fakeInfo{f.opened, f.size}, nil }
func (f *fakeFile) Close() error               { return nil }
func (f *fakeFile) Read(p []byte) (int, error) {
	if f.readErr != nil {
		return 0, f.readErr
	}
	if f.read >= f.content {
		return 0, io.EOF
	}
	n := min(int64(len(p)), f.content-f.read)
	for i := range p[:n] {
		p[i] = '#'
	}
	f.read += n
	return int(n), nil
}

type fakeInfo struct {
	mode fs.FileMode
	size int64
}

func (i fakeInfo) Name() string       { return "job.yaml" }
func (i fakeInfo) Size() int64        { return i.size }
func (i fakeInfo) Mode() fs.FileMode  { return i.mode }
func (i fakeInfo) ModTime() time.Time { return time.Time{} }
func (i fakeInfo) IsDir() bool        { return i.mode.IsDir() }
func (i fakeInfo) Sys() any           { return nil }

func pathError(err error) error { return &fs.PathError{Op: "open", Path: "/secret/job.yaml", Err: err} }

func TestReadFSRefused(t *testing.T) {
	const huge = 100 << 20
	cases := []struct {
		name string
		fsys fs.FS
		code string
		says string
	}{
		{"not found", &fakeFS{statErr: pathError(fs.ErrNotExist)}, CodeNotFound, "no such file"},
		{"gone in between", &fakeFS{openErr: pathError(fs.ErrNotExist)}, CodeNotFound, "no such file"},
		{"no permission", &fakeFS{openErr: pathError(syscall.EACCES)}, CodePermission, "may not be read"},
		{"no permission for the folder", &fakeFS{statErr: pathError(fs.ErrPermission)}, CodePermission, "may not be read"},
		{"loop", &fakeFS{statErr: pathError(syscall.ELOOP)}, CodeLinkLoop, "back to itself"},
		{"bad path", &fakeFS{statErr: pathError(fs.ErrInvalid)}, CodeBadPath, "path"},
		{"directory", &fakeFS{mode: fs.ModeDir}, CodeDirectory, "folder"},
		{"directory when read", &fakeFS{readErr: pathError(syscall.EISDIR)}, CodeDirectory, "folder"},
		{"pipe", &fakeFS{mode: fs.ModeNamedPipe, openErr: errors.New("opening would wait")}, CodeNotAFile, "pipe"},
		{"device", &fakeFS{mode: fs.ModeDevice}, CodeNotAFile, "device"},
		{"socket", &fakeFS{mode: fs.ModeSocket}, CodeNotAFile, "socket"},
		{"became a device", &fakeFS{opened: fs.ModeDevice | fs.ModeCharDevice}, CodeNotAFile, "device"},
		{"disk error", &fakeFS{readErr: pathError(syscall.EIO)}, CodeUnreadable, syscall.EIO.Error()},
		{"100 MB", &fakeFS{size: huge, content: huge}, CodeTooLarge, "104857600"},
		{"endless, size unknown", &fakeFS{content: 1 << 40}, CodeTooLarge, "larger"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			start := time.Now()
			f, problems := ReadFS(c.fsys, "job.yaml", Limits{})
			require.Len(t, problems, 1)
			assert.Nil(t, f)
			assert.Equal(t, c.code, problems[0].Code)
			assert.Contains(t, problems[0].Message, c.says)
			assert.NotContains(t, problems[0].String(), "/secret")
			assert.LessOrEqual(t, c.fsys.(*fakeFS).read, int64(defaultBytes+1))
			assert.Less(t, time.Since(start), 5*time.Second)
		})
	}
}

func TestReadFSLargeIsNotRead(t *testing.T) {
	fsys := &fakeFS{size: 100 << 20, content: 100 << 20}
	_, problems := ReadFS(fsys, "job.yaml", Limits{})
	require.Len(t, problems, 1)
	assert.Zero(t, fsys.read)
}

func TestReadFS(t *testing.T) {
	fsys := fstest.MapFS{
		"jobs/a.yaml": {Data: []byte("a: 1\n")},
		"exact.yaml":  {Data: []byte("a: 12\n")},
		"gone.yaml":   {Data: []byte("nowhere.yaml"), Mode: fs.ModeSymlink},
	}
	f, problems := ReadFS(fsys, "jobs/a.yaml", Limits{})
	require.Empty(t, problems)
	assert.Equal(t, "jobs/a.yaml", f.Name)
	assert.Equal(t, "a: 1\n", string(f.Source))

	_, problems = ReadFS(fsys, "exact.yaml", Limits{Bytes: 6})
	assert.Empty(t, problems, "a file of just the limit is read")
	for path, code := range map[string]string{"gone.yaml": CodeDanglingLink, "jobs": CodeDirectory, "b.yaml": CodeNotFound, "../a.yaml": CodeBadPath} {
		_, problems = ReadFS(fsys, path, Limits{})
		require.Len(t, problems, 1, path)
		assert.Equal(t, code, problems[0].Code, path)
	}
}

func TestReadFSRealLinks(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.yaml"), []byte("a: 1\n"), 0o600))
	for name, target := range map[string]string{"good": "a.yaml", "gone": "b.yaml", "loop": "loop"} {
		if err := os.Symlink(target, filepath.Join(dir, name)); err != nil {
			t.Skip("no links here:", err)
		}
	}
	_, problems := ReadFS(os.DirFS(dir), "good", Limits{})
	assert.Empty(t, problems)
	for path, code := range map[string]string{"gone": CodeDanglingLink, "loop": CodeLinkLoop, ".": CodeDirectory} {
		_, problems = ReadFS(os.DirFS(dir), path, Limits{})
		require.Len(t, problems, 1, path)
		assert.Equal(t, code, problems[0].Code, path)
	}
}

// A reader used again gives what a new one gives, whatever it read before.
func TestReaderForgets(t *testing.T) {
	texts := []string{"job: 1\nstacks: [{id: A, gap: 20 mm}, {id: B}] # note\n", "job: 2\n", "job: [\n", "a: {b: {c: [1, 2, 3]}}\nd: x\n", "job: 1\njob: 2\n", "{}\n"}
	again := NewReader(Limits{})
	for round := range 3 {
		for i := range texts {
			text := texts[(i*5+round)%len(texts)]
			want, wantProblems := Read("a.yaml", []byte(text), Limits{})
			got, gotProblems := again.Read("a.yaml", []byte(text))
			assert.Equal(t, want, got, text)
			assert.Equal(t, wantProblems, gotProblems, text)
		}
	}
}
