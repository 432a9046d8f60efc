package conductor_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/conductor"
	"witnessmark.example/checks/define"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
	"witnessmark.example/schema"
)

// necTables are the tables that ship, which is what the calculations are for.
func necTables(t testing.TB) *table.Set {
	t.Helper()
	all, _, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	set, err := table.NewSet(all.Tables)
	require.NoError(t, err)
	return set
}

// in makes arguments from what a job would write, in the order of the inputs; ""
// is not known.
func in(t testing.TB, f quantity.Function, written ...string) []quantity.Argument {
	t.Helper()
	require.Len(t, written, len(f.Parameters), f.Name)
	args := make([]quantity.Argument, len(written))
	for i, text := range written {
		p := f.Parameters[i]
		switch {
		case text == "":
			require.True(t, p.Optional, "%s of %s is not optional", p.Name, f.Name)
		case p.Kind == quantity.None:
			args[i] = quantity.Argument{Known: true, Word: text}
		case p.Kind == quantity.Count:
			args[i] = quantity.Argument{Known: true, Quantity: quantity.MustOf(text, "count")}
		default:
			q, err := quantity.Parse(text, p.Kind.BaseUnit(), quantity.Options{})
			require.NoError(t, err)
			args[i] = quantity.Argument{Known: true, Quantity: q}
		}
	}
	return args
}

// Every step is told: both columns, both factors with the row that was taken, and
// what is assumed.
func TestAmpacityTellsItsSteps(t *testing.T) {
	f := conductor.AmpacityNEC(necTables(t))
	var steps quantity.Steps
	got, err := f.Of(in(t, f, "1/0 AWG", "copper", "90 °C", "THHN", "39 °C", "", "5", "", "90 °C", "2"), &steps)
	require.NoError(t, err)
	assert.InDelta(t, 170*0.91*0.80, got.Base(), 1e-9)
	told := map[string]string{}
	var notes []string
	for _, s := range steps.All() {
		if s.Symbol == "" {
			notes = append(notes, s.From)
		}
		told[s.Symbol] = s.From
	}
	assert.Contains(t, told["I_table"], "Table 310.16, 1/0 AWG, copper, column 90 °C")
	assert.Contains(t, told["F_temp"], "Table 310.15(B)(1)(1), row up to 40 °C, column 90 °C")
	assert.Contains(t, told["F_count"], "5 current-carrying conductors")
	assert.Contains(t, told["I_terminal"], "column 75 °C")
	assert.Contains(t, notes, "not in the sun above a roof, since no height above one is recorded")
	assert.Contains(t, notes, "one conductor for each pole, since nothing else is recorded")
	assert.Len(t, notes, 3, "and that 90 °C terminals are taken at 75 °C")
}

// An uncertain ambient counts at its upper edge, an uncertain height at its lower.
func TestUncertainSurroundingsCountAtTheWorseEdge(t *testing.T) {
	f := conductor.AmpacityNEC(necTables(t))
	of := func(air, roof string) float64 {
		q, err := f.Of(in(t, f, "6 AWG", "copper", "75 °C", "", air, roof, "2", "", "75 °C", "2"), nil)
		require.NoError(t, err)
		return q.Base()
	}
	assert.Equal(t, of("41 °C", ""), of("39 °C ± 2 K", ""))
	assert.Greater(t, of("39 °C", ""), of("39 °C ± 2 K", ""))
	assert.Equal(t, of("30 °C", "18 mm"), of("30 °C", "20 mm ± 2 mm"))
}

// The conductor's own rating is one of those that the lowest of governs: in the
// cold, 60 °C insulation between 75 °C terminals carries what its own column says.
func TestInsulationIsNoBetterThanItsColumn(t *testing.T) {
	f := conductor.AmpacityNEC(necTables(t))
	q, err := f.Of(in(t, f, "6 AWG", "copper", "60 °C", "", "0 °C", "", "2", "", "75 °C", "2"), nil)
	require.NoError(t, err)
	assert.InDelta(t, 55, q.Base(), 1e-9)
}

// The electrode conductor has a floor, also where it is thicker than what the
// system supplies, and a smaller one than the floor is never enough at a rod.
func TestElectrodeConductorHasAFloor(t *testing.T) {
	f := conductor.ElectrodeConductorNEC(necTables(t))
	for _, electrode := range []string{"", "rod", "concrete-encased"} {
		q, err := f.Of(in(t, f, "copper", "12 AWG", electrode), nil)
		require.NoError(t, err)
		assert.Equal(t, "8 AWG", q.String(), electrode)
	}
}

