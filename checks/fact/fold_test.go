package fact

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/quantity"
)

// folded decodes a job with one more measure of the units.
func folded(t *testing.T, calc Calculation, job string) (*Facts, *Value) {
	t.Helper()
	s := small()
	kind, unit := Quantity, "kWh"
	switch {
	case calc.Distinct != nil:
		kind, unit = Count, "kinds"
	case calc.Span != nil:
		kind, unit = Count, "calendar days"
	}
	s.Fields = append(s.Fields, Field{Path: "stacks.made", Type: Date})
	s.Fields = append(s.Fields, Field{Path: "units.folded", Type: kind, Unit: unit, Calculation: &calc})
	for i := range s.Lists {
		s.Lists[i].Label = Labels{"en": s.Lists[i].Name}
	}
	c, err := Compile(s, []quantity.Function{energy()})
	require.NoError(t, err)
	f, problems := jobfile.Read("a.yaml", []byte(job), jobfile.Limits{})
	require.Empty(t, problems)
	facts := NewDecoder(c, products{c.Scope("equipment.storage")}, quantity.Options{}).Decode(f)
	return facts, facts.Entries[c.Scope("units").ID][0].Get(c.Leaf("units.folded"))
}

const three = `job: 7
stage: installed
units: [{id: U, stacks: [A, B, C]}]
stacks: [{id: A, count: 4, product: x@1}, {id: B, count: 2, product: x@1}, {id: C, count: 3, product: x@1}]
`

func TestLeastAndGreatest(t *testing.T) {
	term := []Term{{"stacks.energy", "units.stacks"}}
	kwh := quantity.MustUnit("kWh")
	facts, least := folded(t, Calculation{Least: term}, three)
	require.Equal(t, Known, least.State)
	assert.InDelta(t, 5, least.Quantity.In(kwh), 1e-12)
	assert.Len(t, least.More.From.Inputs, 3, "all that were compared are shown")
	assert.Empty(t, facts.Problems)

	_, greatest := folded(t, Calculation{Greatest: term}, three)
	assert.InDelta(t, 10, greatest.Quantity.In(kwh), 1e-12)

	_, unknown := folded(t, Calculation{Least: term}, "job: 7\nstage: installed\nunits: [{id: U, stacks: [A, B]}]\nstacks: [{id: A, count: 4, product: x@1}, {id: B, product: x@1}]\n")
	require.Equal(t, Uncalculated, unknown.State, "the one that is not known might be the least")
	require.Len(t, unknown.More.Lacks, 1)
	assert.Equal(t, "stacks[B].count", unknown.More.Lacks[0].Of.AddressOf(unknown.More.Lacks[0].Leaf))

	_, none := folded(t, Calculation{Greatest: term}, "job: 7\nstage: installed\nunits: [{id: U, stacks: []}]\n")
	require.Equal(t, Uncalculated, none.State)
}

// The smaller of two may reach higher: 5 kWh ± 2 kWh beside 6 kWh.
func TestExtremeReachesAsFarAsAny(t *testing.T) {
	parts := "job: 7\nstage: installed\nrooms: [{id: r}]\nunits: [{id: U, room: r, part: 5 kWh ± 2 kWh}, {id: V, room: r, part: 6 kWh}]\n"
	for _, c := range []struct {
		calc          Calculation
		value, spread float64
	}{
		{Calculation{Greatest: []Term{{"units.part", "units.room"}}}, 6, 1},
		{Calculation{Least: []Term{{"units.part", "units.room"}}}, 5, 2},
	} {
		s := small()
		s.Fields = append(s.Fields, Field{Path: "units.part", Type: Quantity, Unit: "kWh"}, Field{Path: "rooms.folded", Type: Quantity, Unit: "kWh", Calculation: &c.calc})
		compiled, err := Compile(s, []quantity.Function{energy()})
		require.NoError(t, err)
		f, problems := jobfile.Read("a.yaml", []byte(parts), jobfile.Limits{})
		require.Empty(t, problems)
		facts := NewDecoder(compiled, products{compiled.Scope("equipment.storage")}, quantity.Options{}).Decode(f)
		require.Empty(t, facts.Problems)
		got := facts.Entries[compiled.Scope("rooms").ID][0].Get(compiled.Leaf("rooms.folded"))
		kwh := quantity.MustOf("1 kWh", "kWh").Base()
		require.Equal(t, Known, got.State)
		assert.InDelta(t, c.value, got.Quantity.Base()/kwh, 1e-9)
		assert.InDelta(t, c.spread, got.Quantity.BaseUncertainty()/kwh, 1e-9)
	}
}

func TestDistinct(t *testing.T) {
	_, n := folded(t, Calculation{Distinct: &Term{"stacks.product", "units.stacks"}}, three)
	require.Equal(t, Known, n.State)
	assert.EqualValues(t, 1, n.Quantity.Base())
	_, unknown := folded(t, Calculation{Distinct: &Term{"stacks.product", "units.stacks"}}, "job: 7\nstage: installed\nunits: [{id: U, stacks: [A, B]}]\nstacks: [{id: A, product: x@1}, {id: B}]\n")
	assert.Equal(t, Uncalculated, unknown.State, "nobody knows whether the second differs")
}

