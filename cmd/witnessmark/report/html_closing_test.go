package report

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// exampleChanged is the reviewer's page of one job of the examples, in which texts are
// replaced, old and new by turns.
func exampleChanged(t *testing.T, number string, changes ...string) string {
	t.Helper()
	day, ok := fact.ParseDay("2026-11-25")
	require.True(t, ok)
	files, name := fstest.MapFS{}, "jobs/"+number+".yaml"
	require.NoError(t, fs.WalkDir(os.DirFS("../../../examples"), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(path, "jobs/") && path != name {
			return err
		}
		data, err := os.ReadFile("../../../examples/" + path)
		if path == name {
			for i := 0; i < len(changes); i += 2 {
				require.Contains(t, string(data), changes[i])
			}
			data = []byte(strings.NewReplacer(changes...).Replace(string(data)))
		}
		files[path] = &fstest.MapFile{Data: data}
		return err
	}))
	var page bytes.Buffer
	_, err := checks.Lint(context.Background(), checks.Options{FS: files, Paths: []string{"."}, AsOf: checks.AsOf{Date: day}}, NewHTML(&page, Settings{}))
	require.NoError(t, err)
	return page.String()
}

// Each concession stands with what became of it: one that is only recorded must not
// look as if it had accepted anything.
func TestConcessionsStandWithTheirState(t *testing.T) {
	for _, c := range []struct {
		number, want string
		changes      []string
	}{
		{"2026-016", "it counts, and the value is accepted", nil},
		{"2026-016", "it does not count; the finding says why", []string{"value: 23 mm", "value: 22 mm"}},
		{"2026-028", "it is not used, since the value is not outside", nil},
		{"2026-016", "it is for a sum over the property; see Across jobs", []string{"limit: policy#air-behind", "limit: us/irc-2021#energy-in-garages"}},
		{"2026-016", "it was not judged", []string{"status: active", "status: cancelled"}},
	} {
		page := exampleChanged(t, c.number, c.changes...)
		assert.Regexp(t, `<section class="entry"><h4>[a-z]+: `+c.want+`</h4><dl><dt>limit of the concession</dt>`, page)
	}
}

// What is signed names the file, the day and the limits; where nothing was judged there
// is nothing to sign.
func TestPlaceToSign(t *testing.T) {
	page := exampleChanged(t, "2026-016")
	assert.Regexp(t, `<div class="sign"><p>Reviewed on the basis of job file <code>[0-9a-f]{12}</code>, as of 2026-11-25, by the limits whose digest stands at the head of this report\.`, page)
	page = exampleChanged(t, "2026-016", "status: active", "status: cancelled")
	assert.Contains(t, page, "there is no review to sign")
	assert.NotContains(t, page, `<div class="sign">`)
}

// A value that was built as planned is no difference, in whatever unit either is
// written.
func TestDifferencesAreOfValues(t *testing.T) {
	job := "job: 1\nstage: installed\nstacks: [{id: A, equipment: morvane@B, wall_gap: {planned: 40 mm, built: %}}]\n"
	for built, differs := range map[string]bool{"40 mm": false, "4 cm": false, "4.0 cm ± 1 mm": false, "41 mm": true, "4.1 cm": true} {
		page := htmlOf(t, Settings{}, plainSize, wholeSize, "jobs/a.yaml", strings.Replace(job, "%", built, 1))
		assert.Equal(t, differs, strings.Contains(page, "Built otherwise than planned"), built)
	}
}
