package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, want string
		printed    string  // in its own unit
		base       float64 // in the base unit
		band       float64
	}{
		{"22 mm ± 1 mm", "mm", "22 mm ± 1 mm", 0.022, 0.001},
		{"22 mm +/- 1 mm", "mm", "22 mm ± 1 mm", 0.022, 0.001},
		{"22 mm +- 1 mm", "mm", "22 mm ± 1 mm", 0.022, 0.001},
		{"22mm±1mm", "mm", "22 mm ± 1 mm", 0.022, 0.001},
		{"22 ± 1 mm", "mm", "22 mm ± 1 mm", 0.022, 0.001},
		{"22 mm ± 1", "mm", "22 mm ± 1 mm", 0.022, 0.001},
		{"22 mm ± 0.1 cm", "mm", "22 mm ± 0.1 cm", 0.022, 0.001},
		{"25 mm ± 4 %", "mm", "25 mm ± 4 %", 0.025, 0.001},
		{"-25 mm ± 4 %", "mm", "-25 mm ± 4 %", -0.025, 0.001},
		{"22 mm ± 0 mm", "mm", "22 mm ± 0 mm", 0.022, 0},
		{"35 % ± 3 %", "%", "35 % ± 3 %", 0.35, 0.03},
		{"35 ± 3 %", "%", "35 % ± 3 %", 0.35, 0.03},
		{"1.25 ± 0.05", "ratio", "1.25 ± 0.05", 1.25, 0.05},
		{"41 °C ± 2 °C", "°C", "41 °C ± 2 °C", 314.15, 2},
		{"41 °C ± 2 K", "°C", "41 °C ± 2 K", 314.15, 2},
		{"41 ± 2 °C", "°C", "41 °C ± 2 °C", 314.15, 2},
		{"41 °C ± 9 °F", "°C", "41 °C ± 9 °F", 314.15, 5},
		{"5 K ± 1 K", "K", "5 K ± 1 K", 5, 1},
		{"300 K", "°C", "300 K", 300, 0},
		{"300 K ± 1 K", "°C", "300 K ± 1 K", 300, 1},
		{"9 Δ°F", "K", "9 Δ°F", 5, 0},
		{"-6 °C", "°C", "-6 °C", 267.15, 0},
		{"\u22126\u202f\u00baC", "°C", "-6 °C", 267.15, 0},
		{"7/8 in", "mm", "0.875 in", 0.022225, 0},
		{"1 1/2 in", "mm", "1.5 in", 0.0381, 0},
		{"1-1/2 in", "mm", "1.5 in", 0.0381, 0},
		{"-1 1/2 in", "mm", "-1.5 in", -0.0381, 0},
		{"1/64 in", "mm", "0.015625 in", 0.000396875, 0},
		{"4/8 in", "mm", "0.5 in", 0.0127, 0},
		{"3 ft 6 in", "mm", "42 in", 1.0668, 0},
		{"3 ft 6 1/2 in", "mm", "42.5 in", 1.0795, 0},
		{"3 ft 6.25 in ± 1/4 in", "mm", "42.25 in ± 0.25 in", 1.07315, 0.00635},
		{"3' 6\"", "mm", "42 in", 1.0668, 0},
		{"3'6\"", "mm", "42 in", 1.0668, 0},
		{"-3 ft 6 in", "mm", "-42 in", -1.0668, 0},
		{"22 in.", "mm", "22 in", 0.5588, 0},
		{"5.8 N·m", "N·m", "5.8 N·m", 5.8, 0},
		{"5.8 Nm ± 4 %", "N·m", "5.8 N·m ± 4 %", 5.8, 0.232},
		{"250 MCM", "mm²", "250 kcmil", 0.000126676869774374, 0},
		{"35 mm2", "mm²", "35 mm²", 0.000035, 0},
		{"10 kA", "A", "10 kA", 10000, 0},
		{"2.5 kPa", "kPa", "2.5 kPa", 2500, 0},
		{"50 psf", "kPa", "50 psf", 2394.012949017, 0},
		{"1.2 M\u2126", "MΩ", "1.2 MΩ", 1.2e6, 0},
		{"1.2 mΩ", "MΩ", "1.2 mΩ", 0.0012, 0},
		{"13.2 kWh", "kWh", "13.2 kWh", 47520000, 0},
		{"320 Ah", "A·h", "320 A·h", 1152000, 0},
		{"800 m³/h", "m³/h", "800 m³/h", 0.222222222222, 0},
		{"0.5 1/h", "1/h", "0.5 1/h", 0.000138888888889, 0},
		{"6", "count", "6", 6, 0},
		{"6 pcs", "count", "6", 6, 0},
		{"1.25", "ratio", "1.25", 1.25, 0},
		{"125 %", "ratio", "125 %", 1.25, 0},
		{"3.00 mm", "mm", "3.00 mm", 0.003, 0},
		{"1e3 mm", "mm", "1e3 mm", 1, 0},
		{"0.3 g", "m/s²", "0.3 g_n", 2.941995, 0},
		{"300 g", "kg", "300 g", 0.3, 0},
		{"25 lb", "N", "25 lbf", 111.205540382, 0},
		{"25 lb", "kg", "25 lb", 11.33980925, 0},
		{"12 months", "month", "12 month", 12, 0},
		{"  600\u00a0mm ", "mm", "600 mm", 0.6, 0},
		{"600\u2009mm", "", "600 mm", 0.6, 0},
	} {
		q, err := Of(c.text, c.want)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.printed, q.String(), c.text)
		assert.InDelta(t, c.base, q.Base(), 1e-9*max(1e-3, abs(c.base)), c.text)
		assert.InDelta(t, c.band, q.BaseUncertainty(), 1e-9, c.text)
		assert.Equal(t, containsBand(c.printed), q.HasUncertainty(), c.text)
		assert.False(t, q.IsCalculated())
		if c.want != "" {
			assert.Equal(t, MustUnit(c.want).Kind(), q.Kind(), c.text)
		}
	}
}

