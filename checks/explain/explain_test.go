package explain

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
)

// shop is a small set of definitions made by hand.
func shop(t *testing.T) *Book {
	t.Helper()
	f := func(path string, typ fact.Type, change func(*fact.Field)) fact.Field {
		out := fact.Field{Path: path, Type: typ, Label: fact.Labels{"en": "the " + path}, Meaning: "Meaning of " + path + "."}
		if change != nil {
			change(&out)
		}
		return out
	}
	shape, err := fact.Compile(&fact.Shape{
		Lists: []fact.List{{Name: "rooms", Key: "id", Label: fact.Labels{"en": "room"}}, {Name: "racks", Key: "id", Label: fact.Labels{"en": "rack"}, Due: fact.Due{At: fact.AtDesign}}, {Name: "racks.slots", Parent: "racks", Key: "n"}},
		Fields: []fact.Field{
			f("stage", fact.Word, func(f *fact.Field) { f.Words, f.Stage = fact.StageNames(), true }),
			f("rule_sets", fact.Text, func(f *fact.Field) { f.Many, f.Example = true, "us/x" }),
			f("dates.permit", fact.Date, nil),
			f("rooms.id", fact.Key, nil),
			f("rooms.kind", fact.Word, func(f *fact.Field) { f.Words = []string{"cellar", "shed"} }),
			f("racks.id", fact.Key, nil),
			f("racks.room", fact.Link, func(f *fact.Field) { f.Link = "rooms" }),
			f("racks.gap", fact.Quantity, func(f *fact.Field) {
				f.Unit, f.Example, f.Built, f.Due = "mm", "22.5 mm ± 1 mm", fact.Installed, fact.Due{At: fact.AtDesign}
			}),
			f("racks.wide", fact.Quantity, func(f *fact.Field) { f.Unit, f.Example = "mm", "600 mm" }),
			f("racks.marked", fact.Truth, func(f *fact.Field) { f.Due = fact.Due{At: fact.AtHandOver, Days: 30} }),
			f("racks.kind", fact.Text, func(f *fact.Field) { f.Pattern = "^[A-Z]{2}-[0-9]+$" }),
			f("racks.slots.n", fact.Key, nil),
			f("rooms.rack_count", fact.Count, func(f *fact.Field) {
				f.Unit, f.Calculation = "racks", &fact.Calculation{Count: &fact.Term{Fact: "racks", Over: "racks.room"}, Formula: "number of racks", Source: "counted"}
			}),
		},
	}, nil)
	require.NoError(t, err)
	number := func(op limit.Op, n string) limit.Constraint {
		return limit.Constraint{Op: op, Operand: &limit.Operand{Number: n}}
	}
	word := func(w string) limit.Constraint {
		return limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Text: w}}
	}
	yes := true
	shed := word("shed")
	code := &limit.RuleSet{Source: limit.Source{Name: "us/x", Title: "Code", Edition: "1", Kind: limit.Code, Decision: limit.Simple, SelectedBy: "permit"}, Limits: []limit.Limit{
		{Name: "gap", Measure: "racks.gap", Within: limit.Constraint{Op: limit.All, Args: []limit.Constraint{number(limit.AtLeast, "20"), number(limit.AtMost, "40")}}, Unit: "mm",
			Grade: limit.Memory, Why: "Air.", From: "2025-01-01", HandsOverTo: "us/y", Printed: &limit.Printed{Within: number(limit.AtLeast, "1"), Unit: "in"},
			When: []limit.Condition{{Fact: "racks.room.kind", Is: &shed}, {Quantifier: "some", List: "racks.slots", Of: []limit.Condition{{Fact: "racks.slots.n", Is: &limit.Constraint{Op: limit.Differs, Operand: &limit.Operand{Text: "1"}}}}}}},
		{Name: "width", Measure: "racks.wide", Within: limit.Constraint{Op: limit.AtLeast, Operand: &limit.Operand{Fact: "racks.gap", Times: "2", Plus: "10"}}, Unit: "mm", Grade: limit.Document},
		{Name: "count", Measure: "rooms.rack_count", Within: number(limit.Less, "3"), Unit: "racks", Grade: limit.Document},
		{Name: "broken", Measure: "racks.gpa", Within: number(limit.Less, "3"), Unit: "mm", Grade: limit.Document, At: fact.Origin{File: "x.cue", Line: 7}},
	}}
	policy := &limit.RuleSet{Source: limit.Source{Name: "policy", Title: "Policy", Edition: "1", Kind: limit.Policy, Decision: limit.Guarded, Always: true}, Promotes: []string{"us/x#gap"}, Limits: []limit.Limit{
		{Name: "gap", Measure: "racks.gap", Within: number(limit.Greater, "0"), Unit: "mm", Grade: limit.Document, Replaces: []string{"us/x#gap"}},
		{Name: "marked", Measure: "racks.marked", Within: limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Truth: &yes}}, Grade: limit.Custom},
		{Name: "kind", Measure: "racks.kind", Within: limit.Constraint{Op: limit.DoesNotMatch, Operand: &limit.Operand{Text: "^QQ"}}, Grade: limit.Document},
	}}
	b := &Book{Shape: shape, Ships: map[string]bool{"us/x": true}, Firm: true}
	for _, rs := range []*limit.RuleSet{code, policy} {
		s, faults := limit.CompileSet(shape, rs)
		b.Sets, b.Faults = append(b.Sets, s), append(b.Faults, faults...)
	}
	require.Len(t, b.Faults, 1)
	return b
}

