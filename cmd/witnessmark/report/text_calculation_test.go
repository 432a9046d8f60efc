package report

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// hawser is an invented calculation that looks a figure up, takes a factor and
// assumes something: what a rope may bear.
func hawser() quantity.Function {
	return quantity.Function{
		Name:       "rope.Hawser",
		Parameters: []quantity.Parameter{{Name: "size", Kind: quantity.Length}, {Name: "strands", Kind: quantity.Count, Optional: true}},
		Result:     quantity.Mass,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if in[0].Quantity.In(quantity.MustUnit("mm")) == 9 {
				return quantity.Quantity{}, errors.New("9 mm is no size of the table")
			}
			strands := 1.0
			if in[1].Known {
				strands = in[1].Quantity.Base()
			} else {
				steps.Note("one strand, since nothing else is recorded")
			}
			steps.Value("m_table", quantity.MustOf("40 kg", "kg"), "Harbour tables 2021, table 3")
			steps.Value("k", quantity.MustOf("0.5", "ratio"), "Harbour tables 2021, 3.2")
			return quantity.Calculated(40*0.5*strands, quantity.MustUnit("kg"))
		},
	}
}

// ropeRun is a run whose limit is taken from a calculated fact, and with further ones.
func ropeRun(t *testing.T, more ...limit.Limit) *testRun {
	t.Helper()
	en := func(s string) fact.Labels { return fact.Labels{"en": s} }
	shape, err := fact.Compile(&fact.Shape{
		Lists: []fact.List{{Name: "ropes", Key: "id"}},
		Fields: []fact.Field{
			{Path: "job", Type: fact.Text, Label: en("job number")},
			{Path: "status", Type: fact.Word, Words: []string{"active"}, Label: en("status")},
			{Path: "stage", Type: fact.Word, Words: fact.StageNames(), Stage: true, Label: en("stage")},
			{Path: "ropes.id", Type: fact.Key, Label: en("rope key")},
			{Path: "ropes.size", Type: fact.Quantity, Unit: "mm", Label: en("size")},
			{Path: "ropes.strands", Type: fact.Count, Unit: "strands", Label: en("strands")},
			{Path: "ropes.load", Type: fact.Quantity, Unit: "kg", Label: en("load")},
			{Path: "ropes.bears", Type: fact.Quantity, Unit: "kg", Label: en("what the rope bears"), Calculation: &fact.Calculation{Function: "rope.Hawser", Formula: "m_table · k · s",
				Source: "Harbour tables 2021, 3.1", Validity: "Dry ropes only.", Inputs: []fact.Input{{Symbol: "d", Fact: "ropes.size"}, {Symbol: "s", Fact: "ropes.strands"}}}},
		},
	}, []quantity.Function{hawser()})
	require.NoError(t, err)
	return newTestRunOf(t, shape, []limit.RuleSet{{
		Source: limit.Source{Name: "xx/ropes", Title: "Ropes of the Isles", Edition: "2024", Kind: limit.Code, Decision: limit.Simple, DecidedBy: "The harbour office decides.", At: fact.Origin{File: "rules/ropes.cue", Line: 1}},
		Limits: append([]limit.Limit{{Name: "load", Measure: "ropes.load", Within: limit.Constraint{Op: limit.AtMost, Operand: &limit.Operand{Fact: "ropes.bears", Times: "0.5"}}, Unit: "kg",
			Clause: "2", Grade: limit.Document, Reviewed: "2026-01-01", ReviewBy: "2027-01-01", Why: "It is so.", At: fact.Origin{File: "rules/ropes.cue", Line: 9}}}, more...),
	}})
}

func ropeJob(entry string) string {
	return "job: 2026-014\nstage: designed\nropes:\n  - {id: R, " + entry + "}\n"
}

// The calculation of a bound stands with the limit: in one line, or in full with
// inputs, steps and remarks, each with where it is from.
func TestCalculationOfTheBound(t *testing.T) {
	job := ropeJob("size: 1.2 cm, load: 11 kg")
	short := ropeRun(t).write(t, "text", Settings{}, "jobs/a.yaml", job)
	assert.Contains(t, short, "  limit       <= 0.5 × ropes.bears, here 10 kg  xx/ropes#load\n  limit from  20 kg; formula: m_table · k · s\n  margin ")
	assert.Contains(t, short, "lint --calculations shows")
	full := ropeRun(t).write(t, "text", Settings{Calculations: true}, "jobs/a.yaml", job)
	assert.Contains(t, full, `
  limit from  what the rope bears (ropes[R].bears)
    formula   m_table · k · s
    d       = 1.2 cm        ropes[R].size, jobs/a.yaml:4
    s       = not recorded  ropes[R].strands
    m_table = 40 kg         Harbour tables 2021, table 3
    k       = 0.5           Harbour tables 2021, 3.2
    result  = 20 kg
    remark    one strand, since nothing else is recorded
    source    Harbour tables 2021, 3.1
    valid     Dry ropes only.
  margin `)
	assert.NotContains(t, full, "lint --calculations shows")
}

