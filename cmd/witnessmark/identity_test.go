package main

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What hosts tell the findings of the examples apart by is unique, and stays when lines
// are put above them and files stand in another order.
func TestIdentitiesOfTheExamples(t *testing.T) {
	copied := func(change func(name, text string) (string, string)) string {
		dir := t.TempDir()
		require.NoError(t, os.CopyFS(dir, os.DirFS("../../examples")))
		files, err := filepath.Glob(filepath.Join(dir, "jobs/*.yaml"))
		require.NoError(t, err)
		for _, f := range files {
			text, err := os.ReadFile(f)
			require.NoError(t, err)
			require.NoError(t, os.Remove(f))
			name, changed := change(filepath.Base(f), string(text))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "jobs", name), []byte(changed), 0o644))
		}
		return dir
	}
	plain := copied(func(name, text string) (string, string) { return name, text })
	moved := copied(func(name, text string) (string, string) { return name, "# a line more\n\n" + text })
	for format, identity := range map[string]*regexp.Regexp{
		"code-quality": regexp.MustCompile(`"fingerprint":"([^"]+)"`),
		"sarif":        regexp.MustCompile(`"witnessmarkFinding/v1":"([^"]+)"`),
		"sarif-audit":  regexp.MustCompile(`"witnessmarkFinding/v1":"([^"]+)"`),
		"junit":        regexp.MustCompile(`<testcase name="([^"]+)"`),
	} {
		if raced && format != "code-quality" { // see raced
			continue
		}
		read := func(args ...string) (ids []string) {
			_, out := lintReal(t, append(args, "--output", format)...)
			for _, m := range identity.FindAllStringSubmatch(out, -1) {
				ids = append(ids, m[1])
			}
			slices.Sort(ids)
			return ids
		}
		first := read(plain)
		require.Greater(t, len(first), 50)
		assert.Len(t, slices.Compact(slices.Clone(first)), len(first), format)
		assert.Equal(t, first, read(moved), format)
		some := read(filepath.Join(plain, "jobs/2026-012.yaml"), filepath.Join(plain, "jobs/2026-019.yaml"))
		for _, id := range some {
			if !slices.Contains(first, id) && !strings.Contains(id, "across") {
				assert.Fail(t, "a run over some files knows it by another name", "%s %s", format, id)
			}
		}
	}
}
