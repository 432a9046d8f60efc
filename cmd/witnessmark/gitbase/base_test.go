package gitbase

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// repository makes a repository with one commit of these files and an uncommitted one.
func repository(t *testing.T, files map[string]string, links map[string]string) string {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("git is not installed")
	}
	dir := t.TempDir()
	t.Setenv("GIT_CONFIG_GLOBAL", os.DevNull)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	for name, text := range files {
		write(t, dir, name, text)
	}
	for name, target := range links {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o755))
		require.NoError(t, os.Symlink(target, filepath.Join(dir, name)))
	}
	run(t, dir, "init", "-q", "-b", "main")
	run(t, dir, "add", ".")
	run(t, dir, "-c", "user.name=Author", "-c", "user.email=author@firm.example", "commit", "-q", "-m", "first")
	write(t, dir, "uncommitted", "x")
	return dir
}

func write(t *testing.T, dir, name, text string) {
	t.Helper()
	path := filepath.Join(dir, filepath.FromSlash(name))
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
}

func run(t *testing.T, dir string, args ...string) {
	t.Helper()
	c := exec.Command("git", args...)
	c.Dir = dir
	out, err := c.CombinedOutput()
	require.NoError(t, err, "%s", out)
}

func read(t *testing.T, dir string) *Base {
	t.Helper()
	b, err := Read(context.Background(), dir, "HEAD")
	require.NoError(t, err)
	t.Cleanup(b.Close)
	return b
}

// The tree of a commit keeps what fs.FS promises, with names of every kind.
func TestTreeIsAFileSystem(t *testing.T) {
	files := map[string]string{"jobs/a.yaml": "job: a\n", "jobs/deep/er/b.yaml": "job: b\n", "empty": "", "jobs/ö \"quoted\".yaml": "job: c\n", "jobs/tab\tand\nend.yaml": "job: d\n", "-dash.yaml": "job: f\n"}
	dir := repository(t, files, map[string]string{"jobs/link.yaml": "deep/er/b.yaml", "folder": "jobs/deep"})
	b := read(t, dir)
	var names []string
	for name, text := range files {
		names = append(names, name)
		data, err := fs.ReadFile(b.Files, name)
		require.NoError(t, err)
		assert.Equal(t, text, string(data))
	}
	require.NoError(t, fstest.TestFS(b.Files, append(names, "jobs/link.yaml")...))
	_, err := fs.Stat(b.Files, "uncommitted")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	assert.Equal(t, 1, b.Uncommitted)

	// Below a folder, as a firm that is part of a larger repository.
	sub := read(t, filepath.Join(dir, "jobs"))
	require.NoError(t, fstest.TestFS(sub.Files, "a.yaml", "deep/er/b.yaml", "link.yaml"))
}

func TestLinks(t *testing.T) {
	dir := repository(t, map[string]string{"kept/a.yaml": "job: a\n", "firm/back\\slash.yaml": "job: a\n"},
		map[string]string{"firm/a.yaml": "../kept/a.yaml", "firm/out.yaml": "../../../etc/passwd", "firm/absolute.yaml": "/etc/passwd", "firm/loop.yaml": "loop.yaml", "firm/none.yaml": "none", "firm/through": "../kept"})
	b := read(t, filepath.Join(dir, "firm"))
	for _, name := range []string{"a.yaml", "through/a.yaml", `back\slash.yaml`} {
		data, err := fs.ReadFile(b.Files, name)
		require.NoError(t, err)
		assert.Equal(t, "job: a\n", string(data), "a link leads out of the folder, within the repository")
	}
	for name, want := range map[string]error{"out.yaml": fs.ErrNotExist, "absolute.yaml": fs.ErrNotExist, "none.yaml": fs.ErrNotExist, "loop.yaml": syscall.ELOOP} {
		_, err := fs.ReadFile(b.Files, name)
		assert.ErrorIs(t, err, want, name)
		info, err := fs.Lstat(b.Files, name)
		require.NoError(t, err)
		assert.NotZero(t, info.Mode()&fs.ModeSymlink, name)
	}
}

