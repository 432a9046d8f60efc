package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/cmd/witnessmark/report"
)

// scalars are the example jobs with the places of their values and keys.
type scalars struct {
	source []byte
	spans  []jobfile.Span
}

var readScalars = sync.OnceValues(func() (all []scalars, err error) {
	jobs, err := filepath.Glob("../../examples/jobs/*.yaml")
	for _, name := range jobs {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		f, problems := jobfile.Read(name, data, jobfile.Limits{})
		if f == nil {
			return nil, fmt.Errorf("%s: %v", name, problems)
		}
		one := scalars{source: data}
		var walk func(*jobfile.Node)
		walk = func(n *jobfile.Node) {
			for i := range n.Fields {
				one.spans = append(one.spans, n.Fields[i].KeySpan)
				walk(n.Fields[i].Value)
			}
			for _, item := range n.Items {
				walk(item)
			}
			if n.Kind == jobfile.Scalar {
				one.spans = append(one.spans, n.Span)
			}
		}
		walk(f.Root)
		all = append(all, one)
	}
	return all, err
})

// with is the job with another text in one place.
func (s *scalars) with(place int, text string) []byte {
	span := s.spans[place%len(s.spans)]
	return slices.Concat(s.source[:span.Start], []byte(text), s.source[span.End:])
}

// memory writes every report about job files without a firm, which is fast.
func memory(t testing.TB, files map[string][]byte) map[string][]byte {
	t.Helper()
	repo := fstest.MapFS{}
	for name, data := range files {
		repo[name] = &fstest.MapFile{Data: data}
	}
	var sinks []checks.Sink
	var outs []*bytes.Buffer
	for _, f := range report.Formats() {
		outs = append(outs, new(bytes.Buffer))
		sinks = append(sinks, f.New(outs[len(outs)-1], report.Settings{Calculations: true}))
	}
	run, err := checks.Lint(context.Background(), checks.Options{FS: repo, Paths: []string{"."}, Workers: 1, Shipped: shipped(t), WithoutProposals: true}, sinks...)
	require.NoError(t, err)
	require.Empty(t, run.Failed)
	got := map[string][]byte{}
	for i, f := range report.Formats() {
		got[f.Name] = outs[i].Bytes()
	}
	return got
}

// Any text in place of any value or key of an example, as it is or in quotes, and in
// the name of the file, leaves every report inert.
func FuzzInert(f *testing.F) {
	notRaced(f)
	all, err := readScalars()
	require.NoError(f, err)
	for i, text := range append(append([]string{}, hostile...), refused...) {
		if !fuzzing() && i%4 != 0 {
			continue // TestNothingSteersAReport has them all
		}
		f.Add(text, uint16(i), uint16(i*37), i%3 == 0)
	}
	others := map[string][]byte{} // what a report may be made of besides: every example, at every stage
	stage := regexp.MustCompile(`(?m)^stage: .*$`)
	for i := range all {
		others[fmt.Sprintf("jobs/%d.yaml", i)] = all[i].source
		if name := fact.StageNames(); i < len(name) {
			others[fmt.Sprintf("jobs/s%d.yaml", i)] = stage.ReplaceAll(all[i].source, []byte("stage: "+name[i]))
		}
	}
	harmless := memory(f, others)
	f.Fuzz(func(t *testing.T, text string, job, place uint16, raw bool) {
		one := &all[int(job)%len(all)]
		written, plain := text, "plain words"
		if !raw {
			written, plain = quoted(text), quoted(plain)
		}
		name := "a"
		if at := strings.ToValidUTF8(text, ""); raw && at != "" && len(at) < 100 && !strings.ContainsAny(at, "/\\\x00") && at != "." && at != ".." {
			name = at
		}
		got := memory(t, map[string][]byte{"jobs/" + name + ".yaml": one.with(int(place), written), "jobs/refused.yaml": []byte("a: [" + text)})
		requireInert(t, got, harmless, memory(t, map[string][]byte{"jobs/a.yaml": one.with(int(place), plain), "jobs/refused.yaml": []byte("a: [x")}))
	})
}

// fuzzing tells whether new inputs are looked for, beyond the seeds.
func fuzzing() bool {
	f := flag.Lookup("test.fuzz")
	return f != nil && f.Value.String() != ""
}