// What is needed after all and not known is named by its place; nothing is assumed
// that flatters.
func TestNeededAfterAll(t *testing.T) {
	tables := necTables(t)
	most, grounding, storage := conductor.DeviceMostNEC2023(tables), conductor.EquipmentGroundingNEC2023(tables), conductor.StorageAmpacityNEC()
	for _, c := range []struct {
		name string
		f    quantity.Function
		args []string
		want int
	}{
		{"whether outlets are fed, between two ratings", most, []string{"115 A", "circuit-breaker", "ac", "", "2 AWG", "copper"}, 3},
		{"the size that the current asks for", grounding, []string{"copper", "100 A", "3 AWG", "", "copper", ""}, 3},
		{"the charge current beside the other", storage, []string{"", "50 A", "60 A", "63 A", "", "", ""}, 0},
		{"the discharge current beside the other", storage, []string{"50 A", "", "60 A", "63 A", "", "", ""}, 1},
		{"any current of the stack, a typed one is not enough", storage, []string{"", "", "60 A", "63 A", "", "", ""}, 0},
		{"any device", storage, []string{"50 A", "50 A", "", "", "", "", ""}, 3},
		{"a device of its own where stacks join", storage, []string{"50 A", "50 A", "", "", "80 A", "several stacks together", "100 A"}, 3},
		{"the stacks together", storage, []string{"50 A", "50 A", "60 A", "63 A", "", "several stacks together", ""}, 6},
		{"whether it serves all of them", storage, []string{"50 A", "50 A", "60 A", "63 A", "", "", "100 A"}, 5},
	} {
		_, err := c.f.Of(in(t, c.f, c.args...), nil)
		var absent *quantity.Absent
		require.ErrorAs(t, err, &absent, c.name)
		assert.Equal(t, c.want, absent.Input, c.name)
	}
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"at a rating", []string{"110 A", "circuit-breaker", "ac", "", "2 AWG", "copper"}, "110 A"},
		{"at the ceiling of a small conductor", []string{"25 A", "fuse", "ac", "", "12 AWG", "copper"}, "20 A"},
		{"above 800 A", []string{"930 A", "fuse", "ac", "", "350 kcmil", "copper"}, "800 A"},
		{"above every rating", []string{"7000 A", "fuse", "ac", "", "350 kcmil", "copper"}, "6000 A"},
	} {
		q, err := most.Of(in(t, most, c.args...), nil)
		require.NoError(t, err, "%s the outlets do not matter", c.name)
		assert.Equal(t, c.want, q.String(), c.name)
	}
}

// A table that is missing is an error and never a factor or a ceiling of none.
func TestWithoutTables(t *testing.T) {
	empty, err := table.NewSet(nil)
	require.NoError(t, err)
	for f, args := range map[*quantity.Function][]string{
		ptr(conductor.AmpacityNEC(empty)):               {"6 AWG", "copper", "75 °C", "", "30 °C", "", "2", "", "75 °C", "2"},
		ptr(conductor.AmpacityAtTerminalsNEC(empty)):    {"6 AWG", "copper", "75 °C", "", "75 °C", "2"},
		ptr(conductor.ContinuousNEC(empty)):             {"24 A", "true"},
		ptr(conductor.DeviceMostNEC2023(empty)):         {"65 A", "fuse", "dc", "", "6 AWG", "copper"},
		ptr(conductor.StandardRatingNEC2020(empty)):     {"65 A", "fuse"},
		ptr(conductor.EquipmentGroundingNEC2017(empty)): {"copper", "65 A", "6 AWG", "6 AWG", "", ""},
		ptr(conductor.ElectrodeConductorNEC(empty)):     {"copper", "6 AWG", ""},
	} {
		_, err := f.Of(in(t, *f, args...), nil)
		assert.ErrorContains(t, err, "there is no table", f.Name)
	}
}

func ptr(f quantity.Function) *quantity.Function { return &f }

// A size that the current asks for is taken on trust, and the steps say so; that a
// smaller one would carry the device is said too.
func TestNeededSizeOnTrust(t *testing.T) {
	f := conductor.EquipmentGroundingNEC2023(necTables(t))
	for _, c := range []struct{ needed, want string }{
		{"3 AWG", "not enlarged (250.122(B)): that the current asks for the size that is laid is recorded and taken on trust"},
		{"3 AWG", "8 AWG would carry the rating of the device by NEC (NFPA 70) 2023, Table 310.16, 60 °C, before correction: that the current asks for 3 AWG is to be shown"},
		{"8 AWG", "the size that the current asks for is recorded and taken on trust"},
	} {
		var steps quantity.Steps
		_, err := f.Of(in(t, f, "copper", "40 A", "3 AWG", c.needed, "copper", ""), &steps)
		require.NoError(t, err)
		var notes []string
		for _, s := range steps.All() {
			notes = append(notes, s.From)
		}
		assert.Contains(t, notes, c.want)
	}
	_, err := f.Of(in(t, f, "copper", "40 A", "8 AWG", "3 AWG", "copper", ""), nil)
	require.ErrorContains(t, err, "one of the two is wrong")
}
