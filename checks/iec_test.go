package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// inverterAsking is an inverter whose datasheet asks for a type of residual-current
// device; it says nothing of it where the type is empty.
func inverterAsking(key, rcd string) string {
	if rcd != "" {
		rcd = fmt.Sprintf(", ac: rcd_type: %q", rcd)
	}
	return fmt.Sprintf("package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: %q: A: equipment.#Inverter & {title: \"Sheet\", edition: \"A\"%s}\n", key, rcd)
}

// metricCase is a job of a few facts and what one limit has to say of it.
type metricCase struct {
	name, limit, facts string
	of                 string // the fact that is judged
	kind               judge.Kind
	absent             string // the fact that a limit which was not checked waits on
}

// judgeMetric judges each case as a job of its own, in one run.
func judgeMetric(t *testing.T, set, ruleSet string, cases []metricCase, more firm) {
	t.Helper()
	f := firm{"witnessmark.cue": rootFile}
	for name, text := range more {
		f[name] = text
	}
	for i, c := range cases {
		f[fmt.Sprintf("jobs/%03d.yaml", i)] = fmt.Sprintf("job: J-%d\npremises: {id: p-%d, supply_voltage: 230 V}\nstage: designed\nrule_sets: [%s]\n%s\n", i, i, ruleSet, c.facts)
	}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	for i, c := range cases {
		t.Run(ruleSet+" "+c.limit+" "+c.name, func(t *testing.T) {
			s, ok := out.full[fmt.Sprintf("jobs/%03d.yaml %s%s %s", i, set, c.limit, c.of)]
			require.True(t, ok, "no outcome for %s: %s", c.of, out.all)
			assert.Equal(t, c.kind.String(), s.kind.String(), "%s (waits on %s)", s.reason, s.waits)
			assert.False(t, s.blocking, "nothing that was not read may block")
			assert.Contains(t, []string{"secondary", "memory"}, s.grade)
			if c.kind == judge.NotChecked {
				assert.Contains(t, s.waits, c.absent)
			}
		})
	}
}

const notApplicable, notChecked = judge.NotApplicable, judge.NotChecked

// What an island needs for a fault to be cut off: the neutral joined to an earth
// of its own while it runs, and nothing left joined to the line outside.
func TestIslandOperation(t *testing.T) {
	t.Parallel()
	const link, own, poles = "supply.island.neutral_earth_link", "supply.island.own_electrode", "supply.island.opens_neutral"
	cases := []metricCase{
		{"left open", "island-neutral-earth-link", "supply: {system: TT, island: {changeover: automatic, neutral_earth_link: open in island operation}}", link, outside, ""},
		{"none", "island-neutral-earth-link", "supply: {system: TN-S, island: {changeover: manual, neutral_earth_link: none}}", link, outside, ""},
		{"closed beside the supplier's", "island-neutral-earth-link", "supply: {system: TN-C-S, island: {changeover: inside the inverter, neutral_earth_link: always closed}}", link, outside, ""},
		{"closed with the island", "island-neutral-earth-link", "supply: {system: TN-C-S, island: {changeover: automatic, neutral_earth_link: closed in island operation}}", link, within, ""},
		{"no changeover", "island-neutral-earth-link", "supply: {system: TT, island: {changeover: none, neutral_earth_link: always closed}}", link, notApplicable, ""},
		{"IT", "island-neutral-earth-link", "supply: {system: IT, island: {changeover: automatic, neutral_earth_link: none}}", link, notApplicable, ""},
		{"link not recorded", "island-neutral-earth-link", "supply: {system: TT, island: {changeover: automatic}}", link, notChecked, link},
		{"changeover not recorded", "island-neutral-earth-link", "supply: {system: TT, island: {neutral_earth_link: none}}", link, notChecked, "supply.island.changeover"},
		{"earthing not recorded", "island-neutral-earth-link", "supply: {island: {changeover: manual, neutral_earth_link: none}}", link, notChecked, "supply.system"},
		{"the supplier's earth", "island-own-electrode", "supply: {island: {changeover: automatic, own_electrode: false}}", own, outside, ""},
		{"own earth", "island-own-electrode", "supply: {island: {changeover: automatic, own_electrode: true}}", own, within, ""},
		{"no changeover", "island-own-electrode", "supply: {island: {changeover: none, own_electrode: false}}", own, notApplicable, ""},
		{"not recorded", "island-own-electrode", "supply: {island: {changeover: manual}}", own, notChecked, own},
		{"neutral stays", "island-opens-all-poles", "supply: {island: {changeover: manual, opens_neutral: false}}", poles, outside, ""},
		{"neutral opens", "island-opens-all-poles", "supply: {island: {changeover: manual, opens_neutral: true}}", poles, within, ""},
		{"no changeover", "island-opens-all-poles", "supply: {island: {changeover: none, opens_neutral: false}}", poles, notApplicable, ""},
		{"not recorded", "island-opens-all-poles", "supply: {island: {changeover: inside the inverter}}", poles, notChecked, poles},
	}
	judgeMetric(t, iec, "iec/60364", cases, nil)
	judgeMetric(t, bs, "uk/bs-7671-2018", cases, nil)
}

