package report

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/stack"
)

// A small shape of a job, so that these tests do not change with the one that
// ships. Everything in it is invented.
func testShape(t testing.TB) *fact.Compiled {
	t.Helper()
	due := func(m fact.Moment) fact.Due { return fact.Due{At: m} }
	en := func(s string) fact.Labels { return fact.Labels{"en": s} }
	s := &fact.Shape{
		Lists: []fact.List{{Name: "units", Key: "id"}, {Name: "stacks", Key: "id"}, {Name: "stacks.slots", Parent: "stacks", Key: "slot"}, {Name: "equipment.storage"}},
		Fields: []fact.Field{
			{Path: "job", Type: fact.Text, Label: en("job number")},
			{Path: "status", Type: fact.Word, Words: []string{"active", "on hold", "cancelled"}, Label: en("status")},
			{Path: "stage", Type: fact.Word, Words: fact.StageNames(), Stage: true, Label: en("stage")},
			{Path: "premises.id", Type: fact.Text, Label: en("premises")},
			{Path: "premises.use", Type: fact.Text, Label: en("use of the building")},
			{Path: "dates.completed", Type: fact.Date, Due: fact.Due{At: fact.AtHandOver, Days: 30}, Label: en("completed on")},
			{Path: "dates.handed-over", Type: fact.Date, Label: en("handed over on")},
			{Path: "units.id", Type: fact.Key, Label: en("unit key")},
			{Path: "units.stacks", Type: fact.Link, Many: true, Link: "stacks", Back: "unit", Label: en("stacks of the unit")},
			{Path: "stacks.id", Type: fact.Key, Label: en("stack key")},
			{Path: "stacks.equipment", Type: fact.Link, Link: "equipment.storage", Label: en("product of the stack")},
			{Path: "stacks.modules", Type: fact.Count, Unit: "modules", Label: en("modules in the stack")},
			{Path: "stacks.wall_gap", Type: fact.Quantity, Unit: "mm", Built: fact.Installed, Due: due(fact.AtDesign), Label: en("gap to the wall"), Example: "22 mm"},
			{Path: "stacks.clearance.above", Type: fact.Quantity, Unit: "mm", Due: due(fact.AtDesign), Label: en("free space above"), Example: "600 mm"},
			{Path: "stacks.torque", Type: fact.Quantity, Unit: "N·m", Due: due(fact.AtInstallation), Label: en("torque set")},
			{Path: "stacks.air", Type: fact.Quantity, Unit: "°C", Label: en("air around the stack")},
			{Path: "stacks.setting", Type: fact.Word, Words: []string{"garage", "bedroom"}, Label: en("setting")},
			{Path: "stacks.marked", Type: fact.Truth, Due: due(fact.GateEnergise), Label: en("paint mark")},
			{Path: "stacks.note", Type: fact.Text, Label: en("note")},
			{Path: "stacks.slots.slot", Type: fact.Key, Label: en("slot")},
			{Path: "stacks.slots.mass", Type: fact.Quantity, Unit: "kg", Label: en("mass of the module")},
			{Path: "equipment.storage.module.energy", Type: fact.Quantity, Unit: "kWh", Label: en("energy of a module")},
			{Path: "stacks.energy", Type: fact.Quantity, Unit: "kWh", Label: en("energy of the stack"), Calculation: &fact.Calculation{Function: "stack.NameplateEnergy", Formula: "n · E",
				Inputs: []fact.Input{{Symbol: "n", Fact: "stacks.modules"}, {Symbol: "E", Fact: "stacks.equipment.module.energy"}}}},
			{Path: "units.energy", Type: fact.Quantity, Unit: "kWh", Label: en("energy of the unit"), Calculation: &fact.Calculation{Formula: "sum of the stacks' energies",
				Sum: []fact.Term{{Fact: "stacks.energy", Over: "units.stacks"}}}},
			{Path: "units.stack_count", Type: fact.Count, Unit: "stacks", Label: en("stacks in the unit"), Calculation: &fact.Calculation{Formula: "number of stacks",
				Count: &fact.Term{Fact: "stacks", Over: "units.stacks"}}},
		},
	}
	c, err := fact.Compile(s, []quantity.Function{stack.NameplateEnergy()})
	require.NoError(t, err)
	return c
}

func bound(op limit.Op, number string) limit.Constraint {
	return limit.Constraint{Op: op, Operand: &limit.Operand{Number: number}}
}

