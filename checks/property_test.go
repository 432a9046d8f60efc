package checks

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/jobfile"
)

// examplesFS is the example firm in memory.
func examplesFS(t testing.TB) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	require.NoError(t, filepath.Walk("../examples", func(p string, info os.FileInfo, err error) error {
		if err != nil || info.IsDir() {
			return err
		}
		data, err := os.ReadFile(p)
		out[strings.TrimPrefix(filepath.ToSlash(p), "../examples/")] = &fstest.MapFile{Data: data}
		return err
	}))
	return out
}

// asJSON writes a job file as JSON in one line.
func asJSON(n *jobfile.Node) string {
	switch n.Kind {
	case jobfile.Mapping:
		parts := make([]string, len(n.Fields))
		for i, f := range n.Fields {
			key, _ := json.Marshal(f.Key)
			parts[i] = string(key) + ": " + asJSON(f.Value)
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case jobfile.List:
		parts := make([]string, len(n.Items))
		for i, item := range n.Items {
			parts[i] = asJSON(item)
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case jobfile.Null:
		return "null"
	}
	if n.Type == jobfile.Integer || n.Type == jobfile.Boolean {
		return n.Text
	}
	text, _ := json.Marshal(n.Text)
	return string(text)
}

// verdicts are the outcomes of a run without their places.
func verdicts(l *lines) map[string]string {
	out := map[string]string{}
	for key, s := range l.full {
		_, rest, _ := strings.Cut(key, " ")
		file, _, _ := strings.Cut(strings.TrimPrefix(key, "jobs/"), ".")
		out[file+" "+rest] = s.kind.String() + " " + s.margin
	}
	return out
}

// Writing the same job in another form (one line of JSON, without comments)
// changes no outcome and no margin.
func TestReformattingChangesNothing(t *testing.T) {
	before, after := newLines(), newLines()
	files := examplesFS(t)
	_, err := Lint(context.Background(), Options{FS: files, Paths: []string{"."}, AsOf: asOf, Shipped: once(t)}, before)
	require.NoError(t, err)
	for name, f := range files {
		if !strings.HasSuffix(name, ".yaml") {
			continue
		}
		tree, problems := jobfile.Read(name, f.Data, jobfile.Limits{})
		require.Empty(t, problems)
		delete(files, name)
		files[strings.TrimSuffix(name, ".yaml")+".json"] = &fstest.MapFile{Data: []byte(asJSON(tree.Root))}
	}
	run, err := Lint(context.Background(), Options{FS: files, Paths: []string{"."}, AsOf: asOf, Shipped: once(t)}, after)
	require.NoError(t, err)
	require.Empty(t, run.Problems)
	assert.Greater(t, len(verdicts(before)), 500)
	assert.Equal(t, verdicts(before), verdicts(after))
}

// The same lengths written in another unit give the same outcomes.
func TestOtherUnitsChangeNothing(t *testing.T) {
	job := oneStack("    wall_gap: GAP\n")
	limits := [2]string{"up", gap + `within: >=25.4 & <=50.8`}
	for _, same := range [][]string{{"25.4 mm", "2.54 cm", "1 in", "0.0254 m", "1.0 in"}, {"50.8 mm", "2 in", "5.08 cm"}, {"50.801 mm", "5.0801 cm", "0.050801 m"}, {"25.3999 mm", "0.0253999 m"}} {
		first := ""
		for _, text := range same {
			_, out := lint(t, gapFirm("guarded", "", strings.Replace(job, "GAP", text, 1), limits))
			kind := out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind.String()
			if first == "" {
				first = kind
			}
			assert.Equal(t, first, kind, text)
		}
	}
}

// Whatever stands in a job file, the run ends, other files are judged, and
// nothing that was not compared counts as within.
func FuzzLint(f *testing.F) {
	for name, file := range examplesFS(f) {
		if strings.HasSuffix(name, ".yaml") {
			f.Add(string(file.Data))
		}
	}
	f.Add(oneStack("    wall_gap: 5,8 mm\n"))
	f.Add("job: 1\nstacks: [{id: A, equipment: quell@A, modules: 5}, {id: A}]\n")
	good := strings.Replace(oneStack("    lean: 2 mm\n"), "job: 1", "job: good", 1)
	f.Fuzz(func(t *testing.T, text string) {
		// Without a root file, so that the time goes into the job and not into CUE.
		run, out := lint(t, firm{"a.yaml": text, "b.yaml": good})
		assert.Equal(t, "within", out.full["b.yaml practice#lean stacks[A].lean"].kind.String())
		for key, s := range out.full {
			if s.kind.String() == "within" {
				assert.NotEmpty(t, s.bound, key)
			}
		}
		assert.Equal(t, 2, run.Counts.Jobs+run.Counts.Unread)
	})
}
