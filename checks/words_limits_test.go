package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/boundary"
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/schema"
)

// The material of a conductor against what each of its terminals takes. A terminal of
// which nothing is said leaves the limit open, and the worse of two ends counts.
func TestTerminalTakesTheMaterial(t *testing.T) {
	t.Parallel()
	ends := func(material string, takes ...string) string {
		out := "conductors:\n  - {id: c, carries: dc, " + material + "terminals: ["
		for i, words := range takes {
			if i > 0 {
				out += ", "
			}
			out += "{end: " + []string{"from", "to"}[i] + words + "}"
		}
		return out + "]}"
	}
	const (
		of              = "conductors[c].material"
		copper, alu     = "material: {built: copper}, ", "material: {built: aluminium}, "
		clad, planned   = "material: {built: copper-clad aluminium}, ", "material: aluminium, "
		cu, al          = ", takes: [copper]", ", takes: [aluminium]"
		either, nothing = ", takes: [copper, aluminium]", ", takes: []"
	)
	var cases []metricCase
	for _, l := range []string{"practice#terminal-material", "us/nec-2017#terminal-material", "us/nec-2020#terminal-material", "us/nec-2023#terminal-material"} {
		cases = append(cases,
			metricCase{"the only word", l, ends(copper, cu), of, within, ""},
			metricCase{"one of two words", l, ends(alu, either, either), of, within, ""},
			metricCase{"none of the words", l, ends(alu, cu), of, outside, ""},
			metricCase{"the other metal", l, ends(copper, al), of, outside, ""},
			metricCase{"clad is a metal of its own", l, ends(clad, either), of, outside, ""},
			metricCase{"the worse end counts", l, ends(alu, either, cu), of, outside, ""},
			metricCase{"outside at one end, not known at the other", l, ends(alu, cu, ""), of, outside, ""},
			metricCase{"no list at one end", l, ends(copper, cu, ""), of, notChecked, "conductors[c].terminals[to].takes"},
			metricCase{"no list", l, ends(copper, ""), of, notChecked, "conductors[c].terminals[from].takes"},
			metricCase{"an empty list says nothing", l, ends(copper, nothing), of, notChecked, "conductors[c].terminals[from].takes"},
			metricCase{"no word", l, ends("", cu), of, notChecked, of},
			metricCase{"planned and not read on site", l, ends(planned, either), of, notChecked, of})
	}
	judgeFacts(t, cases, nil)
}

// A job that writes a word which no terminal can take gets a problem at the word, and
// the limit is not judged by the rest of the list.
func TestWrongWordInAListOfWords(t *testing.T) {
	t.Parallel()
	run, out := lint(t, firm{"witnessmark.cue": rootFile,
		"jobs/a.yaml": "job: a\nstage: installed\npremises: {id: p, occupancy: dwelling}\nconductors:\n  - {id: c, material: {built: copper}, terminals: [{end: from, takes: [copper, alu]}]}\n"})
	require.Len(t, run.Problems, 1)
	assert.Contains(t, run.Problems[0].Message, `takes cannot be "alu"`)
	s := out.full["jobs/a.yaml practice#terminal-material conductors[c].material"]
	assert.Equal(t, judge.NotChecked.String(), s.kind.String())
	assert.Equal(t, "the value could not be read", s.reason)
	assert.Equal(t, []string{"conductors[c].terminals[from].takes"}, s.waits)
}

// storageFor is equipment data of a storage, with figures of its own.
func storageFor(figures string) string {
	return "package equipment\n\nimport (\n\t\"witnessmark.example/schema/equipment\"\n\t\"witnessmark.example/schema/facts\"\n)\n\n#products: NAME: A: equipment.#Storage & {\n\ttitle: \"Sheet\", edition: \"A\", architecture: \"modules in series\"\n\t" + figures + "\n\tlimits: \"inverter\": {measure: \"stacks.inverter.equipment\", within: facts.stacks.equipment.compatible_inverters, clause: \"1\", grade: \"document\", reviewed: \"2026-01-01\", review_by: \"2027-01-01\", why: \"Because.\"}\n}\n"
}