func word(op limit.Op, text string) limit.Constraint {
	return limit.Constraint{Op: op, Operand: &limit.Operand{Text: text}}
}

// testSets are two sources: a code that decides simply, and a policy that guards.
func testSets() []limit.RuleSet {
	yes := true
	in := func(l limit.Limit, line int) limit.Limit {
		l.Reviewed, l.ReviewBy, l.Why = "2026-01-01", "2027-01-01", "It is so."
		l.At = fact.Origin{File: "rules/test.cue", Line: line}
		return l
	}
	isGarage := []limit.Condition{{Fact: "stacks.setting", Is: &limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Text: "garage"}}}}
	return []limit.RuleSet{
		{Source: limit.Source{Name: "xx/code", Title: "Code of the Isles", Edition: "2024", Kind: limit.Code, Decision: limit.Simple, DecidedBy: "The harbour office decides.", At: fact.Origin{File: "rules/test.cue", Line: 1}},
			Limits: []limit.Limit{
				in(limit.Limit{Name: "gap", Measure: "stacks.wall_gap", Within: bound(limit.AtLeast, "25"), Unit: "mm", Clause: "4.2", Grade: limit.Document}, 10),
				in(limit.Limit{Name: "gap-hearsay", Measure: "stacks.wall_gap", Within: bound(limit.AtLeast, "30"), Unit: "mm", Clause: "4.3", Grade: limit.Memory}, 20),
				in(limit.Limit{Name: "energy", Measure: "units.energy", Within: bound(limit.AtMost, "10"), Unit: "kWh", Clause: "5", Grade: limit.Copy}, 30),
				in(limit.Limit{Name: "modules", Measure: "stacks.modules", Within: bound(limit.AtMost, "7"), Unit: "modules", Clause: "6", Grade: limit.Document}, 40),
				in(limit.Limit{Name: "setting", Measure: "stacks.setting", Within: word(limit.Differs, "bedroom"), Clause: "7", Grade: limit.Document}, 50),
				in(limit.Limit{Name: "air", Measure: "stacks.air", Within: bound(limit.Less, "40"), Unit: "°C", Clause: "8", Grade: limit.Document}, 60),
				in(limit.Limit{Name: "marked", Measure: "stacks.marked", Within: limit.Constraint{Op: limit.Equals, Operand: &limit.Operand{Truth: &yes}}, Clause: "9", Grade: limit.Document, When: isGarage}, 70),
				in(limit.Limit{Name: "note", Measure: "stacks.note", Within: word(limit.Equals, "ok"), Clause: "10", Grade: limit.Document}, 75),
			}},
		{Source: limit.Source{Name: "policy", Title: "How we work", Edition: "3", Kind: limit.Policy, Decision: limit.Guarded, DecidedBy: "We do.", At: fact.Origin{File: "rules/test.cue", Line: 2}},
			Limits: []limit.Limit{
				in(limit.Limit{Name: "torque", Measure: "stacks.torque", Within: bound(limit.AtMost, "8"), Unit: "N·m", Clause: "1", Grade: limit.Document}, 80),
				in(limit.Limit{Name: "above", Measure: "stacks.clearance.above", Within: limit.Constraint{Op: limit.AtLeast, Operand: &limit.Operand{Fact: "stacks.wall_gap", Times: "20"}}, Unit: "mm", Clause: "2", Grade: limit.Document}, 90),
			}, Bands: map[string]string{"stacks.torque": "4 %"}},
	}
}

// testProducts has one product.
type testProducts struct{ shape *fact.Compiled }

func (p testProducts) Product(_, name string) (*fact.Instance, error) {
	if name != "morvane@B" {
		return nil, errors.New("there is no such product")
	}
	sc := p.shape.Scope("equipment.storage")
	in := &fact.Instance{Scope: sc, Key: name, File: "equipment/morvane.cue", Values: make([]fact.Value, sc.Slots()), Lines: map[string]fact.Origin{"module.energy": {File: "equipment/morvane.cue", Line: 12}}}
	*in.Get(p.shape.Leaf("equipment.storage.module.energy")) = fact.Value{State: fact.Known, Written: "2.4 kWh", Quantity: quantity.MustOf("2.4 kWh", "kWh")}
	return in, nil
}

