package quantity

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"914.4 mm", "3 ft", 0},
		{"914 mm", "3 ft", -1},
		{"914.4000000001 mm", "3 ft", 1}, // closer than floats are trusted
		{"1.6 mm", "16e-1 mm", 0},
		{"1 in", "25.4 mm", 0},
		{"3 ft 6 1/2 in", "1079.5 mm", 0},
		{"1 psf", "47.8802589803 Pa", 1}, // 47.88025898033584…
		{"1 psf", "47.8802589804 Pa", -1},
		{"1 kWh", "3.6 MJ", 0},
		{"104 °F", "40 °C", 0},
		{"98.6 °F", "37 °C", 0},
		{"98.6 °F", "37.0000000001 °C", -1},
		{"1 kN/m²", "1 kPa", 0},
		{"180 °", "3.14159265358979323 rad", 1}, // pi goes on
		{"180 °", "3.14159265358979324 rad", -1},
		{"0 mm", "0 in", 0},
		{"1e-30 mm", "0 in", 1},
		{"-1 mm", "1 mm", -1},
		{"1 Δ°C", "1 K", 0},
		{"-459.67 °F", "-273.15 °C", 0},
		{"-459.66999991 °F", "-273.14999995 °C", 0}, // 5e-8 K, where floats hold only noise
		{"-459.669999999999999 °F", "-273.15 °C", 1},
	} {
		a, b := MustOf(c.a, ""), MustOf(c.b, "")
		assert.Equal(t, c.want, Compare(a, b), "%s and %s", c.a, c.b)
		assert.Equal(t, -c.want, Compare(b, a), "%s and %s", c.b, c.a)
	}
}

// A band that just touches counts as touching, however it is written.
func TestCompareEdges(t *testing.T) {
	for _, c := range []struct {
		a, b         string
		lower, upper int
	}{
		{"22 mm ± 1 mm", "21 mm", 0, 1},
		{"22 mm ± 1 mm", "23 mm", -1, 0},
		{"22 mm ± 1 mm", "2.3 cm", -1, 0},
		{"22 mm ± 1.001 mm", "23 mm", -1, 1},
		{"22 mm ± 0.0000000001 mm", "22 mm", -1, 1},
		{"25 mm ± 4 %", "26 mm", -1, 0},
		{"-25 mm ± 4 %", "-26 mm", 0, 1},
		{"3 ft ± 1/2 in", "927.1 mm", -1, 0},
		{"41 °C ± 2 °C", "43 °C", -1, 0},
		{"41 °C ± 9 °F", "36 °C", 0, 1},
		{"35 % ± 3 %", "38 %", -1, 0},
		{"1 mm ± 1 mm", "0 mm", 0, 1}, // the difference of equal floats
		{"0.3 mm ± 0.1 mm", "0.4 mm", -1, 0},
		{"22 mm", "22 mm", 0, 0},
		{"914.4 mm", "3 ft", 0, 0},
		{"22 mm ± 0 mm", "22 mm", 0, 0},
	} {
		a, b := MustOf(c.a, ""), MustOf(c.b, "")
		assert.Equal(t, c.lower, CompareLower(a, b), "lower edge of %s and %s", c.a, c.b)
		assert.Equal(t, c.upper, CompareUpper(a, b), "upper edge of %s and %s", c.a, c.b)
	}
}

func TestCalculatedCountsAsEqualWhenClose(t *testing.T) {
	kilowattHour := MustUnit("kWh")
	limit := MustOf("20.0 kWh", "kWh")
	// 6 × 3.3333… and the like: a sum of floats that should be 20.
	noisy, err := Calculated(3.6e6*(20+3e-15), kilowattHour)
	require.NoError(t, err)
	assert.Zero(t, Compare(noisy, limit))
	assert.Zero(t, Compare(limit, noisy))
	above, err := Calculated(3.6e6*20.0000001, kilowattHour)
	require.NoError(t, err)
	assert.Equal(t, 1, Compare(above, limit))
	assert.Equal(t, -1, Compare(limit, above))
}

func TestCalculatedRefuses(t *testing.T) {
	for _, c := range []struct {
		base    float64
		unit    string
		problem Problem
	}{
		{math.NaN(), "mm", NotFinite}, {math.Inf(1), "mm", NotFinite}, {math.Inf(-1), "°C", NotFinite},
		{-1, "°C", BelowAbsoluteZero}, {1e-5, "AWG", NoSuchSize},
	} {
		_, err := Calculated(c.base, MustUnit(c.unit))
		requireProblem(t, err, c.problem, c.unit)
	}
	_, err := Calculated(1, Unit{})
	requireProblem(t, err, MissingUnit, "no unit")
	q, err := Calculated(314.15, MustUnit("°C"))
	require.NoError(t, err)
	assert.True(t, q.IsCalculated())
	assert.Equal(t, "41 °C", q.String())
}

func TestKindsDoNotMix(t *testing.T) {
	torque, energy := MustOf("5 N·m", ""), MustOf("5 J", "")
	assert.Equal(t, -Compare(torque, energy), Compare(energy, torque))
	assert.NotZero(t, Compare(torque, energy))
	assert.Equal(t, -1, Compare(Quantity{}, torque))
	assert.Zero(t, Compare(Quantity{}, Quantity{}))
}

