package checks

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/boundary"
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/schema"
)

// neverMore lists the functions whose worked example is the most that they ever
// give: no value lies outside of a limit there.
var neverMore = map[string]string{
	"conductors.electrode_conductor_nec": "the largest that 250.166 asks for",
	"inverters.island_usable":            "as much as its stacks hold, which are made with the datasheet's example",
	"supply.island.hours":                "as long as its stacks last, which are made with the datasheet's example",
	"stacks.derating_cold":               "all of the current",
	"conductors.egc_nec":                 "the last row of Table 250.122",
	"conductors.egc_nec_2017":            "the last row of Table 250.122",
}

// A firm may set a limit on any calculated measure: for each one with a worked
// example, cases can be made for a limit at the value the example gives, and the
// engine judges them as expected. So no function is out of reach for the limits
// that will ship, and `limits check` finds examples for those of a firm.
func TestEveryFunctionCanBeBounded(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	t.Parallel()
	shape, _ := shipped(t)
	set, file := workedLimits(t, shape)
	maker := &boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}
	own := boundary.Own{Files: map[string]string{"rules/own.cue": file}}
	p := boundary.NewProbe()
	var tried []ownCases
	for _, l := range set.Limits {
		before := len(p.Cases)
		err := maker.Add(p, l, own)
		if reason, ok := neverMore[l.Measure]; ok {
			assert.ErrorContains(t, err, "goes over", "%s: %s", l.Measure, reason)
			continue
		}
		if !assert.NoError(t, err, l.Measure) {
			continue
		}
		one := &boundary.Probe{Files: p.Files, Cases: p.Cases[before:]}
		assertBothOutcomes(t, l, one)
		tried = append(tried, ownCases{l, one})
	}
	assert.NotEmpty(t, tried)
	run, out := lint(t, p.Files)
	require.Empty(t, run.Problems)
	for _, one := range tried {
		t.Run(one.limit.Measure, func(t *testing.T) { judgeCases(t, run, out, one.limit, one.probe) })
	}
}

// workedLimits compiles a rule set with a limit on the measure of each worked
// example, at the value that it gives, and returns its file too.
func workedLimits(t *testing.T, shape *fact.Compiled) (*limit.Set, string) {
	t.Helper()
	names, err := filepath.Glob("../testdata/measures/*.txtar")
	require.NoError(t, err)
	seen := map[string]bool{}
	var limits [][2]string
	for _, name := range names {
		w := readWorked(t, name, shape)
		if w.refuses != "" || seen[w.measure] || w.gives.Unit().OrderReversed() {
			continue
		}
		seen[w.measure] = true
		leaf := shape.Leaf(w.measure)
		value := strconv.FormatFloat(w.gives.In(leaf.Of), 'f', 6, 64)
		if leaf.Type == fact.Count {
			value, _, _ = strings.Cut(value, ".")
		}
		limits = append(limits, [2]string{fmt.Sprintf("l-%03d", len(limits)), fmt.Sprintf("measure: %q, within: <=%s, unit: %q", w.measure, value, leaf.Unit)})
	}
	file := ruleFile("own", "code", "simple", "", limits...)
	read := define.ReadFirm(schema.Files, firm{"witnessmark.cue": rootFile, "rules/own.cue": file}.fs(), shape)
	require.Empty(t, read.Faults)
	set, faults := limit.CompileSet(shape, &read.RuleSets[0])
	require.Empty(t, faults)
	return set, file
}
