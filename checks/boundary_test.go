package checks

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"regexp"
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

// withoutCase lists the limits with a number for which no boundary case can be
// made, each with the reason. A limit that no longer needs its line is an error.
var withoutCase = map[string]string{}

// shipped are the tool's own definitions, compiled.
func shipped(t testing.TB) (*fact.Compiled, []*limit.Set) {
	t.Helper()
	own, _, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	shape, err := fact.Compile(&own.Shape, Functions())
	require.NoError(t, err)
	var sets []*limit.Set
	for i := range own.RuleSets {
		set, faults := limit.CompileSet(shape, &own.RuleSets[i])
		require.Empty(t, faults)
		sets = append(sets, set)
	}
	return shape, sets
}

// Every limit with a number of every rule set that ships: just inside, at and
// just outside each bound, in every unit the measure can be written in.
func TestEveryShippedLimitAtItsBoundary(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	maker := &boundary.Maker{Shape: shape, Functions: Functions()}
	limits, cases := 0, 0
	for _, set := range sets {
		for _, l := range set.Limits {
			probe, err := maker.Make(l)
			reason, excepted := withoutCase[l.FullName]
			switch {
			case errors.Is(err, boundary.ErrNoNumber):
				assert.False(t, excepted, "%s has no number and needs no exception", l.FullName)
				continue
			case excepted:
				assert.Error(t, err, "%s is excepted (%s), but cases can be made now", l.FullName, reason)
				continue
			}
			if !assert.NoError(t, err, "make cases, or except the limit with a reason") {
				continue
			}
			limits++
			cases += len(probe.Cases)
			assertWhole(t, l, probe)
			t.Run(l.FullName, func(t *testing.T) { judgeProbe(t, l, probe, nil) })
		}
	}
	t.Logf("%d limits with a number, %d cases", limits, cases)
	assert.NotZero(t, limits)
}

// exampleOwn are the limits of the examples, each with the definitions it stands
// in: those of rule sets, those of every revision of every product, and how many
// revisions there are. The policy's own limits come with its bands, the others
// without the policy.
func exampleOwn(t *testing.T, shape *fact.Compiled) (own []ownLimit, revisions int) {
	t.Helper()
	examples := os.DirFS("../examples")
	read := define.ReadFirm(schema.Files, examples, shape)
	require.Empty(t, read.Faults)
	file := func(name string) map[string]string {
		text, err := fs.ReadFile(examples, name)
		require.NoError(t, err)
		return map[string]string{name: string(text)}
	}
	for i := range read.RuleSets {
		rs := &read.RuleSets[i]
		set, faults := limit.CompileSet(shape, rs)
		require.Empty(t, faults)
		for _, l := range set.Limits {
			own = append(own, ownLimit{l, boundary.Own{Files: file(rs.Source.At.File), Bands: set.Bands}})
		}
	}
	names, err := fs.Glob(examples, "equipment/*.cue")
	require.NoError(t, err)
	for _, name := range names {
		files := file(name)
		// Every "#products: key: revision: equipment.#Kind &" of the file.
		for _, m := range regexp.MustCompile(`(?m)^#products: "?([\w-]+)"?: "?([\w.-]+)"?: equipment\.#(\w+) &`).FindAllStringSubmatch(files[name], -1) {
			product, err := read.Products.Product(strings.ToLower(m[3][:1])+m[3][1:], m[1]+"@"+m[2])
			require.NoError(t, err)
			set := read.Products.Set(product.Key)
			require.NotEmpty(t, set.Limits, product.Key)
			revisions++
			for _, l := range set.Limits {
				own = append(own, ownLimit{l, boundary.Own{Files: files, Product: product}})
			}
		}
		assert.Equal(t, strings.Count(files[name], "title:"), strings.Count(files[name], "#products:"), "%s: write each revision as #products: key: revision, so that it is found here", name)
	}
	require.Empty(t, read.Products.Faults())
	return own, revisions
}

// ownLimit is a limit of a firm's own, with what is defined around it.
type ownLimit struct {
	*limit.Compiled
	boundary.Own
}

