package define

import (
	"strings"
	"testing"
	"testing/fstest"

	"cuelang.org/go/cue"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/schema"
)

const twoSets = `package rules

import (
	"witnessmark.example/schema/limit"
	"witnessmark.example/schema/facts"
)

_common: {clause: "1", grade: "document", reviewed: "2026-01-01", review_by: "2027-01-01", why: "w"}
#p: limit.#RuleSet & {
	source: {name: "p", title: "P", edition: "1", kind: "policy", decision: "guarded", decided_by: "D.", always: true}
	limits: {
		good: _common & {measure: "stacks.wall_gap", unit: "mm", within: <=40}
		bad: _common & {
			measure: "stacks.wall_gap", unit: "mm"
			BROKEN
		}
		late: _common & {measure: "stacks.lean", unit: "mm", within: <=5}
	}
}
#q: limit.#RuleSet & {
	source: {name: "q", title: "Q", edition: "1", kind: "policy", decision: "guarded", decided_by: "D.", always: true}
	limits: other: _common & {measure: "stacks.lean", unit: "mm", within: <=9}
}
`

// A mistake in one limit, whatever its kind, leaves out that limit only.
func TestOneBrokenLimit(t *testing.T) {
	for name, broken := range map[string]string{
		"default":               "within: *20 | <=30",
		"unknown field":         "within: <=20, wihtin: 3",
		"contradictory bounds":  "within: <=20 & >=30",
		"unknown reference":     "within: <=facts.stacks.nothing",
		"unknown identifier":    "within: <=nothing",
		"comprehension":         "within: <=20, if true {unit: \"m\"}",
		"two values":            "within: <=20, clause: \"2\"",
		"unknown fact":          "within: <=20, when: stacks: nothing: 3",
		"import no longer used": "within: <=facts.stacks.nothing",
		"misspelt word":         "within: <=20, when: premises: occupancy: \"frm\"",
	} {
		t.Run(name, func(t *testing.T) {
			c := shape(t)
			f := ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(root)}, "rules/r.cue": {Data: []byte(strings.Replace(twoSets, "BROKEN", broken, 1))}}, c)
			faults := f.Faults
			var names []string
			for i := range f.RuleSets {
				s, more := limit.CompileSet(c, &f.RuleSets[i])
				faults = append(faults, more...)
				for _, l := range s.Limits {
					names = append(names, l.FullName)
				}
			}
			assert.Equal(t, []string{"p#good", "p#late", "q#other"}, names)
			require.NotEmpty(t, faults)
			for _, fault := range faults {
				assert.GreaterOrEqual(t, fault.At.Line, 14, fault.Message)
				assert.LessOrEqual(t, fault.At.Line, 17, fault.Message)
				assert.Contains(t, fault.Mend, "not applied until then")
			}
		})
	}
}

// A mistake in a rule set outside its limits leaves out that rule set only.
func TestOneBrokenRuleSet(t *testing.T) {
	c := shape(t)
	f := ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(root)}, "rules/r.cue": {Data: []byte(strings.Replace(strings.Replace(twoSets, "BROKEN", "within: <=20", 1), `kind: "policy"`, `kind: "wish"`, 1))}}, c)
	require.Len(t, f.RuleSets, 1)
	assert.Equal(t, "q", f.RuleSets[0].Source.Name)
	require.NotEmpty(t, f.Faults)
	assert.Equal(t, 10, f.Faults[0].At.Line)
}

// A broken revision leaves the other one in use.
func TestOneBrokenRevision(t *testing.T) {
	c := shape(t)
	f := ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(root)}, "equipment/quell.cue": {Data: []byte(`package equipment

import "witnessmark.example/schema/equipment"

#products: quell: A: equipment.#Storage & {title: "Q", edition: "A", module: energy: "2 kWh"}
#products: quell: B: equipment.#Storage & {
	title: "Q", edition: "B"
	architecture: "none of these"
}
`)}}, c)
	_, err := f.Products.Product("storage", "quell@A")
	require.NoError(t, err)
	_, err = f.Products.Product("storage", "quell@B")
	var broken *fact.BrokenProduct
	require.ErrorAs(t, err, &broken)
	require.Len(t, f.Products.Faults(), 1)
	assert.Equal(t, 8, f.Products.Faults()[0].At.Line)
	_, err = f.Products.Product("storage", "quell@C")
	assert.ErrorContains(t, err, `no revision "C"`)
	_, err = f.Products.Product("storage", "quell")
	var unpinned *fact.Unpinned
	assert.ErrorAs(t, err, &unpinned)
}

// A word that is none of those allowed, and a field that does not exist, are
// answered with the nearest that are.
func TestNearestInDefinitions(t *testing.T) {
	c := shape(t)
	for old, c2 := range map[string]struct{ with, says, mend string }{
		`kind: "policy"`:    {`kind: "polcy"`, `source.kind cannot be "polcy"; did you mean "policy"`, "use one of: code, datasheet, permit"},
		`grade: "document"`: {`grade: "documnt"`, `grade cannot be "documnt"; did you mean "document"`, "use one of: copy, document"},
		"BROKEN":            {"within: <=20, whn: premises: occupancy: \"farm\"", `did you mean "when"`, "spelling"},
	} {
		text := strings.Replace(strings.Replace(twoSets, old, c2.with, 1), "BROKEN", "within: <=20", 1)
		f := ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(root)}, "rules/r.cue": {Data: []byte(text)}}, c)
		require.NotEmpty(t, f.Faults, old)
		assert.Contains(t, f.Faults[0].Message, c2.says)
		assert.Contains(t, f.Faults[0].Mend, c2.mend)
	}
	f := ReadFirm(schema.Files, fstest.MapFS{RootFile: {Data: []byte(strings.Replace(root, `name: "Test"`, `name: "Test", decimal: "coma"`, 1))}}, c)
	require.Len(t, f.Faults, 1)
	assert.Contains(t, f.Faults[0].Message, `decimal cannot be "coma"; did you mean "comma"`)
}

// The names offered are those of the definitions.
func TestFieldNamesAreThoseOfTheDefinitions(t *testing.T) {
	l := newLoader(schema.Files)
	want := map[string]bool{}
	for _, d := range [][2]string{{"limit", "#RuleSet"}, {"limit", "#Limit"}, {"limit", "#Source"}, {"firm", "#Firm"}, {"equipment", "#Storage"}, {"equipment", "#Inverter"}, {"equipment", "#Protection"},
		{"equipment", "#Conductor"}, {"equipment", "#Fastener"}, {"firm", "#Required"}, {"firm", "#Contact"},
		{"register", "#Instrument"}, {"register", "#Calibration"}, {"register", "#Person"}, {"register", "#Licence"}} {
		it, err := l.form(d[0], d[1]).Fields(cue.Optional(true))
		require.NoError(t, err)
		for it.Next() {
			want[it.Selector().Unquoted()] = true
		}
	}
	got := map[string]bool{}
	for _, n := range fieldNames {
		got[n] = true
	}
	assert.Equal(t, want, got)
}