// The inverter of a stack against those that the datasheet of the storage names: one
// without a revision stands for every one, one with a revision for that alone. A
// datasheet that names none leaves it open; one that states an empty list works
// with none.
func TestInverterIsOneOfTheDatasheet(t *testing.T) {
	t.Parallel()
	f := firm{}
	for name, figures := range map[string]string{"any": `compatible_inverters: ["inv", "inv-b"]`, "one": `compatible_inverters: ["inv@B"]`, "empty": `compatible_inverters: []`, "silent": ``} {
		f["equipment/"+name+".cue"] = strings.Replace(storageFor(figures), "NAME", name, 1)
	}
	for _, name := range []string{"inv", "inv-b", "inv-c", "in"} {
		f["equipment/"+name+".cue"] = fmt.Sprintf("package equipment\n\nimport \"witnessmark.example/schema/equipment\"\n\n#products: %q: {\n\tA: equipment.#Inverter & {title: \"Sheet\", edition: \"A\"}\n\tB: equipment.#Inverter & {title: \"Sheet\", edition: \"B\"}\n}\n", name)
	}
	stack := func(storage, inverter string) string {
		return "stacks:\n  - {id: A, equipment: {built: " + storage + "@A}, inverter: I}\ninverters:\n  - {id: I" + inverter + "}"
	}
	const of = "inverters[I].equipment"
	with := func(name string) string { return ", equipment: {built: " + name + "}" }
	var cases []metricCase
	for _, l := range []string{"practice#compatible-inverter", "equipment/STORAGE@A#inverter"} {
		one := func(name, storage, inverter string, kind judge.Kind, absent string) {
			cases = append(cases, metricCase{name, strings.Replace(l, "STORAGE", storage, 1), stack(storage, inverter), of, kind, absent})
		}
		one("named without a revision", "any", with("inv@A"), within, "")
		one("another revision of it", "any", with("inv@B"), within, "")
		one("the second one", "any", with("inv-b@A"), within, "")
		one("a name that only begins alike", "any", with("inv-c@A"), outside, "")
		one("the beginning of a name", "any", with("in@A"), outside, "")
		one("the revision that is named", "one", with("inv@B"), within, "")
		one("a revision that is not", "one", with("inv@A"), outside, "")
		one("works with none", "empty", with("inv@A"), outside, "")
		one("says nothing of inverters", "silent", with("inv@A"), notChecked, "silent@A.compatible_inverters")
		one("the inverter has no product", "any", "", notChecked, of)
	}
	cases = append(cases,
		metricCase{"the stack names no inverter", "practice#compatible-inverter", "stacks:\n  - {id: A, equipment: {built: any@A}}\ninverters: [{id: I, equipment: {built: in@A}}]", "stacks[A].inverter", notApplicable, ""},
		metricCase{"the stack names no inverter", "equipment/any@A#inverter", "stacks:\n  - {id: A, equipment: {built: any@A}}\ninverters: [{id: I, equipment: {built: in@A}}]", "stacks[A].inverter", notChecked, "stacks[A].inverter"})
	judgeFacts(t, cases, f)
}

