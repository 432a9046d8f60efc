package report

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseTargets(t *testing.T) {
	for _, c := range []struct {
		name  string
		in    []string
		want  []string // format and path
		error string
	}{
		{"nothing is text on standard output", nil, []string{"text "}, ""},
		{"format alone", []string{"json"}, []string{"json "}, ""},
		{"dash is standard output", []string{"json:-"}, []string{"json "}, ""},
		{"path with colon and comma", []string{"json:a,b:c.json"}, []string{"json a,b:c.json"}, ""},
		{"several", []string{"text", "json:r.json"}, []string{"text ", "json r.json"}, ""},
		{"two on standard output", []string{"text", "json:-"}, nil, "only one report can go to standard output"},
		{"two into one file", []string{"text:r", "json:./r"}, nil, "two reports cannot go to the same file"},
		{"unknown format", []string{"jsn"}, nil, `there is no output format "jsn"; did you mean "json"`},
		{"empty path", []string{"json:"}, nil, "is empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			targets, err := ParseTargets(c.in)
			if c.error != "" {
				require.ErrorContains(t, err, c.error)
				return
			}
			require.NoError(t, err)
			var got []string
			for _, x := range targets {
				got = append(got, x.Format.Name+" "+x.Path)
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func open(t *testing.T, path string) *File {
	t.Helper()
	f, err := Target{Path: path}.Open(nil)
	require.NoError(t, err)
	return f
}

func TestFileAppearsWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "report.json")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))

	f := open(t, path)
	_, err := f.Write([]byte("new"))
	require.NoError(t, err)
	before, _ := os.ReadFile(path)
	assert.Equal(t, "old", string(before), "until it is committed the old report stands")
	require.NoError(t, f.Commit())
	after, _ := os.ReadFile(path)
	assert.Equal(t, "new", string(after))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "permissions stay")
	assertOnly(t, dir, "report.json")
}

func TestAbortLeavesTheOldReport(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "report.json")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o666))
	f := open(t, path)
	_, _ = f.Write([]byte("half"))
	f.Abort()
	got, _ := os.ReadFile(path)
	assert.Equal(t, "old", string(got))
	assertOnly(t, dir, "report.json")
}

func TestLeftoversAreStepped(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".r.1.tmp"), []byte("of another run"), 0o666))
	f := open(t, filepath.Join(dir, "r"))
	require.NoError(t, f.Commit())
	assertOnly(t, dir, ".r.1.tmp", "r")
}

// A path whose name is as long as one may be can be written.
func TestLongName(t *testing.T) {
	dir := t.TempDir()
	name := strings.Repeat("r", 255)
	require.NoError(t, open(t, filepath.Join(dir, name)).Commit())
	assertOnly(t, dir, name)
}

func TestLinkIsFollowed(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "real"), nil, 0o666))
	require.NoError(t, os.Symlink("real", filepath.Join(dir, "link")))
	f := open(t, filepath.Join(dir, "link"))
	_, _ = f.Write([]byte("new"))
	require.NoError(t, f.Commit())
	got, _ := os.ReadFile(filepath.Join(dir, "real"))
	assert.Equal(t, "new", string(got))
}

func TestTargetsThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	for _, path := range []string{dir, filepath.Join(dir, "no", "such", "folder")} {
		_, err := Target{Path: path}.Open(nil)
		require.ErrorContains(t, err, "write "+path)
		assert.NotContains(t, err.Error(), ".tmp")
	}
}

func TestFullDevice(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("there is no /dev/full here")
	}
	r := newTestRun(t)
	for _, format := range Formats() {
		f := open(t, "/dev/full")
		sink := format.New(f, Settings{})
		_ = sink.Begin(r.run)
		_ = sink.Job(sink.Render(nil, r.job(t, "jobs/a.yaml", cleanJob)))
		require.ErrorContains(t, sink.End(r.run), "no space left", format.Name)
		f.Abort()
	}
}

func TestStandardOutput(t *testing.T) {
	var out bytes.Buffer
	f, err := Target{}.Open(&out)
	require.NoError(t, err)
	_, _ = f.Write([]byte("x"))
	require.NoError(t, f.Commit())
	f.Abort()
	assert.Equal(t, "x", out.String())
}

func assertOnly(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	assert.Equal(t, want, got)
}