func TestWithUncertainty(t *testing.T) {
	for _, c := range []struct {
		value, band, want string
	}{
		{"5.8 N·m", "4 %", "5.8 N·m ± 4 %"},
		{"5.8 N·m", "0.3 N·m", "5.8 N·m ± 0.3 N·m"},
		{"5.8 N·m", "-0.3 N·m", "5.8 N·m ± 0.3 N·m"},
		{"5.8 N·m ± 1 N·m", "4 %", "5.8 N·m ± 4 %"},
		{"35 %", "3 %", "35 % ± 3 %"},
		{"5.8 N·m", "0.04", "5.8 N·m ± 4 %"},
		{"41 °C", "2 K", "41 °C ± 2 K"},
		{"41 °C", "2 %", ""},
		{"41 °C", "2 °C", ""},
		{"5.8 N·m", "3 mm", ""},
		{"6 AWG", "4 %", ""},
	} {
		band, err := Of(c.band, "")
		if err != nil {
			band = MustOf(c.band, "ratio")
		}
		q := MustOf(c.value, "").WithUncertainty(band)
		assert.Equal(t, c.want == "", q.IsZero(), "%s with %s", c.value, c.band)
		if c.want != "" {
			assert.Equal(t, c.want, q.String())
			assert.InDelta(t, MustOf(c.want, "").BaseUncertainty(), q.BaseUncertainty(), 1e-12)
		}
	}
	half, err := Calculated(0.001, MustUnit("mm"))
	require.NoError(t, err)
	q := MustOf("22 mm", "").WithUncertainty(half)
	assert.Equal(t, "22 mm ± 1 mm", q.String())
	assert.Zero(t, CompareUpper(q, MustOf("23 mm", "")))
	assert.Equal(t, 1, CompareUpper(q, MustOf("22.9 mm", "")))
	calc, err := Calculated(0.022, MustUnit("mm"))
	require.NoError(t, err)
	assert.Equal(t, "22 mm ± 4 %", calc.WithUncertainty(MustOf("4 %", "%")).String())
}

func TestUncertaintyParts(t *testing.T) {
	number, unit, isRelative := MustOf("22 mm ± 4.0 %", "mm").Uncertainty()
	assert.Equal(t, Decimal{40, -1}, number)
	assert.Equal(t, MustUnit("%"), unit)
	assert.True(t, isRelative)
	_, unit, isRelative = MustOf("22 mm", "mm").Uncertainty()
	assert.True(t, unit.IsZero())
	assert.False(t, isRelative)
	assert.Equal(t, Decimal{2200, -2}, MustOf("22.00 mm", "mm").Number())
	assert.Equal(t, MustUnit("mm"), MustOf("22.00 mm", "in").Unit())
}

// Equal lengths written in two units are equal: n·5 in/1000 is n·127 mm/1000.
func TestEqualLengthsInTwoUnits(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	floatsDiffer := 0
	for range 3000 {
		n := random.Int64N(1_000_000)
		exp := int32(-random.IntN(6))
		inches := New(Decimal{Coef: n * 5, Exp: exp}, MustUnit("in"))
		millimetres := New(Decimal{Coef: n * 127, Exp: exp}, MustUnit("mm"))
		if inches.Base() != millimetres.Base() {
			floatsDiffer++
		}
		assert.Zero(t, Compare(inches, millimetres), "%s and %s", inches, millimetres)
		// The lower edges of these lie at 0, and as floats often beside it.
		assert.Zero(t, CompareLower(inches.WithUncertainty(millimetres), New(Decimal{}, MustUnit("mm"))))
		more := New(Decimal{Coef: n*1270 + 1, Exp: exp - 1}, MustUnit("mm"))
		assert.Equal(t, -1, Compare(inches, more), "%s and %s", inches, more)
	}
	t.Logf("%d of 3000 pairs differ as floats", floatsDiffer)
}

// Written values are in a total order: antisymmetric and transitive, also
// where they crowd together.
func TestOrderIsTotal(t *testing.T) {
	for _, symbols := range [][]string{{"mm", "in", "ft", "m"}, {"°C", "°F", "K"}, {"kPa", "psf", "psi"}, {"mm²", "kcmil"}} {
		values := crowd(symbols)
		for _, a := range values {
			for _, b := range values {
				ab := Compare(a, b)
				require.Equal(t, -ab, Compare(b, a), "%s and %s", a, b)
				for _, c := range values {
					if bc := Compare(b, c); ab <= 0 && bc <= 0 {
						want := 0
						if ab < 0 || bc < 0 {
							want = -1
						}
						require.Equal(t, want, Compare(a, c), "%s, %s, %s", a, b, c)
					}
				}
			}
		}
	}
}

// crowd makes values in several units around the same few points, apart by
// nothing, by less than floats can tell, and by more.
func crowd(symbols []string) []Quantity {
	var values []Quantity
	for _, symbol := range symbols {
		u := MustUnit(symbol)
		if symbol == "K" {
			u = Temperature.BaseUnit()
		}
		for _, centre := range []string{"0", "1", "304.8"} {
			base := MustOf(centre+" "+symbols[0], symbols[0])
			rounded, err := ParseDecimal(strconv.FormatFloat(base.In(u), 'f', 9, 64))
			if err != nil {
				panic(err)
			}
			for _, step := range []int64{-1000, -1, 0, 1} {
				values = append(values, New(Decimal{Coef: rounded.Coef + step, Exp: rounded.Exp}, u))
			}
		}
	}
	return values
}
