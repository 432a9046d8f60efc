package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCalculatedIn(t *testing.T) {
	for text, value := range map[string]float64{"35 %": 35, "41 °C": 41, "104 °F": 104, "3 ft": 3, "20 kWh": 20, "-6 °C": -6} {
		want := MustOf(text, "")
		got, err := CalculatedIn(value, want.Unit())
		require.NoError(t, err)
		assert.Equal(t, 0, Compare(got, want), text)
		assert.True(t, got.IsCalculated())
		assert.InDelta(t, value, got.In(want.Unit()), 1e-9)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := CalculatedIn(bad, MustUnit("m"))
		assert.Error(t, err)
	}
	_, err := CalculatedIn(-300, MustUnit("°C"))
	assert.Error(t, err, "below absolute zero")
	_, err = CalculatedIn(6, MustUnit("AWG"))
	assert.Error(t, err)
	_, err = CalculatedIn(6, Unit{})
	assert.Error(t, err)
	assert.Equal(t, "input 2 is not known", (&Absent{Input: 1}).Error())
}

// A calculated value that is outside by less than a step of the last decimal
// still shows a whole step: the margin is rounded away from the limit.
func TestCalculatedMarginOutsideIsRoundedAway(t *testing.T) {
	kwh := MustUnit("kWh")
	bound := MustOf("20 kWh", "kWh")
	for value, want := range map[float64]string{20.000014: "0.00002 kWh", 20.48: "0.48 kWh", 20.00004: "0.00004 kWh", 21: "1 kWh", 20.05042: "0.0505 kWh"} {
		q, err := CalculatedIn(value, kwh)
		require.NoError(t, err)
		text, _ := Margin(q, bound, kwh, false)
		assert.Equal(t, want, text)
	}
	q, err := CalculatedIn(19.99996, kwh)
	require.NoError(t, err)
	text, _ := Margin(q, bound, kwh, true)
	assert.Equal(t, "0 kWh", text, "and towards it inside")
}

func TestWithSpread(t *testing.T) {
	volt := MustOf("10 V", "V")
	same, err := volt.WithSpread(0)
	require.NoError(t, err)
	assert.False(t, same.HasUncertainty())
	wide, err := volt.WithSpread(0.5)
	require.NoError(t, err)
	assert.Equal(t, "10 V ± 0.5 V", wide.String())
	warm, err := MustOf("20 °C", "°C").WithSpread(2)
	require.NoError(t, err)
	assert.InDelta(t, 2, warm.BaseUncertainty(), 1e-12)
	wire, err := MustOf("6 AWG", "").WithSpread(1)
	require.NoError(t, err)
	assert.False(t, wire.HasUncertainty(), "a wire size has none")
	_, err = volt.WithSpread(math.NaN())
	assert.Error(t, err)
}
