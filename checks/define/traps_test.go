package define

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/schema"
)

const root = `package witnessmark

import "witnessmark.example/schema/firm"

#firm: firm.#Firm & {name: "Test"}
`

// policy wraps a limit body into a rule set; the body begins in line 7.
func policy(body string) string {
	return `package rules

import "witnessmark.example/schema/limit"

#p: limit.#RuleSet & {
	source: {name: "policy", title: "Policy", edition: "1", kind: "policy", decision: "guarded", decided_by: "The firm.", always: true}
	limits: "l": {
` + body + `
		clause: "1", grade: "document", reviewed: "2026-01-01", review_by: "2027-01-01", why: "Because."
	}
}
`
}

// withFacts imports package facts where it is used.
func withFacts(text string) string {
	if strings.Contains(text, "facts.") {
		return strings.Replace(text, `import "witnessmark.example/schema/limit"`, "import (\"witnessmark.example/schema/limit\", \"witnessmark.example/schema/facts\")", 1)
	}
	return text
}

func shape(t testing.TB) *fact.Compiled {
	t.Helper()
	d, _, err := Decode(schema.Compiled)
	require.NoError(t, err)
	c, err := fact.Compile(&d.Shape, testFunctions())
	require.NoError(t, err)
	return c
}

// readPolicy reads a firm with one rule file and compiles what it holds.
func readPolicy(t testing.TB, text string) (*Firm, []*limit.Compiled, []limit.Fault) {
	t.Helper()
	c := shape(t)
	f := ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(root)}, "rules/policy.cue": {Data: []byte(text)}}, c)
	faults := f.Faults
	var limits []*limit.Compiled
	for i := range f.RuleSets {
		s, more := limit.CompileSet(c, &f.RuleSets[i])
		faults = append(faults, more...)
		limits = append(limits, s.Limits...)
	}
	return f, limits, faults
}