// testRun is a run over job files given as text, without the engine: what a sink
// is called with is made by the same rooms.
type testRun struct {
	run   *checks.Run
	plan  *limit.Plan
	shape *fact.Compiled
}

func newTestRun(t testing.TB) *testRun {
	t.Helper()
	return newTestRunOf(t, testShape(t), testSets())
}

// newTestRunOf is a run by another shape and other rule sets.
func newTestRunOf(t testing.TB, shape *fact.Compiled, defs []limit.RuleSet) *testRun {
	t.Helper()
	r := &testRun{shape: shape}
	asOf, _ := fact.ParseDay("2026-03-11")
	var sets []*limit.Set
	r.run = &checks.Run{Shape: shape, Tool: "1.2.3", AsOf: checks.AsOf{Date: asOf}, LimitsDigest: "0123456789abcdef0123", Counts: checks.Counts{
		ByKind: map[judge.Kind]int{}, Blocking: map[judge.Kind]int{}, ByGrade: map[limit.Grade]map[judge.Kind]int{}, ByRuleSet: map[string]map[judge.Kind]int{}}}
	for i := range defs {
		s, faults := limit.CompileSet(r.shape, &defs[i])
		require.Empty(t, faults)
		sets = append(sets, s)
	}
	plan, faults := limit.NewPlan(r.shape, sets, func(string) bool { return true })
	require.Empty(t, faults)
	r.plan = plan
	for _, limits := range plan.ByScope {
		r.run.Limits = append(r.run.Limits, limits...)
	}
	for _, s := range slices.Backward(sets) {
		r.run.Sources = append(r.run.Sources, s.Limits[0].Source)
	}
	return r
}

// write runs a sink over the files, in order of the arguments: name, text, name,
// text …
func (r *testRun) write(t testing.TB, format string, s Settings, files ...string) string {
	t.Helper()
	var out bytes.Buffer
	for _, f := range Formats() {
		if f.Name != format {
			continue
		}
		sink := f.New(&out, s)
		require.NoError(t, sink.Begin(r.run))
		for i := 0; i < len(files); i += 2 {
			require.NoError(t, sink.Job(sink.Render(nil, r.job(t, files[i], files[i+1]))))
		}
		require.NoError(t, sink.End(r.run))
	}
	return out.String()
}

// job judges one file.
func (r *testRun) job(t testing.TB, name, text string) *checks.Job {
	t.Helper()
	f, problems := jobfile.Read(name, []byte(text), jobfile.Limits{})
	job := &checks.Job{File: name}
	c := &r.run.Counts
	if f == nil {
		job.Problems = problemsOf(name, problems)
		c.Unread++
	} else {
		d := fact.NewDecoder(r.shape, testProducts{r.shape}, quantity.Options{})
		facts := d.Decode(f)
		job.Problems = problemsOf(name, facts.Problems)
		job.Digest, job.Number, job.Premises = f.Digest, facts.Root.Get(r.shape.Leaf("job")).Text, "net-loft"
		job.Stage, job.Status = facts.Root.Get(r.shape.Leaf("stage")).Text, facts.Root.Get(r.shape.Leaf("status")).Text
		job.Result = judge.New(judge.House{}).Job(facts, r.plan, func(string) bool { return false }, r.run.AsOf.Date)
		c.Jobs++
		for i := range job.Result.Outcomes {
			o := &job.Result.Outcomes[i]
			c.ByKind[o.Kind]++
			if compared(o.Kind) {
				c.Judged++
			}
		}
	}
	r.run.Problems = append(r.run.Problems, job.Problems...)
	c.Problems = len(r.run.Problems)
	return job
}

func problemsOf(name string, problems []jobfile.Problem) []checks.Problem {
	var out []checks.Problem
	for _, p := range problems {
		out = append(out, checks.Problem{File: name, At: p.Pos, Code: p.Code, Message: p.Message, Mend: p.Mend})
	}
	return out
}

// cleanJob has nothing to act on.
const cleanJob = `job: 2026-014
stage: designed
premises: {id: net-loft}
units:
  - {id: U1, stacks: [A]}
stacks:
  - id: A
    equipment: morvane@B
    modules: 4
    wall_gap: 40 mm
    clearance: {above: 900 mm}
    air: 20 °C
    setting: garage
    note: ok
`

func (p testProducts) Registered(string, string) (*fact.Instance, bool, error) {
	return nil, false, nil
}