// A residual-current device may be better than the datasheet asks, never simpler.
func TestTypeOfResidualCurrentDevice(t *testing.T) {
	t.Parallel()
	more := firm{"equipment/ostrel-none.cue": inverterAsking("ostrel-none", "none"), "equipment/ostrel-silent.cue": inverterAsking("ostrel-silent", "")}
	types := []string{"AC", "A", "F", "B"} // each serves where a simpler one is asked for
	const of = "protection[R].rcd_type"
	device := func(kind, asks, have string) string {
		return fmt.Sprintf("inverters: [{id: W, equipment: ostrel-%s@A}]\nprotection: [{id: R, kind: %s, inverter: W%s}]", asks, kind, have)
	}
	var cases []metricCase
	for a, asked := range types[1:] {
		name, limit := "asked-"+strings.ToLower(asked), "rcd-type-"+strings.ToLower(asked)
		more["equipment/ostrel-"+name+".cue"] = inverterAsking("ostrel-"+name, asked)
		for h, have := range types {
			kind := within
			if h < a+1 {
				kind = outside
			}
			cases = append(cases, metricCase{"type " + have, limit, device("residual-current device", name, ", rcd_type: "+have), of, kind, ""})
		}
		cases = append(cases,
			metricCase{"no residual-current device", limit, device("circuit-breaker", name, ", rcd_type: AC"), of, notApplicable, ""},
			metricCase{"type not recorded", limit, device("residual-current device", name, ""), of, notChecked, of},
			metricCase{"none asked for", limit, device("residual-current device", "none", ", rcd_type: AC"), of, notApplicable, ""},
			metricCase{"datasheet silent", limit, device("residual-current device", "silent", ", rcd_type: AC"), of, notChecked, "ostrel-silent@A.ac.rcd_type"},
			metricCase{"no inverter named", limit, "protection: [{id: R, kind: residual-current device, rcd_type: AC}]", of, notChecked, "protection[R].inverter"})
	}
	judgeMetric(t, iec, "iec/60364", cases, more)
	judgeMetric(t, bs, "uk/bs-7671-2018", cases, more)
}

func TestCurrentBothWays(t *testing.T) {
	t.Parallel()
	const of = "protection[Q].both_ways"
	device := func(rest string) string { return "protection: [{id: Q, " + rest + "}]" }
	judgeMetric(t, bs, "uk/bs-7671-2018", []metricCase{
		{"one way at the inverter", "current-both-ways", device("kind: residual-current device, serves: inverter grid side, both_ways: false"), of, outside, ""},
		{"one way at the stack", "current-both-ways", device("kind: circuit-breaker, serves: one stack, both_ways: false"), of, outside, ""},
		{"both ways", "current-both-ways", device("kind: circuit-breaker, serves: inverter grid side, both_ways: true"), of, within, ""},
		{"a fuse", "current-both-ways", device("kind: fuse, serves: inverter grid side, both_ways: false"), of, notApplicable, ""},
		{"backed up only", "current-both-ways", device("kind: circuit-breaker, serves: backup circuits, both_ways: false"), of, notApplicable, ""},
		{"not recorded", "current-both-ways", device("kind: circuit-breaker, serves: inverter grid side"), of, notChecked, of},
		{"place not recorded", "current-both-ways", device("kind: circuit-breaker, both_ways: false"), of, notChecked, "protection[Q].serves"},
	}, nil)
}

// Gloves of one class serve up to the voltage of their class, whichever stack of
// the job has it.
func TestGlovesForTheHighestStack(t *testing.T) {
	t.Parallel()
	more := firm{}
	for _, volts := range []string{"750", "751", "1500", "1501"} {
		more["equipment/tamsel-"+volts+".cue"] = moduleOf("tamsel-"+volts, "1 kWh", volts+" V")
	}
	const of = "gear[g].class"
	job := func(volts, glove string) string {
		return "stacks: [{id: L, equipment: tamsel-750@A, modules: 1}, {id: H, equipment: tamsel-" + volts + "@A, modules: 1}]\ngear: [{id: g, " + glove + "}]"
	}
	judgeMetric(t, "iec/60903-2014#", "iec/60903-2014", []metricCase{
		{"class 00 at its voltage", "gloves-above-750", job("750", "gear: insulating gloves, class: class 00"), of, notApplicable, ""},
		{"class 00 above it", "gloves-above-750", job("751", "gear: insulating gloves, class: class 00"), of, outside, ""},
		{"class 0", "gloves-above-750", job("751", "gear: insulating gloves, class: class 0"), of, within, ""},
		{"an overglove", "gloves-above-750", job("751", "gear: leather overgloves, class: class 00"), of, notApplicable, ""},
		{"class not recorded", "gloves-above-750", job("751", "gear: insulating gloves"), of, notChecked, of},
		{"voltage not known", "gloves-above-750", "stacks: [{id: S, equipment: tamsel-751@A}]\ngear: [{id: g, gear: insulating gloves, class: class 00}]", of, notChecked, "stacks[S].modules"},
		{"class 0 at its voltage", "gloves-above-1500", job("1500", "gear: insulating gloves, class: class 0"), of, notApplicable, ""},
		{"class 0 above it", "gloves-above-1500", job("1501", "gear: insulating gloves, class: class 0"), of, outside, ""},
		{"class 1", "gloves-above-1500", job("1501", "gear: insulating gloves, class: class 1"), of, within, ""},
	}, more)
}

