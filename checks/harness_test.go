package checks

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
)

// lines is a sink that keeps every outcome as one line of text, for tests:
// "file:line outcome name fact margin".
type lines struct {
	mu   sync.Mutex
	all  []string
	full map[string]seen // by file, name and fact
}

// seen is an outcome as far as tests look at it after the facts are gone.
type seen struct {
	kind                         judge.Kind
	blocking, strictest, reaches bool
	line                         int
	margin, reason, bound, grade string
	waits                        []string
}

func newLines() *lines { return &lines{full: map[string]seen{}} }

func (l *lines) Begin(*Run) error { return nil }

func (l *lines) Render(dst []byte, j *Job) []byte {
	var b strings.Builder
	if j.Result == nil {
		return dst
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	for i := range j.Result.Outcomes {
		o := &j.Result.Outcomes[i]
		s := seen{kind: o.Kind, blocking: o.Blocking, strictest: o.Strictest, reaches: o.Reaches, reason: o.Reason}
		if o.Value != nil {
			s.line = o.Value.At.Line
		}
		if s.line == 0 {
			at, _ := o.Of.BlockOf(o.Leaf)
			s.line = at.Line
		}
		s.margin, _ = o.Margin()
		if o.Limit != nil {
			s.grade = string(o.Limit.Grade)
			s.bound = o.Limit.Describe(o.Second)
		}
		for _, w := range o.WaitsOn {
			s.waits = append(s.waits, w.Of.AddressOf(w.Leaf))
		}
		l.full[j.File+" "+o.Name()+" "+o.Fact()] = s
		fmt.Fprintf(&b, "%s:%d %s %s %s %s\n", j.File, s.line, o.Kind, o.Name(), o.Fact(), s.margin)
	}
	return append(dst, b.String()...)
}

func (l *lines) Job(rendered []byte) error {
	l.all = append(l.all, strings.Split(strings.TrimSuffix(string(rendered), "\n"), "\n")...)
	return nil
}

func (l *lines) End(*Run) error { return nil }

// firm is a firm's repository in memory.
type firm map[string]string

func (f firm) fs() fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range f {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

var asOf = AsOf{Date: day("2026-11-25")}

func day(s string) fact.Day {
	d, ok := fact.ParseDay(s)
	if !ok {
		panic("no day: " + s)
	}
	return d
}

// lint judges a firm in memory.
func lint(t testing.TB, f firm, paths ...string) (*Run, *lines) {
	t.Helper()
	if len(paths) == 0 {
		paths = []string{"."}
	}
	out := newLines()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	run, err := Lint(ctx, Options{FS: f.fs(), Paths: paths, AsOf: asOf, Shipped: once(t), Workers: 2}, out)
	require.NoError(t, err)
	return run, out
}

const noDay = fact.NoDay

func instant(s string) time.Time {
	t, err := time.Parse(time.RFC3339, s)
	if err != nil {
		panic(err)
	}
	return t
}

// lintAt judges a firm in memory as of another time.
func lintAt(t testing.TB, at AsOf, f firm) (*Run, *lines) {
	t.Helper()
	out := newLines()
	run, err := Lint(context.Background(), Options{FS: f.fs(), Paths: []string{"."}, AsOf: at, Shipped: once(t)}, out)
	require.NoError(t, err)
	return run, out
}
