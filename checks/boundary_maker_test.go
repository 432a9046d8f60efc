package checks

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/boundary"
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/schema"
)

// handMade compiles one limit of a firm's policy. Body is CUE, without what
// every limit has to state.
func handMade(t *testing.T, shape *fact.Compiled, body string) (*limit.Compiled, firm) {
	t.Helper()
	f := firm{"witnessmark.cue": rootFile, "rules/own.cue": `package rules

import (
	"witnessmark.example/schema/facts"
	"witnessmark.example/schema/limit"
)

_unused: facts

#own: limit.#RuleSet & {
	source: {name: "own", title: "Own", edition: "1", kind: "policy", decision: "guarded", decided_by: "The firm.", always: true}
	limits: probe: {clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A test."}
	limits: probe: {` + body + `}
}
`}
	if !strings.Contains(body, "facts.") {
		f["rules/own.cue"] = strings.NewReplacer("import (\n\t\"witnessmark.example/schema/facts\"\n", "import (\n", "_unused: facts\n\n", "").Replace(f["rules/own.cue"])
	} else {
		f["rules/own.cue"] = strings.Replace(f["rules/own.cue"], "_unused: facts\n\n", "", 1)
	}
	read := define.ReadFirm(schema.Files, f.fs(), shape)
	require.Empty(t, read.Faults)
	require.Len(t, read.RuleSets, 1)
	set, faults := limit.CompileSet(shape, &read.RuleSets[0])
	require.Empty(t, faults)
	require.Len(t, set.Limits, 1)
	return set.Limits[0], f
}

// What the maker expects of limits of a firm's own, written out by hand for one
// unit: below, at, above each bound in turn, then of each end of a band, then
// beside the dates.
func TestMakerOnOwnLimits(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	maker := &boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}
	own, _ := exampleOwn(t, shape)
	const in, out, not, close = judge.Within, judge.Outside, judge.NotApplicable, judge.TooClose
	for name, tt := range map[string]struct {
		unit string
		want []judge.Kind
	}{
		"policy#air-behind":                          {"mm", []judge.Kind{out, close, close, out, out, out, close, in, in}}, // 24 mm, band 1 mm
		"policy#space-front":                         {"mm", []judge.Kind{out, in, in, not}},
		"policy#fixings":                             {"count", []judge.Kind{out, in, in}},
		"ammerel/tholvane-2025#unit-spacing-outside": {"mm", []judge.Kind{out, in, in, not}},
		"equipment/orrelin@A#series":                 {"count", []judge.Kind{out, in, in, in, in, out}},
		"equipment/orrelin@B#parallel":               {"count", []judge.Kind{in, in, out}},
		"equipment/tessavo@A#air-low":                {"°C", []judge.Kind{out, in, in}},
		"equipment/tessavo@A#torque-dc-terminal":     {"N·m", []judge.Kind{out, in, in, in, in, out}},
	} {
		i := slices.IndexFunc(own, func(l ownLimit) bool { return l.FullName == name })
		if !assert.GreaterOrEqual(t, i, 0, "%s is not in the examples", name) {
			continue
		}
		p := boundary.NewProbe()
		require.NoError(t, maker.Add(p, own[i].Compiled, own[i].Own))
		var have []judge.Kind
		for _, c := range p.Cases {
			if c.Unit == quantity.MustUnit(tt.unit) {
				have = append(have, c.Expect)
			}
		}
		assert.Equal(t, tt.want, have, name)
	}
}