// Numbers have their boundary cases made by themselves; here is what makes such a
// limit apply, and what it is silent about.
func TestWhatMetricLimitsAskOf(t *testing.T) {
	t.Parallel()
	more := firm{"equipment/narvel-48.cue": moduleOf("narvel-48", "1 kWh", "58 V"), "equipment/narvel-300.cue": moduleOf("narvel-300", "1 kWh", "300 V")}
	device := func(premises, rest string) string {
		return premises + "protection: [{id: Q, kind: circuit-breaker, serves: inverter grid side, clearing_time: 500 ms, " + rest + "}]"
	}
	const time, size = "protection[Q].clearing_time", "conductors[c].size"
	dc := func(earthing, stack string) string {
		return "supply: {system: TN-S}\nstacks: [{id: S, equipment: " + stack + "@A, modules: 1}]\ninverters: [{id: W" + earthing + "}]\nprotection: [{id: Q, kind: fuse, serves: one stack, stack: S, inverter: W, circuit: final, rating: 25 A, clearing_time: 500 ms}]"
	}
	tested := func(elv, rest string) string {
		return "stacks: [{id: S, equipment: narvel-48@A, modules: 1" + elv + "}]\nconductors: [{id: c, carries: dc, stack: S}]\ntests: [{id: t, test: insulation resistance, resistance: 0.7 MΩ" + rest + "}]"
	}
	judgeMetric(t, iec, "iec/60364", []metricCase{
		{"system not recorded", "disconnection-ac-tn-120-230-final", device("supply: {frequency: 50 Hz}\n", "circuit: final, rating: 20 A"), time, notChecked, "supply.system"},
		{"kind of circuit not recorded", "disconnection-ac-tn-120-230-final", device("supply: {system: TN-S}\n", "rating: 20 A"), time, notChecked, "protection[Q].circuit"},
		{"socket-outlets not recorded", "disconnection-ac-tn-120-230-sockets", device("supply: {system: TN-S}\n", "circuit: final, rating: 40 A"), time, notChecked, "protection[Q].socket_outlets"},
		{"voltage between conductors is not that to earth", "disconnection-ac-tn-230-400-final", device("supply: {system: TN-S, voltage: 400 V}\n", "circuit: final, rating: 20 A"), time, notApplicable, ""},
		{"IT", "disconnection-ac-tn-120-230-final", device("supply: {system: IT}\n", "circuit: final, rating: 20 A"), time, notApplicable, ""},
		{"grounded", "disconnection-dc-tn-230-400", dc(", dc_earthing: solidly grounded", "narvel-300"), time, outside, ""},
		{"ungrounded", "disconnection-dc-tn-230-400", dc(", dc_earthing: ungrounded", "narvel-300"), time, notApplicable, ""},
		{"earthing of the DC side not recorded", "disconnection-dc-tn-230-400", dc("", "narvel-300"), time, notChecked, "inverters[W].dc_earthing"},
		{"low voltage", "disconnection-dc-tn-120-230", dc("", "narvel-48"), time, notApplicable, ""},
		{"extra-low", "insulation-resistance-elv", tested(", extra_low_voltage: SELV", ", conductor: c"), "tests[t].resistance", within, ""},
		{"not extra-low", "insulation-resistance-dc-up-to-500", tested(", extra_low_voltage: none", ", conductor: c"), "tests[t].resistance", outside, ""},
		{"kind of voltage not recorded", "insulation-resistance-dc-up-to-500", tested("", ", conductor: c"), "tests[t].resistance", notChecked, "stacks[S].extra_low_voltage"},
		{"conductor not named", "insulation-resistance-elv", tested(", extra_low_voltage: SELV", ""), "tests[t].resistance", notChecked, "tests[t].conductor"},
		{"a core of the cable", "protective-conductor-exposed", "conductors: [{id: c, carries: protective earth, size: 1.5 mm², material: copper, in_same_cable: true, mechanically_protected: false}]", size, notApplicable, ""},
		{"by itself", "protective-conductor-exposed", "conductors: [{id: c, carries: protective earth, size: 2.5 mm², material: copper, in_same_cable: false, mechanically_protected: false}]", size, outside, ""},
		{"cover not recorded", "protective-conductor-protected", "conductors: [{id: c, carries: protective earth, size: 1.5 mm², material: copper, in_same_cable: false}]", size, notChecked, "conductors[c].mechanically_protected"},
		{"insulation tested first", "order-of-insulation-test", "tests: [{id: t, test: insulation resistance, order: 1}]", "tests[t].order", outside, ""},
		{"no order recorded", "order-of-insulation-test", "tests: [{id: t, test: insulation resistance}]", "tests[t].order", notChecked, "tests[t].order"},
	}, more)
}