// A fact that is true or false goes into a function as a word and into a
// condition likewise.
func TestTruthAsInput(t *testing.T) {
	_, v := folded(t, Calculation{Sum: []Term{{"stacks.energy", "units.stacks"}}, Where: []Test{{"marked", []string{quantity.Yes}}}},
		"job: 7\nstage: installed\nunits: [{id: U, stacks: [A, B]}]\nstacks: [{id: A, count: 4, marked: true, product: x@1}, {id: B, count: 2, marked: false, product: x@1}]\n")
	require.Equal(t, Known, v.State)
	assert.InDelta(t, 10, v.Quantity.In(quantity.MustUnit("kWh")), 1e-12)
}

func TestStepsAreToldAgain(t *testing.T) {
	facts, _ := folded(t, Calculation{Least: []Term{{"stacks.energy", "units.stacks"}}}, three)
	told := 0
	for _, w := range facts.Workings {
		told += len(w.Steps())
	}
	assert.Equal(t, 3, told, "one step for each stack's energy")
}

// "not recorded" among the words of a condition lets in an entry of which the fact
// is not known; one of which another word is known stays out.
func TestNotRecordedIsAWordOfACondition(t *testing.T) {
	job := "job: 7\nstage: installed\nunits: [{id: U, stacks: [A, B]}]\nstacks: [{id: A, count: 4, product: x@1}, {id: B, count: 2, marked: false, product: x@1}]\n"
	sum := Calculation{Sum: []Term{{"stacks.energy", "units.stacks"}}, Where: []Test{{"marked", []string{quantity.Yes, NotRecorded}}}}
	_, v := folded(t, sum, job)
	require.Equal(t, Known, v.State)
	assert.InDelta(t, 10, v.Quantity.In(quantity.MustUnit("kWh")), 1e-12)
	sum.Where[0].Words = []string{quantity.Yes}
	_, v = folded(t, sum, job)
	assert.Equal(t, Uncalculated, v.State, "without the word it is not known whether A counts")
}

// "recorded" leaves out an entry of which nobody wrote the fact, and alone lets in every
// other; what is written and cannot be read is neither.
func TestRecordedIsAWordOfACondition(t *testing.T) {
	alone, beside := []string{Recorded}, []string{quantity.No, Recorded}
	for _, c := range []struct {
		words []string
		marks [2]string
		want  float64
	}{
		{alone, [2]string{", marked: true", ""}, 1}, {alone, [2]string{", marked: true", ", marked: false"}, 2},
		{alone, [2]string{"", ""}, 0}, {alone, [2]string{", marked: perhaps", ""}, -1},
		{beside, [2]string{", marked: true", ""}, 0}, {beside, [2]string{", marked: true", ", marked: false"}, 1},
	} {
		marks, want := c.marks, c.want
		count := Calculation{Count: &Term{"stacks", "units.stacks"}, Where: []Test{{"marked", c.words}}}
		_, v := folded(t, count, "job: 7\nstage: installed\nunits: [{id: U, stacks: [A, B]}]\nstacks: [{id: A, product: x@1"+marks[0]+"}, {id: B, product: x@1"+marks[1]+"}]\n")
		if want < 0 {
			assert.Equal(t, Uncalculated, v.State, marks)
			continue
		}
		require.Equal(t, Known, v.State, marks)
		assert.InDelta(t, want, v.Quantity.In(v.Quantity.Unit()), 0, marks)
	}
}

// A span counts the days from the first date to the last, whatever their order; one
// date alone spans none, and one that nobody wrote leaves the span unknown.
func TestSpanOfDates(t *testing.T) {
	span := Calculation{Span: &Term{"stacks.made", "units.stacks"}}
	for made, want := range map[[3]string]float64{
		{"2026-03-01", "2026-01-30", "2026-02-14"}: 30, {"2026-03-01", "2026-03-01", "2026-03-01"}: 0, {"2024-02-28", "2024-03-01", "2024-02-29"}: 2, {"2026-03-01", "", "2026-03-01"}: -1,
	} {
		job := "job: 7\nstage: installed\nunits: [{id: U, stacks: [A, B, C]}]\nstacks:\n"
		for i, day := range made {
			job += "  - {id: " + string(rune('A'+i))
			if day != "" {
				job += ", made: " + day
			}
			job += "}\n"
		}
		_, v := folded(t, span, job)
		if want < 0 {
			require.Equal(t, Uncalculated, v.State)
			assert.Equal(t, "stacks[B].made", v.More.Lacks[0].Of.AddressOf(v.More.Lacks[0].Leaf))
			continue
		}
		require.Equal(t, Known, v.State, made)
		assert.InDelta(t, want, v.Quantity.Base(), 0, made)
	}
	_, none := folded(t, span, "job: 7\nstage: installed\nunits: [{id: U, stacks: []}]\n")
	assert.Equal(t, Uncalculated, none.State)
}