// Every limit with a number of the examples' own rule sets and equipment data, in
// the same way. Limits of one file are tried in one repository.
func TestEveryLimitOfTheExamplesAtItsBoundary(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	maker := &boundary.Maker{Shape: shape, Functions: Functions()}
	own, revisions := exampleOwn(t, shape)
	assert.GreaterOrEqual(t, revisions, 3)
	probes, tried := map[string]*boundary.Probe{}, map[string][]ownCases{}
	limits, cases := 0, 0
	for _, l := range own {
		file := slices.Sorted(maps.Keys(l.Files))[0]
		if probes[file] == nil {
			probes[file] = boundary.NewProbe()
		}
		p := probes[file]
		before := len(p.Cases)
		err := maker.Add(p, l.Compiled, l.Own)
		reason, excepted := withoutCase[l.FullName]
		switch {
		case errors.Is(err, boundary.ErrNoNumber):
			assert.False(t, excepted, "%s has no number and needs no exception", l.FullName)
			continue
		case excepted:
			assert.Error(t, err, "%s is excepted (%s), but cases can be made now", l.FullName, reason)
			continue
		}
		if !assert.NoError(t, err, "make cases, or except the limit with a reason") {
			continue
		}
		one := &boundary.Probe{Files: p.Files, Cases: p.Cases[before:]}
		limits++
		cases += len(one.Cases)
		assertWhole(t, l.Compiled, one)
		tried[file] = append(tried[file], ownCases{l.Compiled, one})
	}
	t.Logf("%d limits with a number, %d cases", limits, cases)
	for file, p := range probes {
		run, out := lint(t, p.Files)
		require.Empty(t, run.Problems, file)
		for _, one := range tried[file] {
			t.Run(one.limit.FullName, func(t *testing.T) {
				judgeCases(t, run, out, one.limit, one.probe)
				assertReplaces(t, out, one.limit, one.probe)
			})
		}
	}
}

// ownCases are the cases of one limit.
type ownCases struct {
	limit *limit.Compiled
	probe *boundary.Probe
}

// assertReplaces holds what a limit replaces to stand back where the limit is in
// force, and to be judged where it is not yet.
func assertReplaces(t *testing.T, out *lines, l *limit.Compiled, p *boundary.Probe) {
	t.Helper()
	for _, name := range l.Replaces {
		for _, c := range p.Cases {
			s, ok := out.full[c.File+" "+name+" "+c.Fact]
			require.True(t, ok, "%s: %s is not there to be replaced\n%s", c.File, name, p.Files[c.File])
			if c.Dated {
				assert.Contains(t, []judge.Kind{judge.Within, judge.Outside}, s.kind, "%s outside the dates of %s", name, l.FullName)
				continue
			}
			assert.Equal(t, judge.NotApplicable.String(), s.kind.String(), name)
			assert.Contains(t, s.reason, "replaced by "+l.FullName)
		}
	}
}

// assertWhole holds the cases to the limit as the engine compiled it: both sides
// of every constant bound, and the bound itself in the limit's own unit.
func assertWhole(t *testing.T, l *limit.Compiled, p *boundary.Probe) {
	t.Helper()
	for _, second := range []bool{false, true} {
		for _, b := range l.Bounds(second) {
			sides := map[boundary.Side]bool{}
			for _, c := range p.Cases {
				at, _ := c.Bound.Float64()
				q, err := quantity.Calculated(at, b.Number.Unit())
				if c.Second == second && !c.Dated && err == nil && quantity.Compare(q, b.Number) == 0 {
					sides[c.Side] = true
				}
			}
			if second && l.Way.Leaf.Calculation != nil {
				continue // a calculated value is held to the main value only
			}
			if b.Number.Base() > 0 || l.Way.Leaf.Type != fact.Count {
				assert.True(t, sides[boundary.Below], "%s: no value below %s", l.FullName, b.Number)
			}
			assert.True(t, sides[boundary.At], "%s: no value at %s", l.FullName, b.Number)
			assert.True(t, sides[boundary.Above], "%s: no value above %s", l.FullName, b.Number)
		}
	}
}

// judgeProbe judges every case of a probe, with files of the firm's own added,
// and holds the outcomes to what is expected.
func judgeProbe(t *testing.T, l *limit.Compiled, p *boundary.Probe, more firm) {
	t.Helper()
	f := firm(maps.Clone(p.Files))
	maps.Copy(f, more)
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	judgeCases(t, run, out, l, p)
}

// judgeCases holds the outcomes of the cases of one limit to what is expected.
func judgeCases(t *testing.T, run *Run, out *lines, l *limit.Compiled, p *boundary.Probe) {
	t.Helper()
	for _, c := range p.Cases {
		kind, margin := probed(t, run, out, l, c)
		if !assert.Equal(t, c.Expect.String(), kind.String(), "%s %s, %s a bound of %s\n%s", c.Fact, c.Written, c.Side, l.Describe(c.Second), p.Files[c.File]) {
			continue
		}
		assertMargin(t, kind, margin, c.Written)
	}
}