// What an initiator makes dead, against what the code asks of an emergency shutdown
// and against what else is said of the cable.
func TestShutdownMakesDead(t *testing.T) {
	t.Parallel()
	const dead, live = "supply.shutdown[S].makes_dead", "supply.shutdown[S].stays_live"
	button := func(changeover, more string) string {
		return "supply: {island: {changeover: " + changeover + "}, shutdown: [{id: S, initiator: push button" + more + "}]}"
	}
	const island, plain = "us/nec-2023#shutdown-ends-export", "us/nec-2023#shutdown-ends-export-without-island"
	judgeFacts(t, []metricCase{
		{"the cable", island, button("automatic", ", makes_dead: [cable to the inverter]"), dead, within, ""},
		{"the stack", island, button("automatic", ", makes_dead: [generation, stack terminals]"), dead, within, ""},
		{"all that the inverter feeds", island, button("automatic", ", makes_dead: [backup circuits, grid side]"), dead, within, ""},
		{"the grid side alone", island, button("automatic", ", makes_dead: [grid side]"), dead, outside, ""},
		{"the backup circuits alone", island, button("automatic", ", makes_dead: [backup circuits, generation]"), dead, outside, ""},
		{"nothing recorded", island, button("automatic", ""), dead, notChecked, dead},
		{"an empty list says nothing", island, button("automatic", ", makes_dead: []"), dead, notChecked, dead},
		{"not known whether it forms an island", island, "supply: {shutdown: [{id: S, initiator: push button, makes_dead: [grid side]}]}", dead, notChecked, "supply.island.changeover"},
		{"no island", island, button("none", ", makes_dead: [grid side]"), dead, notApplicable, ""},
		{"no island, the grid side", plain, button("none", ", makes_dead: [grid side]"), dead, within, ""},
		{"no island, generation alone", plain, button("none", ", makes_dead: [generation]"), dead, outside, ""},
		{"an emergency disconnect is another thing", island, "supply: {island: {changeover: automatic}, shutdown: [{id: S, initiator: disconnect, makes_dead: [grid side]}]}", dead, notApplicable, ""},

		{"said to be dead, and made dead", "practice#shutdown-cable-made-dead", button("none", ", cable: dead, makes_dead: [grid side, cable to the inverter]"), dead, within, ""},
		{"said to be dead, and not made dead", "practice#shutdown-cable-made-dead", button("none", ", cable: dead, makes_dead: [grid side]"), dead, outside, ""},
		{"said to be live", "practice#shutdown-cable-made-dead", button("none", ", cable: live, makes_dead: [grid side]"), dead, notApplicable, ""},
		{"stays live elsewhere", "practice#shutdown-cable-not-live", button("none", ", cable: dead, stays_live: [modules, stack terminals]"), live, within, ""},
		{"dead and live", "practice#shutdown-cable-not-live", button("none", ", cable: dead, stays_live: [modules, cable to the inverter]"), live, outside, ""},
		{"what stays live is not recorded", "practice#shutdown-cable-not-live", button("none", ", cable: dead"), live, notChecked, live},
	}, nil)
}

// A nameplate states all that is asked, in any order and with more beside.
func TestNameplateStates(t *testing.T) {
	t.Parallel()
	unit := func(words string) string {
		return "units: [{id: U, stacks: [A]" + words + "}]\nstacks: [{id: A, equipment: {built: big@A}, modules: {built: 4}}]"
	}
	sheet := strings.Replace(storageFor("module: energy: \"2 kWh\""), "NAME", "big", 1)
	const of = "units[U].nameplate"
	var cases []metricCase
	for _, l := range []string{"us/nec-2020#nameplate-states", "us/nec-2023#nameplate-states"} {
		cases = append(cases,
			metricCase{"all and more", l, unit(", nameplate: [serial, fault current, current, voltage, power]"), of, within, ""},
			metricCase{"one is lacking", l, unit(", nameplate: [power, voltage, current, maker, energy, serial]"), of, outside, ""},
			metricCase{"not recorded", l, unit(""), of, notChecked, of})
	}
	judgeFacts(t, cases, firm{"equipment/big.cue": sheet})
}

// Conditions on lists of words are met by the lists that boundary cases are made with,
// so that a limit with a number is tried under them.
func TestBoundaryCasesUnderConditionsOnWords(t *testing.T) {
	t.Parallel()
	shape, _ := shipped(t)
	const spacing = `measure: "units.spacing", unit: "mm", within: >=600, when: units: `
	file := ruleFile("own", "code", "simple", "",
		[2]string{"one", spacing + `nameplate: "energy"`},
		[2]string{"each", spacing + `nameplate: ["energy", "power" | "current", ...]`},
		[2]string{"every", spacing + `nameplate: [...!="maker"]`},
		[2]string{"or", spacing + `nameplate: "serial" | ["energy", "power", ...]`})
	read := define.ReadFirm(schema.Files, firm{"witnessmark.cue": rootFile, "rules/own.cue": file}.fs(), shape)
	require.Empty(t, read.Faults)
	set, faults := limit.CompileSet(shape, &read.RuleSets[0])
	require.Empty(t, faults)
	require.Len(t, set.Limits, 4)
	maker, p := &boundary.Maker{Shape: shape, OwnUnit: true}, boundary.NewProbe()
	var tried []ownCases
	for _, l := range set.Limits {
		before := len(p.Cases)
		require.NoError(t, maker.Add(p, l, boundary.Own{Files: map[string]string{"rules/own.cue": file}}), l.FullName)
		one := &boundary.Probe{Files: p.Files, Cases: p.Cases[before:]}
		assertBothOutcomes(t, l, one)
		tried = append(tried, ownCases{l, one})
	}
	run, out := lint(t, p.Files)
	require.Empty(t, run.Problems)
	for _, one := range tried {
		judgeCases(t, run, out, one.limit, one.probe)
	}
}