// Where the bound could not be calculated the finding says why, and what went in.
func TestCalculationThatGivesNothing(t *testing.T) {
	job := ropeJob("size: 9 mm, strands: 3, load: 11 kg")
	short := ropeRun(t).write(t, "text", Settings{}, "jobs/a.yaml", job)
	assert.Contains(t, short, "not checked: what the rope bears (ropes[R].bears) could not be calculated: 9 mm is no size of the table\n"+
		"  calculated  what the rope bears (ropes[R].bears) has no value; formula: m_table · k · s\n")
	full := ropeRun(t).write(t, "text", Settings{Calculations: true}, "jobs/a.yaml", job)
	assert.Contains(t, full, "    result  = none       9 mm is no size of the table\n")
	out := ropeRun(t).write(t, "json", Settings{}, "jobs/a.yaml", job)
	assert.Contains(t, out, `"reason":"the limit itself depends on a fact that could not be calculated: 9 mm is no size of the table","waits_on":["ropes[R].bears"]`)
	absent := ropeRun(t).write(t, "text", Settings{}, "jobs/a.yaml", ropeJob("load: 11 kg"))
	assert.Contains(t, absent, "not checked: size (ropes[R].size) is not recorded\n")
}

// What one calculation gives no result for stands under it, each limit once: those on
// the measure itself and those that take a bound from it.
func TestOneCauseIsOneFinding(t *testing.T) {
	run := ropeRun(t, limit.Limit{Name: "bears", Measure: "ropes.bears", Within: limit.Constraint{Op: limit.AtLeast, Operand: &limit.Operand{Number: "5"}}, Unit: "kg",
		Clause: "3", Grade: limit.Memory, Reviewed: "2026-01-01", ReviewBy: "2027-01-01", Why: "It is so.", At: fact.Origin{File: "rules/ropes.cue", Line: 19}})
	out := run.write(t, "text", Settings{}, "jobs/a.yaml", ropeJob("size: 9 mm, load: 11 kg"))
	assert.Equal(t, 1, strings.Count(out, "jobs/a.yaml:"), "%s", out)
	assert.Contains(t, out, "  waiting     xx/ropes#load: <= 0.5 × ropes.bears; grade document, blocking; for ropes[R].load\n"+
		"  waiting     xx/ropes#bears: >= 5 kg; grade memory, advisory\n")
}

// JSON always holds the calculation with its steps, and says which one is behind
// the bound, also where only findings are written.
func TestJSONCalculationOfTheBound(t *testing.T) {
	for _, s := range []Settings{{}, {FindingsOnly: true}} {
		out := ropeRun(t).write(t, "json", s, "jobs/a.yaml", ropeJob("size: 12 mm, load: 11 kg"))
		require.NoError(t, validate(t, []byte(out)))
		assert.Contains(t, out, `"bound_calculation":"ropes[R].bears"`)
		assert.Contains(t, out, `"result":20,"unit":"kg","steps":[{"from":"one strand, since nothing else is recorded"},{"symbol":"m_table","value":40,"unit":"kg","from":"Harbour tables 2021, table 3"},`+
			`{"symbol":"k","value":0.5,"unit":"ratio","from":"Harbour tables 2021, 3.2"}],"source":"Harbour tables 2021, 3.1","validity":"Dry ropes only."}`)
		assert.Error(t, validate(t, []byte(strings.Replace(out, `"symbol":"k",`, "", 1))), "a value without a symbol")
	}
}

// Each calculation stands once in a finding, and again in the next one.
func TestCalculationOfTheValue(t *testing.T) {
	out := newTestRun(t).write(t, "text", Settings{Calculations: true}, "jobs/a.yaml", edited("modules: 4", "modules: 5"))
	assert.Contains(t, out, `
  calculated  energy of the unit (units[U1].energy)
    formula            sum of the stacks' energies
    stacks[A].energy = 12 kWh  calculated below
    result           = 12 kWh
  calculated  energy of the stack (stacks[A].energy)
    formula   n · E
    n       = 5 modules  stacks[A].modules, jobs/a.yaml:9
    E       = 2.4 kWh    morvane@B.module.energy, equipment/morvane.cue:12
    result  = 12 kWh
  limit `)
}