// Of a file that git keeps elsewhere there is only a pointer: it is the file that lies
// in the work tree if that is the same, and else cannot be read.
func TestPointers(t *testing.T) {
	const job = "job: a\nstage: surveyed\n"
	text := fmt.Sprintf("version https://git-lfs.example/spec/v1\noid sha256:%x\nsize %d\n", sha256.Sum256([]byte(job)), len(job))
	dir := repository(t, map[string]string{"same.yaml": text, "other.yaml": text, "gone.yaml": text}, nil)
	write(t, dir, "same.yaml", job)
	write(t, dir, "other.yaml", job+"# changed\n")
	require.NoError(t, os.Remove(filepath.Join(dir, "gone.yaml")))
	b := read(t, dir)
	data, err := fs.ReadFile(b.Files, "same.yaml")
	require.NoError(t, err)
	assert.Equal(t, job, string(data))
	for _, name := range []string{"other.yaml", "gone.yaml"} {
		_, err := fs.ReadFile(b.Files, name)
		assert.ErrorIs(t, err, errPointer, name)
	}
}

// Other line ends are no change; another text with as many bytes is one.
func TestLineEnds(t *testing.T) {
	dir := repository(t, map[string]string{"a.yaml": "job: a\nstage: x\n", "b.yaml": "job: a\nstage: x\n"}, nil)
	write(t, dir, "a.yaml", "job: a\r\nstage: x\r\n")
	write(t, dir, "b.yaml", "job: a\nstage: xyz\n")
	b := read(t, dir)
	data, err := fs.ReadFile(b.Files, "a.yaml")
	require.NoError(t, err)
	assert.Equal(t, "job: a\r\nstage: x\r\n", string(data))
	data, err = fs.ReadFile(b.Files, "b.yaml")
	require.NoError(t, err)
	assert.Equal(t, "job: a\nstage: x\n", string(data))
}

func TestReadAtOnce(t *testing.T) {
	files := map[string]string{}
	for i := range 50 {
		files[fmt.Sprintf("jobs/%d.yaml", i)] = strings.Repeat(fmt.Sprintln("line", i), 1000)
	}
	b := read(t, repository(t, files, nil))
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			for name, text := range files {
				data, err := fs.ReadFile(b.Files, name)
				assert.NoError(t, err)
				assert.Equal(t, text, string(data))
			}
		})
	}
	group.Wait()
}

func TestObjectThatIsLost(t *testing.T) {
	dir := repository(t, map[string]string{"a.yaml": "job: a\n", "b.yaml": "job: b\n"}, nil)
	b := read(t, dir)
	name := b.tree.nodes["a.yaml"].object
	require.NoError(t, os.Remove(filepath.Join(dir, ".git", "objects", name[:2], name[2:])))
	_, err := fs.ReadFile(b.Files, "a.yaml")
	assert.ErrorContains(t, err, "git has lost this object")
	data, err := fs.ReadFile(b.Files, "b.yaml")
	require.NoError(t, err)
	assert.Equal(t, "job: b\n", string(data), "the others are read all the same")
	b.Close()
	b.tree.nodes["b.yaml"].read = false
	_, err = fs.ReadFile(b.Files, "b.yaml")
	assert.ErrorContains(t, err, "closed")
}

func TestBrokenOff(t *testing.T) {
	dir := repository(t, map[string]string{"a.yaml": "job: a\n"}, nil)
	ctx, cancel := context.WithCancelCause(context.Background())
	stop := errors.New("enough")
	cancel(stop)
	_, err := Read(ctx, dir, "HEAD")
	assert.ErrorIs(t, err, stop)
}

// What a hook sets leads git to another repository, and is not passed on.
func TestEnvironment(t *testing.T) {
	got := ownEnvironment([]string{"HOME=/h", "GIT_DIR=/x", "git_index_file=/x", "GIT_CONFIG_COUNT=1", "LC_ALL=de_DE", "LANGUAGE=de"})
	assert.Equal(t, []string{"HOME=/h", "GIT_CONFIG_COUNT=1", "LC_ALL=C", "GIT_OPTIONAL_LOCKS=0", "GIT_TERMINAL_PROMPT=0"}, got)
}

func TestFolderOfAnotherAccount(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can give a folder away")
	}
	dir := repository(t, map[string]string{"a.yaml": "job: a\n"}, nil)
	for _, name := range []string{dir, filepath.Join(dir, ".git")} {
		require.NoError(t, os.Chown(name, 12345, 12345))
	}
	_, err := Read(context.Background(), dir, "HEAD")
	assert.ErrorContains(t, err, "git config --global --add safe.directory")
}
