package quantity

import (
	"testing"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEverySpellingFindsItsUnit(t *testing.T) {
	for _, u := range Units() {
		require.NotEqual(t, None, u.Kind(), u)
		assert.Equal(t, u.Symbol(), u.Spellings()[0])
		for _, spelling := range u.Spellings() {
			if u.Kind() == Temperature && spelling == "K" {
				continue // K alone is a difference
			}
			found, ok := UnitOf(spelling)
			assert.True(t, ok, spelling)
			assert.Equal(t, u, found, spelling)
		}
	}
}

// Each line is one unit in all the ways it is met.
func TestSpellings(t *testing.T) {
	for _, line := range [][]string{
		{"N·m", "Nm", "N.m", "N m", "N-m", "N*m", "N\u22c5m"},
		{"lbf·in", "in·lbf", "lb·in", "in-lb", "lbf-in", "in lbf", "in-lbs", "lbf\u22c5in", "inlb"},
		{"lbf·ft", "ft·lbf", "lb-ft", "ft-lb", "ft lbf"},
		{"°C", "degC", "\u00baC", "deg C", "\u2103"},
		{"°F", "degF", "\u00baF", "deg F"},
		{"mm²", "mm2", "mm^2", "sq mm"},
		{"m³/h", "m3/h", "m^3/h", "m³ / h"},
		{"MΩ", "Mohm", "M\u2126", "M\u03a9", "MOhm"},
		{"µF", "\u00b5F", "\u03bcF", "uF"},
		{"kWh", "kW·h", "kW h"},
		{"A·h", "Ah"},
		{"kcmil", "MCM"},
		{"cfm", "CFM", "ft³/min", "ft3/min"},
		{"psf", "lbf/ft²", "lb/ft2"},
		{"A²·s", "A²s", "A2s", "A^2 s"},
		{"1/h", "h⁻¹", "/h", "ACH"},
		{"Δ°C", "\u2206°C", "Δ °C"},
		{"in", "inch", "in.", "\"", "\u2033"},
		{"Ω/kft", "ohm/kFT", "Ω/1000 ft"},
	} {
		want := MustUnit(line[0])
		for _, spelling := range line {
			found, ok := UnitOf(spelling)
			assert.True(t, ok, spelling)
			assert.Equal(t, want, found, spelling)
		}
	}
	for _, wrong := range []string{"", " ", "mM", "KWH", "nm", "C", "mm\n", "mm$", "\xff", "a unit whose name is far longer than any unit has"} {
		_, ok := UnitOf(wrong)
		assert.False(t, ok, "%q", wrong)
	}
}

func TestKinds(t *testing.T) {
	for k := None; k < kindEnd; k++ {
		assert.NotEmpty(t, k.String(), int(k))
		if k == None {
			assert.True(t, k.BaseUnit().IsZero())
			continue
		}
		assert.Equal(t, k, k.BaseUnit().Kind(), "%s needs a base unit", k)
		assert.Equal(t, 1.0, k.BaseUnit().row().factor, k)
	}
	assert.Equal(t, "unknown kind", Kind(200).String())
	assert.NotEqual(t, MustUnit("N·m").Kind(), MustUnit("J").Kind())
	assert.NotEqual(t, MustUnit("VA").Kind(), MustUnit("W").Kind())
	assert.NotEqual(t, MustUnit("K").Kind(), MustUnit("°C").Kind())
	assert.NotEqual(t, MustUnit("Hz").Kind(), MustUnit("1/s").Kind())
}

func TestSystems(t *testing.T) {
	for symbol, want := range map[string]System{
		"mm": Metric, "kPa": Metric, "°C": Metric, "N·m": Metric,
		"ft": US, "AWG": US, "psf": US, "°F": US, "lbf·in": US,
		"V": Neither, "A": Neither, "%": Neither, "count": Neither, "kWh": Neither, "h": Neither,
	} {
		assert.Equal(t, want, MustUnit(symbol).System(), symbol)
	}
	assert.Equal(t, "US", US.String())
	assert.Equal(t, "metric", Metric.String())
	assert.Equal(t, "neither", Neither.String())
}

func TestZeroUnitAndQuantity(t *testing.T) {
	assert.True(t, Unit{}.IsZero())
	assert.Equal(t, None, Unit{}.Kind())
	assert.Empty(t, Unit{}.Symbol())
	var q Quantity
	assert.True(t, q.IsZero())
	assert.Empty(t, q.String())
	assert.False(t, MustOf("0 mm", "mm").IsZero())
	assert.True(t, New(Decimal{Coef: 1}, Unit{}).IsZero())
	assert.LessOrEqual(t, unsafe.Sizeof(q), uintptr(80))
	assert.Panics(t, func() { MustUnit("furlong") })
	assert.Panics(t, func() { MustOf("1 furlong", "") })
}