func TestDecimalComma(t *testing.T) {
	comma := Options{DecimalComma: true}
	for text, printed := range map[string]string{
		"5,8 N·m":         "5.8 N·m",
		"-5,80 N·m":       "-5.80 N·m",
		"5.8 N·m":         "5.8 N·m",
		"0,125 N·m":       "0.125 N·m",
		"0.125 N·m":       "0.125 N·m",
		"1,1000 N·m":      "1.1000 N·m",
		"5,8e3 N·m":       "58e2 N·m",
		"5,8 ± 0,3 N·m":   "5.8 N·m ± 0.3 N·m",
		"58 N·m ± 4,5 %":  "58 N·m ± 4.5 %",
		"58 N·m":          "58 N·m",
		"1234,5678901 Nm": "1234.5678901 N·m",
	} {
		q, err := Parse(text, MustUnit("N·m"), comma)
		require.NoError(t, err, text)
		assert.Equal(t, printed, q.String(), text)
	}
}

// What may group thousands is never guessed, in either mode, and every reading
// offered can be read in that mode.
func TestCommasAndGroups(t *testing.T) {
	for _, c := range []struct {
		text    string
		comma   bool
		problem Problem
		offered []string
	}{
		{"5,8 mm", false, DecimalComma, []string{"5.8 mm", "58 mm"}},
		{"0,5 mm", false, DecimalComma, []string{"0.5 mm"}},
		{"0,125 mm", false, DecimalComma, []string{"0.125 mm"}},
		{"22 mm ± 0,5 mm", false, DecimalComma, []string{"22 mm ± 0.5 mm"}},
		{"22 mm ± 1,5 mm", false, DecimalComma, []string{"22 mm ± 1.5 mm", "22 mm ± 15 mm"}},
		{"1,100 mm", false, GroupedNumber, []string{"1100 mm", "1.100 mm"}},
		{"1,100 mm", true, GroupedNumber, []string{"1100 mm", "1,1000 mm"}},
		{"-1,100 mm", false, GroupedNumber, []string{"-1100 mm", "-1.100 mm"}},
		{"1.100 mm", true, GroupedNumber, []string{"1100 mm", "1,1000 mm"}},
		{"1.100,5 mm", false, GroupedNumber, []string{"1100.5 mm", "1.1005 mm"}},
		{"1.100,5 mm", true, GroupedNumber, []string{"1100,5 mm", "1,1005 mm"}},
		{"1,100.5 mm", false, GroupedNumber, []string{"1100.5 mm", "1.1005 mm"}},
		{"1,234,567 mm", false, GroupedNumber, []string{"1234567 mm"}},
		{"1.234.567,5 mm", true, GroupedNumber, []string{"1234567,5 mm"}},
		{"1 100 mm", false, GroupedNumber, []string{"1100 mm", "1.100 mm"}},
		{"1 100 mm", true, GroupedNumber, []string{"1100 mm", "1,1000 mm"}},
		{"-1\u202f100 mm", false, GroupedNumber, nil},
		{"1 100 200 mm", false, GroupedNumber, []string{"1100200 mm"}},
		{"1'100 mm", false, GroupedNumber, []string{"1100 mm"}},
		{"22 mm ± 1,100 mm", false, GroupedNumber, []string{"22 mm ± 1100 mm", "22 mm ± 1.100 mm"}},
		{"1,2.3 mm", false, MalformedNumber, nil},
		{"1,,2 mm", false, MalformedNumber, nil},
		{",5 mm", false, MalformedNumber, nil},
		{"5, mm", false, MalformedNumber, nil},
	} {
		mode := Options{DecimalComma: c.comma}
		_, err := Parse(c.text, MustUnit("mm"), mode)
		problem := requireProblem(t, err, c.problem, c.text)
		if c.offered != nil {
			assert.Equal(t, c.offered, problem.Suggestions, c.text)
		}
		for _, offered := range problem.Suggestions {
			_, err := Parse(offered, MustUnit("mm"), mode)
			assert.NoError(t, err, "%q offers %q", c.text, offered)
		}
	}
	assert.Contains(t, requireFails(t, "5,8 N·m", "N·m", DecimalComma).Error(), "the root file can declare comma decimals")
	assert.Equal(t, "1.100 m", MustOf("1.100 m", "mm").String(), "in point mode a point is the decimal sign")
}

func abs(x float64) float64 { return max(x, -x) }

func containsBand(printed string) bool {
	for _, r := range printed {
		if r == '±' {
			return true
		}
	}
	return false
}
