package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/schema"
)

// Every date that follows another by its meaning is a finding where it is earlier,
// and none where it is the same day: of every such field of the shape.
func TestEveryOrderedDate(t *testing.T) {
	own, _, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	shape, err := fact.Compile(&own.Shape, shippedFunctions(t))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(shape.OrderedLeaves()), 15)
	for _, l := range shape.OrderedLeaves() {
		for day, want := range map[string]judge.Kind{"2026-03-10": judge.Outside, "2026-03-11": 0} {
			job, where := withDates(t, l, day)
			run, out := lint(t, firm{"jobs/1.yaml": job})
			require.Empty(t, run.Problems, job)
			got := out.full["jobs/1.yaml "+judge.DatesInOrder+" "+where]
			require.Equal(t, want, got.kind, "%s\n%s", l.Path, job)
			if want == judge.Outside {
				assert.Contains(t, got.reason, day+", before ")
				assert.Contains(t, strings.Split(job, "\n")[got.line-1], day, "it points at the later date")
			}
		}
	}
}

// withDates writes a job in which the field has a day and what it follows the
// 11th of March.
func withDates(t *testing.T, l *fact.Leaf, day string) (job, where string) {
	t.Helper()
	head := "job: \"1\"\nstage: surveyed\npremises: {id: p}\n"
	sc := l.Scope
	if sc.Parent == nil {
		name, earlier := strings.TrimPrefix(l.Path, "dates."), strings.TrimPrefix(l.After.Path, "dates.")
		return head + "dates:\n  " + earlier + ": 2026-03-11\n  " + name + ": " + day + "\n", l.Path
	}
	lines, indent, address := "", "", ""
	if sc.Parent.Parent != nil { // one level of nesting is all there is
		parent := sc.Parent
		lines, indent, address = parent.List.Name+":\n  - "+parent.List.Key+": A\n", "    ", parent.List.Name+"[A]."
	}
	list := strings.TrimPrefix(strings.TrimPrefix(sc.List.Name, sc.Parent.List.Name), ".")
	lines += indent + list + ":\n" + indent + "  - " + sc.List.Key + ": 1\n"
	put := func(path, value string) string {
		block, name, nested := strings.Cut(path, ".")
		if !nested {
			return indent + "    " + path + ": " + value + "\n"
		}
		return indent + "    " + block + ":\n" + indent + "      " + name + ": " + value + "\n"
	}
	if strings.Contains(l.Inside(), ".") {
		block, a, _ := strings.Cut(l.After.Inside(), ".")
		_, b, _ := strings.Cut(l.Inside(), ".")
		lines += indent + "    " + block + ":\n" + indent + "      " + a + ": 2026-03-11\n" + indent + "      " + b + ": " + day + "\n"
	} else {
		lines += put(l.After.Inside(), "2026-03-11") + put(l.Inside(), day)
	}
	return head + lines, address + list + "[1]." + l.Inside()
}

// A gate is passed before what it guards, not after.
func TestGatesArePassedInTime(t *testing.T) {
	for passed, want := range map[string]judge.Kind{"2026-03-12": judge.Outside, "2026-03-11": 0, "2026-03-01": 0} {
		for gate, moment := range map[string]string{"start-work": "start-work", "energise": "energised", "hand-over": "handed-over"} {
			_, out := lint(t, firm{"jobs/1.yaml": "job: \"1\"\nstage: surveyed\npremises: {id: p}\ndates: {" + moment + ": 2026-03-11}\ngates:\n  - {gate: " + gate + ", on: " + passed + "}\n"})
			got := out.full["jobs/1.yaml "+judge.DatesInOrder+" gates["+gate+"].on"]
			assert.Equal(t, want, got.kind, "%s %s", gate, passed)
			if want != 0 {
				assert.Equal(t, "the gate "+gate+" was passed on 2026-03-12, but the job went through it on 2026-03-11", got.reason)
			}
		}
	}
}

// What is wrong with a gate is open before that gate, not before the first one.
func TestGateIsItsOwnGate(t *testing.T) {
	job := "job: \"1\"\nstage: energised\npremises: {id: p}\ndates: {energised: 2026-03-11}\ngates:\n  - {gate: energise, on: 2026-03-12}\n"
	out := newLines()
	gates := map[string][]string{}
	_, err := Lint(t.Context(), Options{FS: firm{"jobs/1.yaml": job}.fs(), Paths: []string{"."}, AsOf: asOf, Shipped: once(t)}, out, sinkFunc(func(j *Job) {
		for _, g := range j.Result.Gates {
			for _, p := range g.Open {
				gates[g.Gate.String()] = append(gates[g.Gate.String()], p.Of.AddressOf(p.Leaf))
			}
		}
	}))
	require.NoError(t, err)
	assert.Contains(t, gates["energise"], "gates[energise].on")
	assert.Contains(t, gates["energise"], "gates[energise].by")
	assert.NotContains(t, gates["start-work"], "gates[energise].on")
}

// sinkFunc is a sink that looks at jobs and writes nothing.
type sinkFunc func(*Job)

func (f sinkFunc) Begin(*Run) error { return nil }
func (f sinkFunc) Render(dst []byte, j *Job) []byte {
	if j.Result != nil {
		f(j)
	}
	return dst
}
func (f sinkFunc) Job([]byte) error { return nil }
func (f sinkFunc) End(*Run) error   { return nil }