// Every form that is not understood is a fault at its line, and never a limit
// that silently means something else.
func TestRefusedForms(t *testing.T) {
	for _, c := range []struct {
		name, body string
		line       int
		message    string
	}{
		{"alternatives between blocks", `measure: "stacks.wall_gap", unit: "mm", within: <=20, when: {premises: occupancy: "farm"} | {premises: occupancy: "shop"}`, 8, "alternatives between blocks"},
		{"default", `measure: "stacks.wall_gap", unit: "mm", within: *20 | <=40`, 8, "default"},
		{"default in a condition", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: premises: occupancy: *"farm" | "shop"`, 8, "default"},
		{"bounds without brackets", "import_: 1", 8, "no field that belongs here"},
		{"empty condition", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: {}`, 8, "asks nothing"},
		{"condition that asks nothing", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: premises: occupancy: string`, 8, "nothing is asked"},
		{"within that allows everything", `measure: "stacks.wall_gap", unit: "mm", within: number`, 8, "allows everything"},
		{"unknown measure", `measure: "stacks.wall_gapp", unit: "mm", within: <=40`, 8, `did you mean "stacks.wall_gap"`},
		{"unknown fact in a condition", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: premises: ocupancy: "farm"`, 8, `did you mean "premises.occupancy"`},
		{"word that never occurs", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: premises: occupancy: "castle"`, 8, `never "castle"`},
		{"wrong unit", `measure: "stacks.wall_gap", unit: "kg", within: <=40`, 8, "unit of mass"},
		{"no unit", `measure: "stacks.wall_gap", within: <=40`, 8, "needs one"},
		{"unit that is none", `measure: "stacks.wall_gap", unit: "furlong", within: <=40`, 8, "no unit"},
		{"gauge as unit", `measure: "conductors.size", unit: "AWG", within: <=6`, 8, "larger number is a smaller conductor"},
		{"measure missing", `unit: "mm", within: <=40`, 7, "measure is missing"},
		{"within missing", `measure: "stacks.wall_gap", unit: "mm"`, 8, "within is missing"},
		{"wrong type", `measure: "stacks.wall_gap", unit: 5, within: <=40`, 8, "unit has a value of another form than it takes"},
		{"wrong date", `measure: "stacks.wall_gap", unit: "mm", from: "soon", within: <=40`, 8, "from has a value of another form than it takes"},
		{"unlinked lists", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: conductors: carries: "dc"`, 8, "without a link"},
		{"some of no list", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: some: stack: modules: >=2`, 8, `no list "stack"`},
		{"some of a product that the entry names none of", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: some: "equipment.protection": device: "fuse"`, 8, "no entry of stacks names a product of equipment.protection"},
		{"some of a register", `measure: "stacks.wall_gap", unit: "mm", within: <=40, when: some: "register.people": name: "x"`, 8, `no list "register.people"`},
		{"bound that is no fact", `measure: "stacks.wall_gap", unit: "mm", within: <=nowhere`, 8, "does not exist"},
		{"comprehension", `measure: "stacks.wall_gap", unit: "mm", within: <=40, if true {unit: "mm"}`, 8, "for and if"},
		{"text with values", `measure: "stacks.\("wall")_gap", unit: "mm", within: <=40`, 8, "text with values"},
		{"embedded file", `measure: "stacks.wall_gap" @embed(file=secret.txt,type=text), unit: "mm", within: <=40`, 8, "@embed"},
		{"words on a number", `measure: "stacks.wall_gap", unit: "mm", within: "wide"`, 8, "is no number"},
		{"number on a word", `measure: "premises.occupancy", within: <=3`, 8, "cannot be"},
		{"unit on a word", `measure: "premises.occupancy", within: "farm", unit: "mm"`, 8, "has no unit"},
		{"printed in the same system", `measure: "stacks.wall_gap", unit: "mm", within: <=40, printed: {within: <=4, unit: "cm"}`, 8, "one system"},
		{"word of a single word", `measure: "conductors.material", within: facts.premises.dwellings`, 8, "premises.dwellings is no word and no list of words"},
		{"word of a list of other words", `measure: "conductors.material", within: facts.inverters.modes`, 8, "no word of inverters.modes is one that conductors.material can have"},
		{"word of a list more or less", `measure: "conductors.material", within: <=facts.conductors.terminals.takes`, 8, "compares with a list of words"},
		{"number of a list of words", `measure: "stacks.wall_gap", unit: "mm", within: <=facts.inverters.modes`, 8, "compares with a list of words"},
		{"number that is a list of words", `measure: "stacks.wall_gap", unit: "mm", within: facts.inverters.modes`, 8, "is a list of words and cannot bound a number"},
		{"list along no link", `measure: "conductors.material", within: facts.inverters.modes | facts.stacks.equipment.compatible_inverters`, 8, "no word of"},
		{"list of another list without a link", `measure: "stacks.firmware", within: facts.inverters.modes`, 8, "without a link"},
		{"list that does not exist", `measure: "conductors.material", within: facts.conductors.terminals.take`, 8, `did you mean "conductors.terminals.takes"`},
		{"brackets on a single word", `measure: "premises.occupancy", within: [...("farm" | "shop")]`, 8, "is a single value"},
		{"words in brackets on a single word", `measure: "premises.occupancy", within: ["farm", ...]`, 8, "is a single value"},
		{"brackets on a number", `measure: "stacks.wall_gap", unit: "mm", within: [...<=40]`, 8, "is a single value"},
		{"closed list", `measure: "units.nameplate", within: ["maker", "energy"]`, 8, "write [a, b, ...]"},
		{"empty list", `measure: "units.nameplate", within: []`, 8, "nothing else in brackets"},
		{"list that asks nothing", `measure: "units.nameplate", within: [...]`, 8, "nothing else in brackets"},
		{"list of any words", `measure: "units.nameplate", within: [...string]`, 8, "nothing else in brackets"},
		{"words and what the rest is", `measure: "units.nameplate", within: ["maker", ..."energy"]`, 8, "nothing else in brackets"},
		{"list in a list", `measure: "units.nameplate", within: [...[..."maker"]]`, 8, "nothing else in brackets"},
		{"word of a list that never occurs", `measure: "units.nameplate", within: ["makr", ...]`, 8, "never \"makr\""},
		{"another word of a list", `measure: "units.nameplate", within: !="maker"`, 8, "write [...!="},
		{"another word of a list beside brackets", `measure: "units.nameplate", within: !="maker" | ["energy", "power", ...]`, 8, "write [...!="},
		{"another word of a list in brackets", `measure: "units.nameplate", within: [!="maker", ...]`, 8, "write [...!="},
		{"another word of a list in a condition", `measure: "units.listed", within: true, when: units: nameplate: !="maker"`, 8, "write [...!="},
		{"list of entries", `measure: "units.stacks", within: "A"`, 8, "names several entries"},
		{"dates without selected_by", `measure: "stacks.wall_gap", unit: "mm", within: <=40, from: "2026-01-01"`, 8, "selected_by"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, limits, faults := readPolicy(t, withFacts(policy("\t\t"+c.body)))
			require.NotEmpty(t, faults)
			var all []string
			found := false
			for _, f := range faults {
				all = append(all, f.At.String()+" "+f.Message)
				assert.Equal(t, "rules/policy.cue", f.At.File)
				assert.NotEmpty(t, f.Mend)
				if strings.Contains(f.Message, c.message) {
					found = true
					assert.Equal(t, c.line, f.At.Line)
				}
			}
			assert.True(t, found, "no fault says %q: %s", c.message, strings.Join(all, "\n"))
			assert.Empty(t, limits, "a limit that is not understood must not be applied")
		})
	}
}

