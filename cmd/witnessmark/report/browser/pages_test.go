//go:build !race

package browser

import (
	"bytes"
	"context"
	"maps"
	"slices"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobgen"
	"witnessmark.example/checks/judge"
	"witnessmark.example/cmd/witnessmark/report"
)

// known is what the engine said of one job, for comparison with what the page shows.
type known struct {
	number, stage string
	gates         []string // with open points
	kinds, topics map[string]bool
}

// ledger is a sink that keeps what the engine said, in the order of the jobs.
type ledger struct {
	mu   sync.Mutex
	jobs map[string]known
}

func (l *ledger) Begin(*checks.Run) error { return nil }

func (l *ledger) Render(dst []byte, job *checks.Job) []byte {
	k := known{number: job.Number, stage: job.Stage, kinds: map[string]bool{}, topics: map[string]bool{}}
	if len(job.Problems) > 0 {
		k.kinds["problem"] = true
	}
	if job.Result != nil {
		for i := range job.Result.Gates {
			if g := &job.Result.Gates[i]; len(g.Open) > 0 {
				k.gates = append(k.gates, g.Gate.String())
			}
		}
		for i := range job.Result.Outcomes {
			o := &job.Result.Outcomes[i]
			k.kinds[o.Kind.String()] = true
			if o.Kind.IsFinding() || o.Kind == judge.Within {
				k.topics[o.Leaf.Topic] = true
			}
		}
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.jobs[job.File] = k
	return dst
}

func (l *ledger) Job([]byte) error      { return nil }
func (l *ledger) End(*checks.Run) error { return nil }

// in returns the numbers of the jobs that fit, in order.
func (l *ledger) in(fits func(known) bool) []string {
	var out []string
	for _, file := range slices.Sorted(maps.Keys(l.jobs)) {
		if k := l.jobs[file]; fits(k) {
			out = append(out, k.number)
		}
	}
	return out
}

var readShipped = sync.OnceValues(checks.ReadShipped)

// judged judges jobs and returns the page and what the engine said.
func judged(t *testing.T, o checks.Options, s report.Settings) (string, *ledger) {
	t.Helper()
	shipped, err := readShipped()
	require.NoError(t, err)
	day, ok := fact.ParseDay("2026-11-25")
	require.True(t, ok)
	o.AsOf, o.Shipped, o.Version = checks.AsOf{Date: day}, shipped, "test"
	var page bytes.Buffer
	l := &ledger{jobs: map[string]known{}}
	run, err := checks.Lint(context.Background(), o, report.NewHTML(&page, s), l)
	require.NoError(t, err)
	require.Empty(t, run.Failed)
	return page.String(), l
}

// examples judges jobs of the examples, all of them where none is named.
func examples(t *testing.T, numbers ...string) (string, *ledger) {
	t.Helper()
	paths := []string{"../../../../examples"}
	if len(numbers) > 0 {
		paths = nil
	}
	for _, n := range numbers {
		paths = append(paths, "../../../../examples/jobs/"+n+".yaml")
	}
	return judged(t, checks.Options{Paths: paths}, report.Settings{})
}

// firm is a repository of generated jobs, in memory, with what is added to it.
func firm(jobs int, more map[string]string) fstest.MapFS {
	out := fstest.MapFS{}
	for _, files := range []map[string]string{jobgen.Firm(jobs, 20261125), more} {
		for name, text := range files {
			out[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return out
}

func generated(t *testing.T, jobs int, more map[string]string, s report.Settings) (string, *ledger) {
	t.Helper()
	return judged(t, checks.Options{FS: firm(jobs, more), Paths: []string{"."}}, s)
}

// hostile is text in a job that would run, fetch or restyle if it were taken for more
// than text.
const hostile = `</code></section><script>document.title="ran"</script><img src=http://example.invalid/x onerror=document.title="ran"><style>body{display:none}</style><a href="javascript:document.title=1">`

// troubled are files that show what a page has to say when not all is well: one that
// cannot be read, one with a field that is not known, one without most of its facts,
// one on hold, one with hostile text.
func troubled() map[string]string {
	return map[string]string{
		"jobs/2026/torn.yaml":     "job: 2026-90001\nstage: [designed\n",
		"jobs/2026/unknown.yaml":  "job: 2026-90002\nstage: designed\npremises: {id: plot-1, colour: green}\n",
		"jobs/2026/bare.yaml":     "job: 2026-90003\nstage: in-service\npremises: {id: plot-2}\nstacks: [{id: A, equipment: tarnel@C}]\n",
		"jobs/2026/hold.yaml":     "job: 2026-90004\nstatus: on hold\nstage: designed\npremises: {id: plot-3}\nstacks: [{id: A, equipment: tarnel@C, wall_gap: 90 mm}]\n",
		"jobs/2026/hostile.yaml":  "job: 2026-90005\nstage: designed\npremises: {id: '" + hostile + "'}\n'" + hostile + "': 1\nstacks: [{id: '" + hostile + "', equipment: tarnel@C, wall_gap: 9 mm}]\n",
		"jobs/2026/set-down.yaml": "job: 2026-90006\nstatus: cancelled\nstage: designed\npremises: {id: plot-4}\n",
	}
}

// several are jobs of different stages, with open points before different gates.
var several = []string{"2025-061", "2026-009", "2026-017", "2026-019", "2026-024", "2026-031", "2026-038"}
