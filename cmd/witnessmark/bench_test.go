package main

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobgen"
	"witnessmark.example/cmd/witnessmark/report"
)

// written counts the bytes of a report and drops them.
type written int64

func (w *written) Write(p []byte) (int, error) {
	*w += written(len(p))
	return len(p), nil
}

// BenchmarkLintToText is a whole run over a thousand generated jobs to a report
// in each format, on one core, beside the bare parse of the same files. The two
// take turns, so that other work on the machine disturbs both; the middle one of
// the ratios and the quickest times are reported.
func BenchmarkLintToText(b *testing.B) {
	const jobs = 1000
	dir := b.TempDir()
	var paths []string
	require.NoError(b, jobgen.Write(jobgen.Firm(jobs, 20261125), func(name string, data []byte) error {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if filepath.Ext(path) == ".yaml" {
			paths = append(paths, path)
		}
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		return os.WriteFile(path, data, 0o644)
	}))
	day, ok := fact.ParseDay("2026-11-25")
	require.True(b, ok)
	for _, format := range report.Formats() {
		b.Run(format.Name, func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
			parse, whole := time.Hour, time.Hour
			var size written
			var ratios []float64
			b.ReportAllocs()
			for b.Loop() {
				start := time.Now()
				for _, path := range paths {
					data, err := os.ReadFile(path)
					require.NoError(b, err)
					var doc yaml.Node
					require.NoError(b, yaml.Load(data, &doc))
				}
				one := time.Since(start)
				start, size = time.Now(), 0
				run, err := checks.Lint(context.Background(), checks.Options{Paths: []string{dir}, AsOf: checks.AsOf{Date: day}, Workers: 1}, format.New(&size, report.Settings{}))
				require.NoError(b, err)
				require.Equal(b, jobs, run.Counts.Jobs)
				other := time.Since(start)
				parse, whole = min(parse, one), min(whole, other)
				ratios = append(ratios, float64(other)/float64(one))
			}
			slices.Sort(ratios)
			b.ReportMetric(ratios[len(ratios)/2], "×parse")
			b.ReportMetric(float64(parse.Microseconds())/jobs, "parse-µs/job")
			b.ReportMetric(float64(whole.Microseconds())/jobs, "lint-µs/job")
			b.ReportMetric(float64(size)/jobs, "bytes/job")
		})
	}
}