// The maker itself, on limits made for it: what it expects is written out here
// by hand for the limit's own unit, and every case is judged by the engine.
func TestMakerOfBoundaryCases(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	t.Parallel()
	const in, out, not = judge.Within, judge.Outside, judge.NotApplicable
	for _, tt := range []struct {
		name, body, unit string
		want             []judge.Kind // below, at, above each bound in turn
	}{
		{"at most", `measure: "stacks.base_height", within: <=6, unit: "mm"`, "mm", []judge.Kind{in, in, out}},
		{"less", `measure: "stacks.base_height", within: <6, unit: "mm"`, "mm", []judge.Kind{in, out, out}},
		{"at least", `measure: "stacks.base_height", within: >=6, unit: "mm"`, "mm", []judge.Kind{out, in, in}},
		{"greater", `measure: "stacks.base_height", within: >6, unit: "mm"`, "mm", []judge.Kind{out, out, in}},
		{"differs", `measure: "stacks.base_height", within: !=6, unit: "mm"`, "mm", []judge.Kind{in, out, in}},
		{"exactly", `measure: "stacks.modules", within: 4, unit: "modules"`, "count", []judge.Kind{out, in, out}},
		{"both ends of a band", `measure: "stacks.wall_gap", within: >=12 & <19, unit: "mm"`, "mm", []judge.Kind{out, in, in, in, out, out}},
		{"alternatives", `measure: "stacks.wall_gap", within: <=5 | >10, unit: "mm"`, "mm", []judge.Kind{in, in, out, out, out, in}},
		{"band of a count", `measure: "stacks.modules", within: >=2 & <=5, unit: "modules"`, "count", []judge.Kind{out, in, in, in, in, out}},
		{"printed pair, main value", `measure: "units.spacing", within: >=3, unit: "ft", printed: {within: >=0.9, unit: "m"}`, "ft", []judge.Kind{out, in, in}},
		{"printed pair, second value", `measure: "units.spacing", within: >=3, unit: "ft", printed: {within: >=0.9, unit: "m"}`, "cm", []judge.Kind{out, in, in}},
		{"bound from a fact", `measure: "stacks.clearance.above", within: >=(2*facts.stacks.clearance.left), unit: "mm"`, "mm", []judge.Kind{out, in, in}},
		{"bound from a fact and a number", `measure: "stacks.clearance.above", within: <=(facts.stacks.equipment.dimensions.width + 50), unit: "mm"`, "mm", []judge.Kind{in, in, out}},
		{"wire size", `measure: "conductors.size", within: >=16, unit: "mm²"`, "mm²", []judge.Kind{out, in, in}},
		{"temperature", `measure: "locations.air.low", within: >=-10, unit: "°C"`, "°C", []judge.Kind{out, in, in}},
		{"calculated by a product", `measure: "stacks.energy", within: <=17, unit: "kWh"`, "kWh", []judge.Kind{in, in, out}},
		{"calculated by a choice", `measure: "stacks.voltage_high", within: <400, unit: "V", when: stacks: modules: >=3`, "V", []judge.Kind{in, out, out}},
		{"counted", `measure: "units.stack_count", within: <=3, unit: "stacks"`, "count", []judge.Kind{in, in, out}},
		{"counted back along a link", `measure: "locations.unit_count", within: <=2, unit: "units"`, "count", []judge.Kind{in, in, out}},
		{"sum over the premises", `measure: "premises.energy_outdoors", within: <=9.5, unit: "kWh"`, "kWh", []judge.Kind{in, in, out}},
		{"condition on the measure itself", `measure: "stacks.voltage_high", within: <=300, unit: "V", when: stacks: voltage_high: >300`, "V", []judge.Kind{not, not, out}},
		{"conditions along links", `measure: "stacks.clearance.front", within: >=900, unit: "mm", when: {status: !="on hold", stacks: {energy: >5 & <=10, unit: location: {setting: "plant room" | "farm building", vehicle_path: false}}}`, "mm", []judge.Kind{out, in, in}},
		{"bound from a register", `measure: "joints.torque.set", within: <=facts.joints.instrument.range.torque_high, unit: "N·m"`, "N·m", []judge.Kind{in, in, out}},
		{"bound from another kind of equipment", `measure: "inverters.power", within: <=facts.inverters.equipment.ac.power, unit: "kW"`, "kW", []judge.Kind{in, in, out}},
		{"condition on a person", `measure: "joints.torque.set", within: >=5, unit: "N·m", when: joints: by: licence: "grade 2"`, "N·m", []judge.Kind{out, in, in}},
		{"condition on an opening", `measure: "locations.openings.distance", within: >=914, unit: "mm", when: {locations: {setting: "exterior wall", openings: {opening: "door" | "window", into: "dwelling"}}}`, "mm", []judge.Kind{out, in, in}},
		{"smallest of several", `measure: "inverters.modules_fewest", within: >=3, unit: "modules", when: inverters: stack_count: >=2`, "count", []judge.Kind{out, in, in}},
		{"counted among others", `measure: "inverters.leads", within: >=1 & <=1, unit: "stacks", when: inverters: stack_count: >=2`, "count", []judge.Kind{out, in, out}},
		{"different texts", `measure: "inverters.firmwares", within: <2, unit: "versions", when: inverters: stack_count: >=3`, "count", []judge.Kind{in, out, out}},
		{"different products", `measure: "inverters.products", within: <=1, unit: "products", when: inverters: stack_count: >=2`, "count", []judge.Kind{in, out}},
		{"bound from a table", `measure: "conductors.current", within: <=facts.conductors.ampacity_nec, unit: "A"`, "A", []judge.Kind{in, in, out}},
		{"measure from a table", `measure: "conductors.ampacity_at_terminals_nec", within: >=65, unit: "A"`, "A", []judge.Kind{out, in, in}},
		{"difference of several", `measure: "inverters.voltage_difference", within: <=2, unit: "V"`, "V", []judge.Kind{in, in, out}},
		{"some and every", `measure: "locations.volume", within: >=20, unit: "m³", when: {some: inverters: power: >5, every: inverters: coupling: "dc-coupled"}`, "m³", []judge.Kind{out, in, in}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			shape, _ := shipped(t)
			l, more := handMade(t, shape, tt.body)
			probe, err := (&boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}).Make(l)
			require.NoError(t, err)
			var have []judge.Kind
			for _, c := range probe.Cases {
				if c.Unit == quantity.MustUnit(tt.unit) {
					have = append(have, c.Expect)
				}
			}
			assert.Equal(t, tt.want, have)
			assertWhole(t, l, probe)
			judgeProbe(t, l, probe, more)
		})
	}
}

