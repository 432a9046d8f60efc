package quantity

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBeside(t *testing.T) {
	for _, c := range []struct {
		calculated  float64
		bound, unit string
		want        [3]string
	}{
		{43.7224, "40 A", "A", [3]string{"43.72 A", "40 A", "3.72 A"}},
		{5.70483 * 3600, "12 h", "h", [3]string{"5.705 h", "12 h", "6.295 h"}},
		{40.004, "40 A", "A", [3]string{"40.004 A", "40 A", "0.004 A"}},
		{39.9999996, "40 A", "A", [3]string{"39.9999996 A", "40 A", "0.0000004 A"}},
		{40.0006, "40.0004 A", "A", [3]string{"40.0006 A", "40.0004 A", "0.0002 A"}}, // 40 would lie below the bound
		{40 + 1e-12, "40 A", "A", [3]string{"40 A", "40 A", ""}},                     // the same to Compare
		{23456.7, "20000 W", "W", [3]string{"23457 W", "20000 W", "3457 W"}},         // whole numbers keep their digits
		{0.00123456, "1 A", "A", [3]string{"0.001235 A", "1 A", "0.998765 A"}},
		{313.15 + 0.04, "40 °C", "°C", [3]string{"40.04 °C", "40 °C", ""}},
		{20.001e-6, "4 AWG", "mm²", [3]string{"20 mm²", "21.15 mm²", "1.15 mm²"}},
	} {
		u := MustUnit(c.unit)
		value, err := Calculated(c.calculated, u)
		require.NoError(t, err)
		v, b, difference := Beside(value, MustOf(c.bound, c.unit), u)
		assert.Equal(t, c.want, [3]string{v, b, difference})
	}
	v, b, difference := Beside(MustOf("44.0 mm", ""), MustOf("40 mm", ""), MustUnit("mm"))
	assert.Equal(t, [3]string{"44.0 mm", "40 mm", ""}, [3]string{v, b, difference}, "nothing calculated")
	v, b, difference = Beside(MustOf("44.0 mm", ""), Quantity{}, MustUnit("mm"))
	assert.Equal(t, [3]string{"44.0 mm", "", ""}, [3]string{v, b, difference})
}

// What is written beside each other stands in the order that Compare finds.
func TestBesideNeverHidesADifference(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 7))
	u := MustUnit("A")
	for range 5000 {
		x := r.Float64() * 100
		value, err := Calculated(x, u)
		require.NoError(t, err)
		bound, err := Calculated(x*(1+(r.Float64()-0.5)*pow10(-r.IntN(9))), u)
		require.NoError(t, err)
		v, b, _ := Beside(value, bound, u)
		assert.Equal(t, Compare(value, bound), Compare(MustOf(v, ""), MustOf(b, "")), "%s beside %s", v, b)
	}
}

func pow10(n int) float64 {
	out := 1.0
	for range -n {
		out /= 10
	}
	return out
}
