package review_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/review"
)

// missing lists what is said of figures that equipment data lacks, by figure:
// the remark that begins with "oar@A states no FIGURE,".
func missing(t *testing.T, f firm) map[string]review.Remark {
	t.Helper()
	out := map[string]review.Remark{}
	for _, x := range reviewed(t, f).Remarks {
		if x.Code == "figure-missing" {
			_, rest, ok := strings.Cut(x.Message, "@A states no ")
			require.True(t, ok, x.Message)
			figure, _, _ := strings.Cut(rest, ",")
			out[figure] = x
		}
	}
	return out
}

// Which figures a calculation needs is known to the calculation alone: a stack of
// modules in series needs their charge ceiling, one with converters their output.
func TestReviewOfFiguresForMeasures(t *testing.T) {
	t.Parallel()
	data := func(figures string) firm {
		return policyWith(``).with("equipment/oar.cue", `package equipment

import "witnessmark.example/schema/equipment"

#products: oar: A: equipment.#Storage & {
	title: "Wall stack", edition: "1"
	`+figures+`
}
`)
	}
	const ceiling, output, energy = "module.voltage.high", "output.voltage_high", "module.energy"
	for _, tt := range []struct {
		name, figures string
		lacks, states []string
	}{
		{"in series, without its ceiling", `architecture: "modules in series", module: energy: "2 kWh"`, []string{ceiling}, []string{output, energy, "architecture"}},
		{"in series, with it", `architecture: "modules in series", module: {energy: "2 kWh", voltage: high: "57 V"}`, nil, []string{ceiling, output, energy}},
		{"converter, without its output", `architecture: "converter per stack", module: {energy: "2 kWh", voltage: high: "57 V"}`, []string{output}, []string{ceiling, energy}},
		{"converter, with it", `architecture: "converter per module", module: energy: "2 kWh", output: voltage_high: "400 V"`, nil, []string{ceiling, output, energy}},
		{"no energy", `architecture: "converter per module", output: voltage_high: "400 V"`, []string{energy}, []string{ceiling, output}},
		{"no architecture: what else is needed depends on it", `module: energy: "2 kWh"`, []string{"architecture"}, []string{ceiling, output, energy}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			have := missing(t, data(tt.figures))
			for _, f := range tt.lacks {
				require.Contains(t, have, f)
				assert.Equal(t, 5, have[f].At.Line, "the line of the revision")
				assert.Contains(t, have[f].Message, "cannot be calculated")
				assert.NotEmpty(t, have[f].Mend)
			}
			for _, f := range tt.states {
				if x, ok := have[f]; ok {
					assert.NotContains(t, x.Message, "cannot be calculated")
				}
			}
		})
	}
	assert.Contains(t, missing(t, data(`architecture: "modules in series"`))[ceiling].Message, "so highest voltage of the stack (stacks.voltage_high) cannot be calculated")
}

// Figures that limits take their bounds from, or ask for.
func TestReviewOfFiguresForLimits(t *testing.T) {
	t.Parallel()
	const bound = `limits: a: {measure: "stacks.clearance.above", unit: "mm", within: >=facts.stacks.equipment.dimensions.depth}`
	lacks := func(policy, figures string) string {
		f := policyWith(policy).with("equipment/oar.cue", strings.Replace(product("oar", "A", ``), "\tlimits:", "\t"+figures+"\n\tlimits:", 1))
		return missing(t, f)["dimensions.depth"].Message
	}
	assert.Contains(t, lacks(bound, ``), "policy#a cannot be judged")
	assert.NotContains(t, lacks(bound, `dimensions: depth: "210 mm"`), "policy#a")
	const asked = `limits: a: {` + front + `, within: >=900, when: stacks: equipment: dimensions: depth: >200}`
	assert.Contains(t, lacks(asked, ``), "policy#a cannot be judged")
	assert.NotContains(t, lacks(strings.Replace(asked, `equipment: dimensions: depth: >200`, `equipment: {architecture: "converter per stack", dimensions: depth: >200}`, 1), ``), "policy#a", "the product's own figures rule the limit out")
	assert.Contains(t, lacks(strings.Replace(asked, `equipment: dimensions: depth: >200`, `equipment: {architecture: "modules in series", dimensions: depth: >200}`, 1), ``), "policy#a")
}

// A limit of another product waits on nothing that this one states.
func TestFiguresOfOtherProductsAreTheirs(t *testing.T) {
	t.Parallel()
	f := policyWith(``).with("equipment/oar.cue", product("oar", "A", ``)).
		with("equipment/quell.cue", product("quell", "A", `"a": {measure: "stacks.modules", unit: "modules", within: <=7, when: stacks: equipment: dimensions: depth: >200}`))
	var of []string
	for _, x := range reviewed(t, f).Remarks {
		if strings.Contains(x.Message, "equipment/quell@A#a") {
			of = append(of, x.At.File)
		}
	}
	assert.Equal(t, []string{"equipment/quell.cue"}, slices.Compact(of))
}

// A limit on a device of one kind, or for one kind of current, asks no figure of a
// product that is another.
func TestReviewOfFiguresOfDevices(t *testing.T) {
	t.Parallel()
	device := func(figures string) firm {
		return policyWith(``).with("equipment/oar.cue", `package equipment

import "witnessmark.example/schema/equipment"

#products: oar: A: equipment.#Protection & {
	title: "Devices", edition: "1"
	`+figures+`
}
`)
	}
	fuse := missing(t, device(`device: "fuse", rating: "50 A", dc: {voltage: "1000 V", breaking_capacity: "20 kA"}`))
	for _, figure := range []string{"ac.voltage", "ac.breaking_capacity", "rcd_type", "residual"} {
		assert.NotContains(t, fuse, figure)
	}
	half := missing(t, device(`device: "fuse", rating: "50 A", dc: voltage: "1000 V"`))
	assert.Contains(t, half, "dc.breaking_capacity", "one figure of direct current calls for the other")
	assert.NotContains(t, half, "ac.voltage")
	residual := missing(t, device(`device: "residual-current device", rating: "40 A", ac: {voltage: "400 V", breaking_capacity: "10 kA"}`))
	assert.Contains(t, residual, "rcd_type")
	assert.Contains(t, residual, "residual")
	neither := missing(t, device(`device: "fuse", rating: "50 A"`))
	assert.Contains(t, neither, "dc.voltage")
	assert.Contains(t, neither, "ac.voltage")
}