// Bounds, references and their order of evaluation.
func TestUnderstoodForms(t *testing.T) {
	for _, c := range []struct{ body, says string }{
		{`measure: "stacks.wall_gap", unit: "mm", within: >=12.50 & <=914.4`, ">= 12.50 mm and <= 914.4 mm"},
		{`measure: "stacks.wall_gap", unit: "mm", within: <=10`, "<= 10 mm"},
		{`measure: "stacks.wall_gap", unit: "mm", within: <=35.0`, "<= 35.0 mm"},
		{`measure: "stacks.wall_gap", unit: "mm", within: <=(2*facts.stacks.lean)`, "<= 2 × stacks.lean"},
		{`measure: "stacks.wall_gap", unit: "mm", within: >=(facts.stacks.lean + 5)`, ">= stacks.lean + 5 mm"},
		{`measure: "stacks.wall_gap", unit: "mm", within: <=facts.stacks.lean`, "<= stacks.lean"},
		{`measure: "stacks.modules", unit: "modules", within: 3 | 5 | 7`, "3 modules or 5 modules or 7 modules"},
		{`measure: "premises.occupancy", within: "farm" | "shop"`, `"farm" or "shop"`},
		{`measure: "premises.occupancy", within: !="farm"`, `not "farm"`},
		{`measure: "units.listed", within: true`, "yes"},
		{`measure: "stacks.firmware", within: =~"^4\\."`, `matching "^4\."`},
		{`measure: "conductors.material", within: facts.conductors.terminals.takes`, "one of conductors.terminals.takes"},
		{`measure: "conductors.material", within: !=facts.conductors.terminals.takes`, "none of conductors.terminals.takes"},
		{`measure: "conductors.material", within: "copper" | facts.conductors.terminals.takes`, `"copper" or one of conductors.terminals.takes`},
		{`measure: "stacks.inverter.equipment", within: facts.stacks.equipment.compatible_inverters`, "one of stacks.equipment.compatible_inverters"},
		{`measure: "units.nameplate", within: "energy"`, `"energy" among them`},
		{`measure: "units.nameplate", within: "energy" | "power"`, `"energy" or "power" among them`},
		{`measure: "units.nameplate", within: ["energy", "maker", ...]`, `"energy" and "maker" among them`},
		{`measure: "units.nameplate", within: ["energy" | "power", "maker", ...]`, `("energy" or "power") and "maker" among them`},
		{`measure: "units.nameplate", within: ["maker", ...] & [...!="serial"]`, `"maker" among them and no "serial" among them`},
		{`measure: "units.nameplate", within: [...("energy" | "power")]`, `each of them "energy" or "power"`},
		{`measure: "units.nameplate", within: "energy" | "power" | ["voltage", "current", ...]`, `"energy" or "power" among them or "voltage" and "current" among them`},
		{`measure: "inverters.modes", within: [...facts.inverters.equipment.modes]`, `each of them one of inverters.equipment.modes`},
		{`measure: "locations.air.high", unit: "°F", within: <=104`, "<= 104 °F"},
	} {
		t.Run(c.says, func(t *testing.T) {
			_, limits, faults := readPolicy(t, withFacts(policy("\t\t"+c.body)))
			require.Empty(t, faults)
			require.Len(t, limits, 1)
			assert.Equal(t, c.says, limits[0].Describe(false))
			assert.Equal(t, fact.Origin{File: "rules/policy.cue", Line: 8}, limits[0].At, "the place of the limit is the author's, not the schema's")
		})
	}
}