func explained(t *testing.T, b *Book, name string) *Explanation {
	t.Helper()
	e, err := b.Explain(name)
	require.NoError(t, err, name)
	return e
}

func TestLimit(t *testing.T) {
	e := explained(t, shop(t), "us/x#gap")
	assert.Equal(t, OfLimit, e.Kind)
	assert.Equal(t, "Air.", e.Why)
	assert.Equal(t, "at least 20 mm and at most 40 mm", e.Limit.InWords)
	assert.Equal(t, &Printed{Within: ">= 1 in", InWords: "at least 1 in", Unit: "in"}, e.Limit.Printed)
	assert.True(t, e.Limit.Blocking)
	assert.Equal(t, "policy", e.Limit.Promoted)
	assert.Equal(t, "once for each rack (entry of racks)", e.Limit.JudgedFor)
	assert.Equal(t, &InForce{Date: "dates.permit", From: "2025-01-01"}, e.Limit.InForce)
	assert.Equal(t, []string{"policy#gap"}, e.Limit.ReplacedBy)
	assert.Equal(t, []string{"policy#gap"}, e.Limit.Beside)
	require.Len(t, e.Limit.When, 2)
	assert.Equal(t, `the rooms.kind (racks.room.kind) is "shed"`, e.Limit.When[0].Text)
	assert.Equal(t, "some racks.slots meets all of this", e.Limit.When[1].Text)
	assert.Equal(t, `the racks.slots.n (racks.slots.n) is anything but "1"`, e.Limit.When[1].Of[0].Text)
	assert.Equal(t, Due{At: "designed", Built: "installed", Gate: "start-work",
		Text: "designed; open before the gate start-work until then; the reading on site is due from installed on, and decides from then on"}, *e.Due)
	assert.Contains(t, e.Notes[0], "us/y, to which it would hand over, is not among the rule sets in use")
	assert.True(t, e.Source.Ships)
	assert.False(t, explained(t, shop(t), "policy#gap").Source.Ships)
}

func TestValuesWithinAndOutside(t *testing.T) {
	b := shop(t)
	for name, want := range map[string][2]string{
		"us/x#gap":      {"30 mm", "19 mm"},
		"us/x#width":    {"56 mm", "54 mm"}, // 2 times 22.5 mm plus 10 mm
		"us/x#count":    {"2 racks", "4 racks"},
		"policy#gap":    {"1 mm", "0 mm"},
		"policy#marked": {"true", "false"},
	} {
		e := explained(t, b, name)
		require.Len(t, e.Examples, 2, name)
		assert.Equal(t, want, [2]string{e.Examples[0].Value, e.Examples[1].Value}, name)
	}
	e := explained(t, b, "policy#kind")
	require.NotEmpty(t, e.Examples)
	assert.Equal(t, "within", e.Examples[0].Title)
	width := explained(t, b, "us/x#width").Examples[0]
	assert.Equal(t, "with racks.gap 22.5 mm ± 1 mm", width.Note)
	assert.Contains(t, width.Text, "gap: 22.5 mm ± 1 mm")
}

func TestFieldExamples(t *testing.T) {
	b := shop(t)
	e := explained(t, b, "racks.gap")
	require.Len(t, e.Examples, 2)
	assert.Equal(t, "racks:\n  - id: r1\n    gap: 22.5 mm\n", e.Examples[0].Text)
	assert.Equal(t, "racks:\n  - id: r1\n    gap: {planned: 22.5 mm, built: 22.5 mm ± 1 mm}\n", e.Examples[1].Text)
	b.Comma = true
	e = explained(t, b, "racks.gap")
	assert.Equal(t, "racks:\n  - id: r1\n    gap: 22,5 mm\n", e.Examples[0].Text)
	assert.Equal(t, "racks:\n  - id: r1\n    gap: {planned: \"22,5 mm\", built: \"22,5 mm ± 1 mm\"}\n", e.Examples[1].Text)
	assert.Equal(t, "racks:\n  - id: r1\n    room: r1\nrooms:\n  - id: r1\n", explained(t, b, "racks.room").Examples[0].Text)
	assert.Equal(t, "racks:\n  - id: r1\n    slots:\n      - n: 1\n", explained(t, b, "racks.slots.n").Examples[0].Text)
	assert.Regexp(t, `kind: [A-Z]{2}-[0-9]+\n`, explained(t, b, "racks.kind").Examples[0].Text)
	assert.Equal(t, "rule_sets: [us/x]\n", explained(t, b, "rule_sets").Examples[0].Text)
}

