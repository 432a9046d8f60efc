package main

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/jobfile"
)

// sinceReports writes a base, commits it, puts a head in its place and writes every
// report on the two.
func sinceReports(t *testing.T, base, head map[string]string, args ...string) told {
	t.Helper()
	dir := repository(t, base)
	committed(t, dir)
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "jobs")))
	for name, text := range head {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	}
	return tell(t, dir, append(args, "--since", "HEAD")...)
}

// What stood in the base steers no report on what became of it, nor does what is new.
func TestNothingOfTheBaseSteersAReport(t *testing.T) {
	notRaced(t)
	write := func(plain bool) told {
		all := map[string]string{}
		for _, s := range newSteered(t, plain)[:2] { // those with jobs that can be read
			n := 0
			for _, name := range slices.Sorted(maps.Keys(s.files)) {
				if n++; n%5 == 0 && strings.HasPrefix(name, "jobs/") {
					all[name] = s.files[name]
				}
			}
		}
		jobs := slices.Sorted(maps.Keys(all))
		head := map[string]string{}
		for i, name := range jobs {
			switch i % 3 {
			case 0: // gone
			case 1:
				head[name] = strings.ReplaceAll(all[name], "1", "2")
			case 2: // cannot be read any more
				head[name] = "job: ["
			}
		}
		return sinceReports(t, all, head)
	}
	plain, got := write(true), write(false)
	requireInert(t, got.reports, plain.reports)
	for _, format := range []string{"text", "json", "html", "summary", "annotations", "sarif-audit", "junit"} {
		assert.True(t, bytes.Contains(got.reports[format], []byte("gone")), format)
	}
	assert.Contains(t, string(got.reports["text"]), "<", "what stands in the base is shown, and can do nothing")
}

// With --redact no report says a private value of the base either.
func TestRedactedSince(t *testing.T) {
	c := shape(t)
	private := map[string]bool{}
	for _, l := range privateLeaves(c) {
		private[l.Path] = true
	}
	jobs, err := filepath.Glob("../../examples/jobs/*.yaml")
	require.NoError(t, err)
	base, head := map[string]string{}, map[string]string{}
	for i, name := range jobs {
		if i%4 > 0 {
			continue
		}
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		f, problems := jobfile.Read(filepath.Base(name), data, jobfile.Limits{})
		require.Empty(t, problems)
		text := marked(f, private, func(value string) string { return marker + "old" })
		file := "jobs/" + filepath.Base(name)
		base[file] = text + "\nremark: [" + marker + "problem, {a: b}]\n"
		if i%8 > 0 { // the others are gone
			head[file] = strings.ReplaceAll(text, marker+"old", marker+"new")
		}
	}
	with, without := sinceReports(t, base, head), sinceReports(t, base, head, "--redact")
	assert.Contains(t, with.text, marker+"old", "without --redact they are told")
	assert.NotContains(t, strings.ToLower(without.text), marker)
	assert.Equal(t, with.status, without.status)
	totals := regexp.MustCompile(`"findings":\{"new":[^}]+\}`)
	assert.Equal(t, string(totals.Find(with.reports["json"])), string(totals.Find(without.reports["json"])), "the same is new, known, fixed and gone")
	assert.Regexp(t, `"new":1\d,"known":1\d,"fixed":1\d,"gone":\d\d,`, string(totals.Find(with.reports["json"])), "there is something of each")
}