// `<=2*x` means (<=2)*x to CUE, not what the author meant.
func TestBoundWithoutBrackets(t *testing.T) {
	_, limits, faults := readPolicy(t, withFacts(policy("\t\tmeasure: \"stacks.wall_gap\", unit: \"mm\", within: <=2*facts.stacks.lean")))
	require.NotEmpty(t, faults)
	assert.Equal(t, 8, faults[0].At.Line)
	assert.Empty(t, limits)
}

// A struct of several joined alternatives would keep CUE busy for ever.
func TestExplodingDefinitionIsRefusedQuickly(t *testing.T) {
	joined := strings.Repeat("({a: 1} | {b: 1} | {c: 1}) & ", 12) + "{}"
	_, _, faults := readPolicy(t, "package rules\n\n#x: "+joined+"\n")
	require.NotEmpty(t, faults)
	assert.Contains(t, faults[0].Message, "alternatives")
	assert.Equal(t, 3, faults[0].At.Line)
}

// What one file gets wrong does not take the others along.
func TestBrokenFileLeavesTheRest(t *testing.T) {
	c := shape(t)
	f := ReadFirm(schema.Files, fstest.MapFS{
		RootFile:         {Data: []byte(root)},
		"rules/a.cue":    {Data: []byte("package rules\n\n#x: {\n")},
		"rules/good.cue": {Data: []byte(policy(`		measure: "stacks.wall_gap", unit: "mm", within: <=40`))},
	}, c)
	require.Len(t, f.Faults, 1)
	assert.Equal(t, "rules/a.cue", f.Faults[0].At.File)
	assert.Contains(t, f.Faults[0].Message, "well-formed")
	require.Len(t, f.RuleSets, 1)
	assert.Equal(t, "policy", f.RuleSets[0].Source.Name)
}

// A mistake in one limit leaves the other limits of the rule set in use.
func TestBrokenLimitLeavesTheRest(t *testing.T) {
	text := strings.Replace(policy(`		measure: "stacks.wall_gap", unit: "mm", within: <=40`), "	limits: \"l\": {",
		"	limits: \"bad\": {measure: \"stacks.nothing\", unit: \"mm\", within: <=1, clause: \"1\", grade: \"document\", reviewed: \"2026-01-01\", review_by: \"2027-01-01\", why: \"x\"}\n	limits: \"l\": {", 1)
	_, limits, faults := readPolicy(t, text)
	require.Len(t, faults, 1)
	assert.Equal(t, 7, faults[0].At.Line)
	require.Len(t, limits, 1)
	assert.Equal(t, "policy#l", limits[0].FullName)
}

// Nothing of CUE's own wording reaches a reader.
func TestNoRawErrorText(t *testing.T) {
	for _, text := range []string{"package rules\n#a: 1 & 2\n", "package rules\n#a: b\n", "package rules\n\"", "package rules\nimport \"net/http\"\n",
		"package rules\nimport \"example.com/x\"\n", "package rules\n#a: #b\n#b: #a\n", "package rules\n#a: {source: name: 3}\n", "#a: [", "package rules\n#a: close({}) & {b: 1}\n"} {
		_, _, faults := readPolicy(t, text)
		for _, f := range faults {
			for _, raw := range []string{"conflicting values", "reference \"", "bottom", "_|_", "disjunction", "cannot find package", "literal", "expected"} {
				assert.NotContains(t, f.Message+f.Mend, raw, text)
			}
			assert.Equal(t, "rules/policy.cue", f.At.File, text)
		}
	}
}

// A word of an enumeration that does not exist is shown where it stands.
func TestWrongGrade(t *testing.T) {
	_, limits, faults := readPolicy(t, strings.Replace(policy(`		measure: "stacks.wall_gap", unit: "mm", within: <=40`), `"document"`, `"certain"`, 1))
	for _, f := range faults {
		t.Log(f.At, f.Message)
	}
	require.Len(t, faults, 1)
	assert.Equal(t, 9, faults[0].At.Line)
	assert.Contains(t, faults[0].Message, "grade")
	assert.Empty(t, limits)
}