// probed finds what came out for one case.
func probed(t *testing.T, run *Run, out *lines, l *limit.Compiled, c boundary.Case) (judge.Kind, string) {
	t.Helper()
	if !c.Across {
		s, ok := out.full[c.File+" "+l.FullName+" "+c.Fact]
		require.True(t, ok, "%s: %s was not judged for %s", c.File, l.FullName, c.Fact)
		return s.kind, s.margin
	}
	for _, p := range run.Repository.Premises {
		for _, o := range p.Outcomes {
			if p.Premises == c.Premises && o.Name == l.FullName {
				return o.Kind, o.Margin
			}
		}
	}
	t.Fatalf("%s: %s was not judged for premises %s", c.File, l.FullName, c.Premises)
	return 0, ""
}

// assertMargin holds a margin to what reports rely on: never below 0, and never
// 0 for a value that is outside.
func assertMargin(t *testing.T, kind judge.Kind, margin, written string) {
	t.Helper()
	number, _, _ := strings.Cut(margin, " ")
	d, err := quantity.ParseDecimal(number)
	switch kind {
	case judge.Within, judge.TooClose:
		require.NoError(t, err, "margin %q of %s", margin, written)
		assert.GreaterOrEqual(t, d.Coef, int64(0), "margin %q of %s within", margin, written)
	case judge.Outside:
		require.NoError(t, err, "margin %q of %s", margin, written)
		assert.Greater(t, d.Coef, int64(0), "margin %q of %s outside", margin, written)
	default:
		assert.Empty(t, margin)
	}
}

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

// An exception must name a limit that exists: one renamed would be excepted in
// vain and nobody would notice that the reason is gone.
func TestExceptionsNameLimits(t *testing.T) {
	t.Parallel()
	shape, sets := shipped(t)
	names := map[string]bool{}
	for _, set := range sets {
		for _, l := range set.Limits {
			names[l.FullName] = true
		}
	}
	own, _ := exampleOwn(t, shape)
	for _, l := range own {
		names[l.FullName] = true
	}
	for name := range withoutCase {
		assert.True(t, names[name], "%s is excepted, but there is no such limit", name)
	}
}

// What the maker expects of limits of a firm's own, written out by hand for one
// unit: below, at, above each bound in turn, then of each end of a band, then
// beside the dates.
func TestMakerOnOwnLimits(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	maker := &boundary.Maker{Shape: shape, Functions: Functions()}
	own, _ := exampleOwn(t, shape)
	const in, out, not, close = judge.Within, judge.Outside, judge.NotApplicable, judge.TooClose
	for name, tt := range map[string]struct {
		unit string
		want []judge.Kind
	}{
		"policy#air-behind":                          {"mm", []judge.Kind{out, close, close, out, out, out, close, in, in}}, // 24 mm, band 1 mm
		"policy#space-front":                         {"mm", []judge.Kind{out, in, in, not}},
		"policy#fixings":                             {"count", []judge.Kind{out, in, in}},
		"ammerel/windward-2025#unit-spacing-outside": {"mm", []judge.Kind{out, in, in, not}},
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
		{"some and every", `measure: "locations.volume", within: >=20, unit: "m³", when: {some: inverters: power: >5, every: inverters: coupling: "dc-coupled"}`, "m³", []judge.Kind{out, in, in}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			shape, _ := shipped(t)
			l, more := handMade(t, shape, tt.body)
			probe, err := (&boundary.Maker{Shape: shape, Functions: Functions()}).Make(l)
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

// What the maker cannot do it says: a calculation it does not see through must
// not pass for lack of a case.
func TestMakerSaysWhatItCannotDo(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	words, _ := handMade(t, shape, `measure: "stacks.wall.fixing", within: !="wedge anchor"`)
	_, err := (&boundary.Maker{Shape: shape, Functions: Functions()}).Make(words)
	assert.ErrorIs(t, err, boundary.ErrNoNumber)

	constant := slices.Clone(Functions())
	for i := range constant {
		constant[i].Of = func([]quantity.Argument) (quantity.Quantity, error) {
			return quantity.CalculatedIn(1, quantity.MustUnit("kWh"))
		}
	}
	energy, _ := handMade(t, shape, `measure: "stacks.energy", within: <=17, unit: "kWh"`)
	_, err = (&boundary.Maker{Shape: shape, Functions: constant}).Make(energy)
	assert.ErrorContains(t, err, "no inputs of stacks.energy (stack.NameplateEnergy) were found that give 61199990 J")

	clash, _ := handMade(t, shape, `measure: "stacks.lean", within: <=6, unit: "mm", when: stacks: modules: >4 & <5`)
	_, err = (&boundary.Maker{Shape: shape, Functions: Functions()}).Make(clash)
	assert.ErrorContains(t, err, "no number was found that meets >4 & <5")
}
