package checks

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"witnessmark.example/checks/jobgen"
	"witnessmark.example/checks/judge"
)

const (
	benchJobs = 1000
	benchSeed = 20261125
)

// generated writes a firm with n job files to a folder and returns it.
func generated(b testing.TB, n int) string {
	b.Helper()
	dir := b.TempDir()
	err := jobgen.Write(jobgen.Firm(n, benchSeed), func(name string, data []byte) error {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		return os.WriteFile(path, data, 0o644)
	})
	require.NoError(b, err)
	return dir
}

// counting is a sink that counts and keeps nothing.
type counting struct{ jobs, outcomes int }

func (*counting) Begin(*Run) error { return nil }
func (*counting) Render(dst []byte, j *Job) []byte {
	if j.Result == nil {
		return dst
	}
	n := len(j.Result.Outcomes)
	return append(dst, byte(n), byte(n>>8))
}
func (c *counting) Job(rendered []byte) error {
	c.jobs++
	if len(rendered) == 2 {
		c.outcomes += int(rendered[0]) + int(rendered[1])<<8
	}
	return nil
}
func (*counting) End(*Run) error { return nil }

// perJob reports what one job cost, beside the usual figures of a whole run.
func perJob(b *testing.B, jobs int) {
	total := float64(b.N * jobs)
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/1e3/total, "µs/job")
}

func jobPaths(b *testing.B, dir string) []string {
	b.Helper()
	var paths []string
	err := filepath.WalkDir(filepath.Join(dir, "jobs"), func(path string, e os.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			paths = append(paths, path)
		}
		return err
	})
	require.NoError(b, err)
	return paths
}

// onCores are the two ways of running: on one core, with the collector of garbage
// on it too, and on all.
var onCores = []struct {
	name  string
	cores int
}{{"one", 1}, {"all", runtime.NumCPU()}}

// BenchmarkBareParse is the floor: the same files read and parsed into nodes by
// the same library, and nothing else.
func BenchmarkBareParse(b *testing.B) {
	paths := jobPaths(b, generated(b, benchJobs))
	for _, s := range onCores {
		b.Run(s.name, func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(s.cores))
			b.ReportAllocs()
			for b.Loop() {
				parseAll(b, paths, s.cores)
			}
			perJob(b, len(paths))
		})
	}
}

func parseAll(b *testing.B, paths []string, workers int) {
	todo := make(chan string)
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			for path := range todo {
				data, err := os.ReadFile(path)
				var doc yaml.Node
				if err == nil {
					err = yaml.Load(data, &doc)
				}
				if err != nil {
					b.Error(err)
				}
			}
		})
	}
	for _, path := range paths {
		todo <- path
	}
	close(todo)
	group.Wait()
}

// BenchmarkLint is a whole run over the same files: start-up, reading, judging,
// and a sink that only counts.
func BenchmarkLint(b *testing.B) {
	dir := generated(b, benchJobs)
	for _, s := range onCores {
		b.Run(s.name, func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(s.cores))
			b.ReportAllocs()
			outcomes := 0
			for b.Loop() {
				outcomes = lintAll(b, dir, s.cores)
			}
			perJob(b, benchJobs)
			b.ReportMetric(float64(outcomes)/benchJobs, "outcomes/job")
		})
	}
}

func lintAll(b *testing.B, dir string, workers int) (outcomes int) {
	sink := &counting{}
	run, err := Lint(context.Background(), Options{Paths: []string{dir}, AsOf: asOf, Workers: workers}, sink)
	require.NoError(b, err)
	require.Equal(b, benchJobs, run.Counts.Jobs)
	return sink.outcomes
}

// BenchmarkLintOverParse takes turns between the two, so that other work on the
// machine disturbs both, and reports the middle one of the ratios. The times
// are those of the quickest runs. The target is 1.5 times the bare parse.
func BenchmarkLintOverParse(b *testing.B) {
	dir := generated(b, benchJobs)
	paths := jobPaths(b, dir)
	for _, s := range onCores {
		b.Run(s.name, func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(s.cores))
			parse, whole := time.Hour, time.Hour
			var ratios []float64
			for b.Loop() {
				start := time.Now()
				parseAll(b, paths, s.cores)
				one := time.Since(start)
				start = time.Now()
				lintAll(b, dir, s.cores)
				other := time.Since(start)
				parse, whole = min(parse, one), min(whole, other)
				ratios = append(ratios, float64(other)/float64(one))
			}
			slices.Sort(ratios)
			b.ReportMetric(ratios[len(ratios)/2], "×parse")
			b.ReportMetric(float64(parse.Microseconds())/benchJobs, "parse-µs/job")
			b.ReportMetric(float64(whole.Microseconds())/benchJobs, "lint-µs/job")
		})
	}
}

// BenchmarkStartUp is what every run costs before the first job: the tool's own
// definitions, the shape, every rule set, and the firm's own files.
func BenchmarkStartUp(b *testing.B) {
	dir := generated(b, 1)
	b.ReportAllocs()
	for b.Loop() {
		o := Options{Paths: []string{dir}, AsOf: asOf}
		where, err := locate(o)
		require.NoError(b, err)
		_, _, _, err = prepare(o, where)
		require.NoError(b, err)
	}
}

// The generated files are what the benchmarks say they are: jobs that are read
// and judged, with a few slips and no more.
func TestGeneratedFirmIsJudged(t *testing.T) {
	t.Parallel()
	run, err := Lint(context.Background(), Options{FS: firm(jobgen.Firm(200, benchSeed)).fs(), AsOf: asOf})
	require.NoError(t, err)
	assert.Equal(t, 200, run.Counts.Jobs)
	assert.Zero(t, run.Counts.Unread)
	for _, p := range run.Problems {
		assert.Equal(t, "unknown-field", p.Code, "%s:%d %s", p.File, p.At.Line, p.Message)
		assert.True(t, strings.HasPrefix(p.File, "jobs/"), p.File)
	}
	kinds := run.Counts.ByKind
	assert.Greater(t, kinds[judge.Within], 20*200, "within")
	assert.Greater(t, kinds[judge.Outside], 20, "outside")
	assert.Greater(t, kinds[judge.Missing], 20, "missing")
	assert.Less(t, kinds[judge.NotChecked], kinds[judge.Within]/4, "not checked")
	assert.NotEmpty(t, run.Repository.Premises)
}
