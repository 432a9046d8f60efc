package stack

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
)

func known(text, unit string) quantity.Argument {
	return quantity.Argument{Known: true, Quantity: quantity.MustOf(text, unit)}
}

func word(w string) quantity.Argument { return quantity.Argument{Known: true, Word: w} }

// Sixteen lithium iron phosphate cells of 3.2 V nominal and 3.65 V charge ceiling
// make 51.2 V and 58.4 V (cell voltages from memory, the usual figures of that
// chemistry); modules in series add up in the same way.
func TestHighestVoltageInSeries(t *testing.T) {
	f := HighestVoltage()
	cells, err := f.Of([]quantity.Argument{word(ModulesInSeries), known("16", "count"), known("3.65 V", "V"), {}}, nil)
	require.NoError(t, err)
	assert.InDelta(t, 58.4, cells.Base(), 1e-9)
	pack, err := f.Of([]quantity.Argument{word(ModulesInSeries), known("7", "count"), known("58.4 V", "V"), {}}, nil)
	require.NoError(t, err)
	assert.InDelta(t, 408.8, pack.Base(), 1e-9)
	assert.Equal(t, "408.8 V", pack.String())
	assert.True(t, pack.IsCalculated())
}

// With converters the modules never add up, whatever their number.
func TestHighestVoltageWithConverter(t *testing.T) {
	f := HighestVoltage()
	for _, architecture := range []string{ConverterPerModule, ConverterPerStack} {
		for _, modules := range []string{"1", "6", "40"} {
			v, err := f.Of([]quantity.Argument{word(architecture), known(modules, "count"), known("58.4 V", "V"), known("450 V", "V")}, nil)
			require.NoError(t, err)
			assert.InDelta(t, 450, v.Base(), 0, architecture)
		}
		v, err := f.Of([]quantity.Argument{word(architecture), {}, {}, known("0.45 kV", "V")}, nil)
		require.NoError(t, err, "modules are not needed")
		assert.Equal(t, "450 V", v.Format(quantity.MustUnit("V")))
	}
}

// What is needed and not known is named; nothing is assumed.
func TestHighestVoltageNeeds(t *testing.T) {
	f := HighestVoltage()
	for _, c := range []struct {
		in   []quantity.Argument
		want int
	}{
		{[]quantity.Argument{word(ModulesInSeries), {}, known("58 V", "V"), known("450 V", "V")}, 1},
		{[]quantity.Argument{word(ModulesInSeries), known("5", "count"), {}, known("450 V", "V")}, 2},
		{[]quantity.Argument{word(ConverterPerModule), known("5", "count"), known("58 V", "V"), {}}, 3},
		{[]quantity.Argument{word(ConverterPerStack), known("5", "count"), known("58 V", "V"), {}}, 3},
	} {
		_, err := f.Of(c.in, nil)
		var absent *quantity.Absent
		require.ErrorAs(t, err, &absent)
		assert.Equal(t, c.want, absent.Input)
	}
	_, err := f.Of([]quantity.Argument{word("something else"), known("5", "count"), known("58 V", "V"), known("450 V", "V")}, nil)
	assert.ErrorContains(t, err, "not known")
}

// A cell of 320 A·h at 3.2 V holds 1.024 kWh (A·h times V, by definition), sixteen
// of them 16.384 kWh.
func TestNameplateEnergy(t *testing.T) {
	e, err := NameplateEnergy().Of([]quantity.Argument{known("16", "count"), known("1.024 kWh", "kWh")}, nil)
	require.NoError(t, err)
	assert.InDelta(t, 16.384*3.6e6, e.Base(), 1e-6)
	assert.Equal(t, "16.384 kWh", e.String())
	mj, err := NameplateEnergy().Of([]quantity.Argument{known("1", "count"), known("3.6 MJ", "kWh")}, nil)
	require.NoError(t, err)
	assert.Equal(t, 0, quantity.Compare(mj, quantity.MustOf("1 kWh", "kWh")), "NIST SP 811: 1 kWh = 3.6 MJ")
	none, err := NameplateEnergy().Of([]quantity.Argument{known("0", "count"), known("1.024 kWh", "kWh")}, nil)
	require.NoError(t, err)
	assert.Zero(t, none.Base())
}

// More modules never lower voltage or energy.
func TestMoreModulesNeverLess(t *testing.T) {
	last, lastE := 0.0, 0.0
	for n := range 40 {
		count := quantity.Argument{Known: true, Quantity: quantity.New(quantity.Decimal{Coef: int64(n)}, quantity.Count.BaseUnit())}
		v, err := HighestVoltage().Of([]quantity.Argument{word(ModulesInSeries), count, known("57.6 V", "V"), {}}, nil)
		require.NoError(t, err)
		e, err := NameplateEnergy().Of([]quantity.Argument{count, known("2.56 kWh", "kWh")}, nil)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, v.Base(), last)
		assert.GreaterOrEqual(t, e.Base(), lastE)
		last, lastE = v.Base(), e.Base()
	}
}
