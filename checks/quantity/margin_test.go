package quantity

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMargin(t *testing.T) {
	for _, c := range []struct {
		value, bound, unit string
		within             bool
		want               string
	}{
		{"22 mm", "20 mm", "mm", true, "2 mm"},
		{"22.0 mm", "20 mm", "mm", true, "2.0 mm"},
		{"914 mm", "3 ft", "mm", false, "1 mm"}, // whole millimetres are the finer of the two
		{"914 mm", "3 ft", "ft", false, "0.002 ft"},
		{"915 mm", "3 ft", "ft", true, "0.001 ft"},
		{"914.4 mm", "3 ft", "ft", true, "0.0000 ft"},
		{"51 lbf·in", "5.8 N·m", "N·m", false, "0.1 N·m"},
		{"51.0 lbf·in", "5.8 N·m", "N·m", false, "0.04 N·m"},
		{"20 kWh", "20 kWh", "kWh", true, "0 kWh"},
		{"20 kWh", "20 kWh", "kWh", false, "1 kWh"}, // a bound that must not be reached
		{"41 °C", "40 °C", "°C", false, "1 K"},
		{"41 °C", "100 °F", "°F", false, "6 Δ°F"},
		{"41 °C", "113 °F", "°F", true, "7 Δ°F"},
		{"33 %", "35 %", "%", true, "2 %"},
		{"7", "6", "count", false, "1"},
		{"6 AWG", "16 mm²", "mm²", false, "2.71 mm²"},
		{"6 AWG", "4 AWG", "AWG", false, "7.86 mm²"},
		{"-3 mm", "0 mm", "mm", false, "3 mm"},
		{"1 m", "1 mm", "mm", true, "999 mm"},
		{"1e30 mm", "1 mm", "mm", true, "999999999999999999000000000000 mm"}, // 18 digits, still rounded down
	} {
		value, err := Of(c.value, c.unit)
		require.NoError(t, err)
		bound, err := Of(c.bound, c.unit)
		require.NoError(t, err)
		text, _ := Margin(value, bound, MustUnit(c.unit), c.within)
		assert.Equal(t, c.want, text, "%s against %s", c.value, c.bound)
	}
	text, _ := Margin(Quantity{}, MustOf("1 mm", ""), MustUnit("mm"), true)
	assert.Empty(t, text)
	text, _ = Margin(MustOf("1 mm", ""), MustOf("1 kg", ""), MustUnit("mm"), true)
	assert.Empty(t, text)
}

func TestMarginOfCalculated(t *testing.T) {
	for _, c := range []struct {
		base   float64
		unit   string
		bound  string
		within bool
		want   string
	}{
		{19.2 * 3.6e6, "kWh", "20 kWh", true, "0.8 kWh"},
		{19.23456789 * 3.6e6, "kWh", "20 kWh", true, "0.7654 kWh"},
		{20.00001 * 3.6e6, "kWh", "20 kWh", false, "0.00001 kWh"},
		{20 * 3.6e6, "kWh", "20 kWh", false, "1 kWh"}, // a bound that must not be reached
		{20.3 * 3.6e6, "kWh", "20 kWh", false, "0.3 kWh"},
		{(0.1 + 0.2), "ratio", "0.3", true, "0.0"},
		{314.15, "°C", "40 °C", false, "1 K"},
		{0.0228, "mm", "22 mm", false, "0.8 mm"},
	} {
		value, err := Calculated(c.base, MustUnit(c.unit))
		require.NoError(t, err)
		text, _ := Margin(value, MustOf(c.bound, c.unit), MustUnit(c.unit), c.within)
		assert.Equal(t, c.want, text, "%s against %s", value, c.bound)
	}
}

// An outside margin is never 0 nor less than it is; a within margin never more.
func TestMarginNeverFlatters(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	units := []Unit{MustUnit("mm"), MustUnit("in"), MustUnit("ft"), MustUnit("m")}
	for range 3000 {
		pick := func() Quantity {
			return New(Decimal{Coef: random.Int64N(5000) - 1000, Exp: int32(-random.IntN(4))}, units[random.IntN(4)])
		}
		a, b, u := pick(), pick(), units[random.IntN(4)]
		apart := new(big.Rat).Sub(a.exact(), b.exact())
		apart.Quo(apart.Abs(apart), u.row().exact)
		_, within := Margin(a, b, u, true)
		_, outside := Margin(a, b, u, false)
		require.LessOrEqual(t, within.Rat().Cmp(apart), 0, "%s against %s: %s", a, b, within)
		require.GreaterOrEqual(t, outside.Rat().Cmp(apart), 0, "%s against %s: %s", a, b, outside)
		require.Positive(t, outside.Coef)
		require.LessOrEqual(t, outside.Coef-within.Coef, int64(1))
	}
}