func TestFactsAndWhatLooksAtThem(t *testing.T) {
	b := shop(t)
	gap := explained(t, b, "racks.gap").Fact
	assert.Equal(t, []string{"us/x#gap", "policy#gap"}, gap.BoundBy)
	assert.Equal(t, []string{"us/x#width"}, gap.ConditionOf, "the bound of the width is taken from it")
	assert.Equal(t, []string{"us/x#gap"}, explained(t, b, "rooms.kind").Fact.ConditionOf)
	count := explained(t, b, "rooms.rack_count")
	assert.Equal(t, OfMeasure, count.Kind)
	assert.Equal(t, []Input{{Fact: "racks", Label: "rack", Over: "racks.room"}}, count.Calculation.Inputs)
	assert.Equal(t, []string{"rooms.rack_count"}, explained(t, b, "racks.room").Fact.UsedBy)
	assert.Equal(t, "30 days after handed-over", explained(t, b, "racks.marked").Due.Text)
	assert.Equal(t, "there must be an entry: designed", explained(t, b, "racks").Due.Text)
}

func TestNames(t *testing.T) {
	b := shop(t)
	for asked, want := range map[string]string{
		"racks[A].gap": "racks.gap", " width ": "us/x#width", "racks.room.kind": "rooms.kind", "too close to call": "too_close", "Not_Checked": "not_checked",
		"hand-over": "hand-over", "recorded": "record#recorded", "racks[A].slots[3]": "racks.slots", "wide": "racks.wide",
	} {
		assert.Equal(t, want, explained(t, b, asked).Name, asked)
	}
	several := explained(t, b, "gap")
	assert.Equal(t, OfSeveral, several.Kind)
	assert.Equal(t, []Candidate{{OfLimit, "us/x#gap", "the racks.gap (racks.gap) >= 20 mm and <= 40 mm"}, {OfLimit, "policy#gap", "the racks.gap (racks.gap) > 0 mm"}}, several.Candidates)
	for _, asked := range []string{"broken", "us/x#broken"} {
		var broken *Broken
		_, err := b.Explain(asked)
		require.ErrorAs(t, err, &broken, asked)
		assert.Contains(t, err.Error(), "x.cue:7: limit us/x#broken: measure:")
	}
	for asked, near := range map[string]string{"us/x#gpa": "us/x#gap", "racks.gep": "racks.gap", "withn": "within", "": ""} {
		var unknown *Unknown
		_, err := b.Explain(asked)
		require.ErrorAs(t, err, &unknown, asked)
		if near != "" {
			assert.Equal(t, near, unknown.Nearest[0])
		}
	}
	b.Firm = false
	assert.Contains(t, explained(t, b, "racks").Notes[0], "No root file")
	_, err := b.Explain("nothing of the kind")
	assert.ErrorContains(t, err, "only what ships with the tool is known")
}

func TestScalarReadsBackAsItIs(t *testing.T) {
	for text, want := range map[string]string{
		"22 mm": "22 mm", "-6 °C": "-6 °C", "5,8 N·m": "5,8 N·m", "a: b": `"a: b"`, "- x": `"- x"`, "[x]": `"[x]"`, "010": `"010"`, "13:30": `"13:30"`, "": `""`,
		"a #b": `"a #b"`, "x\x1b": `"x\x1b"`, "2026-03-11": "2026-03-11", "1/0 AWG": "1/0 AWG", "0": "0", "null": `"null"`,
	} {
		assert.Equal(t, want, scalar(text, false), text)
	}
	assert.Equal(t, `"5,8 N·m"`, scalar("5,8 N·m", true))
}

func TestMatching(t *testing.T) {
	for _, p := range []string{"^[0-9a-f]{64}$", "^(a|b)+c?$", "^S[0-9]{2}-.$", "x*y"} {
		assert.Regexp(t, regexp.MustCompile(p), matching(p), p)
	}
	assert.Empty(t, matching("("))
	assert.Empty(t, matching(`a\b`))
}

// A name that a job or an entry of a register has leads on to what shows it.
func TestKeysAreNoNames(t *testing.T) {
	b := shop(t)
	b.Entries = func(key string) []Entry {
		switch key {
		case "ro":
			return []Entry{{Register: "register.people", At: fact.Origin{File: "registers/people.cue", Line: 7}}}
		case "2026-011":
			return []Entry{{Job: "jobs/2026-011.yaml", At: fact.Origin{File: "jobs/2026-011.yaml", Line: 1}}}
		}
		return nil
	}
	for name, want := range map[string]string{
		"ro":       `"ro" is no name of a definition; it is the key of an entry of register.people, at registers/people.cue:7: run "witnessmark explain register.people" for what such an entry says`,
		"2026-011": `"2026-011" is no name of a definition; it is the number of a job, in jobs/2026-011.yaml:1: run "witnessmark lint jobs/2026-011.yaml" to have it judged, "witnessmark limits --for jobs/2026-011.yaml" for what it is judged by`,
		"nobody":   `there is no limit, measure, field, word or rule set "nobody"`,
	} {
		_, err := b.Explain(name)
		assert.EqualError(t, err, want)
	}
	_, err := b.Explain("racks.gap")
	assert.NoError(t, err, "what has a name is never looked for among the entries")
}
