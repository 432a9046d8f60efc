package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/load"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// copyTree copies a folder's files.
func copyTree(t *testing.T, from, to string) {
	t.Helper()
	require.NoError(t, os.CopyFS(to, os.DirFS(from)))
}

// With the definitions written, CUE's own loader (what the cue command and
// editors use) accepts every file of the example firm.
func TestSchemaForThePlainCueCommand(t *testing.T) {
	dir := t.TempDir()
	copyTree(t, "../../examples", dir)
	x := &trial{folder: filepath.Join(dir, "jobs")}
	status, out, trouble := x.witnessmark(t, "schema", "--cue")
	require.Equal(t, 0, status, trouble)
	assert.Contains(t, out, "files of definitions written below")
	t.Setenv("CUE_REGISTRY", "none")
	checked := 0
	for _, inst := range load.Instances([]string{"./..."}, &load.Config{Dir: dir}) {
		require.NoError(t, inst.Err)
		v := cuecontext.New().BuildInstance(inst)
		require.NoError(t, v.Validate(), inst.Dir)
		checked++
	}
	assert.GreaterOrEqual(t, checked, 3)

	before := listing(t, dir)
	status, _, _ = x.witnessmark(t, "schema", "--cue", dir)
	assert.Equal(t, 0, status)
	assert.Equal(t, before, listing(t, dir), "a second time changes nothing")
}

func listing(t *testing.T, dir string) map[string]int64 {
	t.Helper()
	out := map[string]int64{}
	require.NoError(t, filepath.WalkDir(dir, func(p string, e fs.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := e.Info()
		out[p] = info.ModTime().UnixNano()
		return err
	}))
	return out
}

func TestSchemaUsage(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"schema"}, "say what to write: --cue"},
		{[]string{"schema", "--cue"}, "no root file"},
		{[]string{"schema", "--cue", "nowhere"}, "is no folder"},
		{[]string{"schema", "--cue", "a", "b"}, "one folder"},
		{[]string{"schema", "--json"}, "there is no option --json"},
	} {
		status, out, trouble := (&trial{folder: dir}).witnessmark(t, c.args...)
		assert.Equal(t, 2, status, c.args)
		assert.Contains(t, trouble, c.want)
		assert.Empty(t, out)
	}
}
