package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct{ text, unit, want string }{
		{"22.00 mm", "mm", "22.00 mm"},
		{"22 mm", "in", "0.866 in"},
		{"3 ft", "mm", "914 mm"},
		{"3 ft", "m", "0.914 m"},
		{"914 mm", "ft", "2.999 ft"},
		{"914.4 mm", "ft", "3 ft"},
		{"1100 mm", "m", "1.1 m"},
		{"40 psf", "kPa", "1.92 kPa"},
		{"51 lbf·in", "N·m", "5.76 N·m"},
		{"41 °C", "°F", "106 °F"},
		{"0 °F", "°C", "-17.8 °C"},
		{"32 °F", "°C", "0 °C"},
		{"6 AWG", "mm²", "13.3 mm²"},
		{"0 mm", "in", "0 in"},
		{"-0.0 mm", "mm", "0.0 mm"},
		{"0.5 %", "ratio", "0.005"},
		{"22 mm", "kg", "22 mm"},
		{"1 mi", "mm", "1609344 mm"},
		{"1e20 m", "km", "1e+17 km"},
	} {
		assert.Equal(t, c.want, MustOf(c.text, "").Format(MustUnit(c.unit)), c.text)
	}
	assert.Equal(t, "0.866 in ± 0.0393701 in", MustOf("22 mm ± 1 mm", "").FormatBand(MustUnit("in")))
	assert.Equal(t, "0.866 in ± 4 %", MustOf("22 mm ± 4 %", "").FormatBand(MustUnit("in")))
	assert.Equal(t, "106 °F ± 3.6 Δ°F", MustOf("41 °C ± 2 °C", "").FormatBand(MustUnit("°F")))
	assert.Equal(t, "22 mm ± 1 mm", MustOf("22 mm ± 1 mm", "").FormatBand(MustUnit("kg")))
}

func TestFormatCalculated(t *testing.T) {
	for _, c := range []struct {
		base float64
		unit string
		want string
	}{
		{1.0 / 3, "m", "0.333333 m"},
		{19.2 * 3.6e6, "kWh", "19.2 kWh"},
		{1234567, "W", "1234570 W"},
		{0.1 + 0.2, "ratio", "0.3"},
		{273.15 + 1e-13, "°C", "0 °C"},
		{0, "mm", "0 mm"},
		{-1e-300, "mm", "-1e-297 mm"},
		{1e20, "m", "1e+20 m"},
	} {
		q, err := Calculated(c.base, MustUnit(c.unit))
		require.NoError(t, err)
		assert.Equal(t, c.want, q.String())
		assert.InDelta(t, c.base, q.Base(), 0)
	}
}
