package checks

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// proposed is a sink that keeps proposals as text: fact, values, what they mend.
type proposed struct {
	lines
	own sync.Mutex
	of  map[string][]string // values by fact
}

func (p *proposed) Render(dst []byte, j *Job) []byte {
	if j.Result == nil {
		return dst
	}
	p.own.Lock()
	defer p.own.Unlock()
	for i := range j.Proposals {
		one := &j.Proposals[i]
		values := []string{}
		for _, v := range one.Values {
			values = append(values, one.Leaf.Format(v, v.Unit()))
		}
		at := one.Of.AddressOf(one.Leaf)
		for _, in := range one.With {
			at += " with " + in.AddressOf(one.Leaf)
		}
		p.of[at] = values
	}
	return p.lines.Render(dst, j)
}

func proposalsOf(t *testing.T, f firm) (map[string][]string, *lines) {
	t.Helper()
	p := &proposed{lines: lines{full: map[string]seen{}}, of: map[string][]string{}}
	_, err := Lint(context.Background(), Options{FS: f.fs(), Paths: []string{"."}, AsOf: asOf, Shipped: once(t)}, p)
	require.NoError(t, err)
	return p.of, &p.lines
}

// wired is a designed job with one conductor and its device.
func wired(size, current, rating string) string {
	return `job: "1"
premises: {id: p, occupancy: farm}
stage: designed
rule_sets: [us/nec-2023]
conductors:
  - {id: c, carries: ac, size: ` + size + `, material: copper, insulation: 90 °C, insulation_type: THWN-2, ambient: 30 °C, current: ` + current + `, continuous: false, current_carrying: 3, parallel: 1,
     length: 5 m, laid: in conduit, protected_by: f, terminals: [{end: from, temperature: 75 °C}, {end: to, temperature: 75 °C}]}
protection:
  - {id: f, kind: circuit-breaker, rating: ` + rating + `, dc_rated: false}
`
}

// An undersized conductor or device is answered with the smallest standard one
// that passes; nothing is proposed for a job that passes.
func TestProposals(t *testing.T) {
	for _, c := range []struct {
		name, job string
		want      map[string][]string
	}{
		{"passes", wired("6 AWG", "60 A", "60 A"), map[string][]string{}},
		// 75 °C column of Table 310.16: 8 AWG 50 A, 6 AWG 65 A. The breaker of 60 A is the
		// next above 50 A, so only the current is in the way.
		{"conductor too small for its current", wired("8 AWG", "60 A", "60 A"), map[string][]string{"conductors[c].size": {"6 AWG"}, "protection[f].rating": {}}},
		// 70 A is beyond the next rating above 50 A; from 6 AWG on (65 A) it is the next one.
		{"device too large", wired("8 AWG", "40 A", "70 A"), map[string][]string{"conductors[c].size": {"6 AWG"}, "protection[f].rating": {"40 A"}}},
		// The tables of the code hold no metric size, so nothing can be said of one.
		{"metric under the code", wired("4 mm²", "60 A", "60 A"), map[string][]string{}},
		{"metric under the code, with a device that is outside another limit", strings.Replace(wired("4 mm²", "60 A", "15 A"), "continuous: false", "continuous: true", 1), map[string][]string{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, out := proposalsOf(t, firm{"witnessmark.cue": rootFile, "jobs/1.yaml": c.job})
			assert.Equal(t, c.want, got, "%s", out.all)
		})
	}
}

// Stacks that must be equal change together: nine modules of 57.6 V are too many for
// 500 V, and with eight in one of them the other would differ.
func TestProposalsTogether(t *testing.T) {
	f := firm{"witnessmark.cue": rootFile, "equipment/series.cue": seriesStack, "equipment/plain.cue": plainInverter,
		"jobs/1.yaml": "job: \"1\"\npremises: {id: p}\nstage: designed\n" + fmt.Sprintf(jobOfTwo, "modules: 9", "modules: 9", "")}
	got, out := proposalsOf(t, f)
	values := got["stacks[A].modules with stacks[B].modules"]
	require.NotEmpty(t, values, "%v %s", got, out.all)
	assert.Equal(t, "8 modules", values[len(values)-1])
	assert.NotContains(t, got, "stacks[B].modules")
	assert.NotContains(t, got, "stacks[A].modules")

	f["jobs/1.yaml"] = strings.Replace(f["jobs/1.yaml"], "equipment: series@A, inverter: I, modules: 9", "equipment: series@A, inverter: I, modules: 8", 1)
	got, _ = proposalsOf(t, f)
	assert.Equal(t, []string{"8 modules"}, got["stacks[B].modules"], "%v: one that differs comes down to the other", got)
}