// Where measure and bound go in steps, or a bound goes with the measure, no value
// may lie on one of its sides. The cases say so.
func TestMakerInSteps(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	for _, tt := range []struct {
		name, body string
		sides      []boundary.Side
		want       []judge.Kind
	}{
		{"steps over a number", `measure: "conductors.ampacity_at_terminals_nec", within: >=60, unit: "A"`, []boundary.Side{boundary.Below, boundary.Above}, []judge.Kind{judge.Outside, judge.Within}},
		{"the bound goes with the measure", `measure: "protection.rating", within: >=facts.protection.standard_rating_nec, unit: "A"`, []boundary.Side{boundary.Below, boundary.At}, []judge.Kind{judge.Outside, judge.Within}},
		{"two of the same entries", `measure: "inverters.modules_most", within: <=facts.inverters.modules_fewest, unit: "modules"`, []boundary.Side{boundary.At, boundary.Above}, []judge.Kind{judge.Within, judge.Outside}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l, more := handMade(t, shape, tt.body)
			probe, err := (&boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}).Make(l)
			require.NoError(t, err)
			var sides []boundary.Side
			var have []judge.Kind
			for _, c := range probe.Cases {
				assert.True(t, c.Short, "a side is lacking")
				sides, have = append(sides, c.Side), append(have, c.Expect)
			}
			assert.Equal(t, tt.sides, sides)
			assert.Equal(t, tt.want, have)
			judgeProbe(t, l, probe, more)
		})
	}
}

// What the maker cannot do it says: a calculation it does not see through must
// not pass for lack of a case.
func TestMakerSaysWhatItCannotDo(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	words, _ := handMade(t, shape, `measure: "stacks.wall.fixing", within: !="wedge anchor"`)
	_, err := (&boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}).Make(words)
	assert.ErrorIs(t, err, boundary.ErrNoNumber)

	constant := slices.Clone(shippedFunctions(t))
	for i := range constant {
		constant[i].Of = func([]quantity.Argument, *quantity.Steps) (quantity.Quantity, error) {
			return quantity.CalculatedIn(1, quantity.MustUnit("kWh"))
		}
	}
	energy, _ := handMade(t, shape, `measure: "stacks.energy", within: <=17, unit: "kWh"`)
	_, err = (&boundary.Maker{Shape: shape, Functions: constant}).Make(energy)
	assert.ErrorContains(t, err, "no inputs of stacks.energy (stack.NameplateEnergy) were found that give 61199990 J")

	clash, _ := handMade(t, shape, `measure: "stacks.lean", within: <=6, unit: "mm", when: stacks: modules: >4 & <5`)
	_, err = (&boundary.Maker{Shape: shape, Functions: shippedFunctions(t)}).Make(clash)
	assert.ErrorContains(t, err, "no number was found that meets >4 & <5")
}

// In the measure's own unit alone there are fewer cases, and still all sides.
func TestMakerInOwnUnit(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	l, _ := handMade(t, shape, `measure: "stacks.wall_gap", within: >=12, unit: "mm"`)
	probe, err := (&boundary.Maker{Shape: shape, Functions: shippedFunctions(t), OwnUnit: true}).Make(l)
	require.NoError(t, err)
	var sides []boundary.Side
	for _, c := range probe.Cases {
		assert.Equal(t, quantity.MustUnit("mm"), c.Unit)
		sides = append(sides, c.Side)
	}
	assert.Equal(t, []boundary.Side{boundary.Below, boundary.At, boundary.Above}, sides)
}
