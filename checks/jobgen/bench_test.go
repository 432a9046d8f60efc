package jobgen

import (
	"encoding/json"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// BenchmarkSpikeStartUp is what the synthetic set costs before the first job:
// decoding it as it would ship, and compiling shape, limits and plan.
func BenchmarkSpikeStartUp(b *testing.B) {
	d := Spike()
	data, err := json.Marshal(struct {
		Shape    fact.Shape
		RuleSets []limit.RuleSet
	}{d.Shape, d.RuleSets})
	require.NoError(b, err)
	b.Run("decode", func(b *testing.B) {
		for b.Loop() {
			var back Definitions
			require.NoError(b, json.Unmarshal(data, &back))
		}
	})
	b.Run("compile", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			spike(b)
		}
	})
}

// BenchmarkSpike judges 1,000 jobs by the synthetic set on one core, in turns
// with the bare parse of the same texts, and reports the middle one of the
// ratios, the quickest times, and the peak of the process's memory.
func BenchmarkSpike(b *testing.B) {
	const jobs = 1000
	shape, plan := spike(b)
	texts := make([][]byte, jobs)
	for i := range texts {
		texts[i] = []byte(SpikeJob(i, 1))
	}
	reader, decoder, judging := jobfile.NewReader(jobfile.Limits{}), fact.NewDecoder(shape, nil, quantity.Options{}), judge.New(judge.House{})
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	parse, whole := time.Hour, time.Hour
	outcomes := 0
	var ratios []float64
	for b.Loop() {
		start := time.Now()
		for _, text := range texts {
			var doc yaml.Node
			require.NoError(b, yaml.Load(text, &doc))
		}
		one := time.Since(start)
		start, outcomes = time.Now(), 0
		for _, text := range texts {
			f, problems := reader.Read("spike.yaml", text)
			require.Empty(b, problems)
			r := judging.Job(decoder.Decode(f), plan, func(string) bool { return false }, 0)
			outcomes += len(r.Outcomes)
		}
		other := time.Since(start)
		parse, whole = min(parse, one), min(whole, other)
		ratios = append(ratios, float64(other)/float64(one))
	}
	slices.Sort(ratios)
	b.ReportMetric(ratios[len(ratios)/2], "×parse")
	b.ReportMetric(float64(parse.Microseconds())/jobs, "parse-µs/job")
	b.ReportMetric(float64(whole.Microseconds())/jobs, "judge-µs/job")
	b.ReportMetric(float64(outcomes)/jobs, "outcomes/job")
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	b.ReportMetric(float64(memory.Sys)/1e6, "MB-from-system")
	if peak, ok := peakMemory(); ok {
		b.ReportMetric(peak, "MB-peak")
	}
}

// peakMemory is the largest resident size of the process so far, in MB, where
// the system tells it.
func peakMemory() (float64, bool) {
	data, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0, false
	}
	for line := range strings.Lines(string(data)) {
		if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			kb, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
			return kb / 1e3, err == nil
		}
	}
	return 0, false
}
