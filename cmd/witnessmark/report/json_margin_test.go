package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
)

// The short way gives what the long way gives.
func TestQuickMargin(t *testing.T) {
	numbers := []string{"0", "1", "-1", "22", "22.0", "22.05", "1e3", "1.5e2", "0.001", "999999999999999", "-40.5"}
	quick := 0
	for _, symbol := range []string{"mm", "°C", "°F", "%", "N·m"} {
		u := quantity.MustUnit(symbol)
		for _, a := range numbers {
			for _, b := range numbers {
				x, err := quantity.ParseDecimal(a)
				require.NoError(t, err)
				y, err := quantity.ParseDecimal(b)
				require.NoError(t, err)
				value, bound := quantity.New(x, u), quantity.New(y, u)
				for _, within := range []bool{true, false} {
					_, want := quantity.Margin(value, bound, u, within)
					got, ok := quickMargin(value, bound, u, within)
					if !ok {
						continue
					}
					quick++
					assert.Equal(t, want, got, "%s %s against %s, within %v", a, symbol, b, within)
				}
			}
		}
	}
	assert.Greater(t, quick, 500)
}

func TestQuickMarginDeclines(t *testing.T) {
	mm, inch := quantity.MustUnit("mm"), quantity.MustUnit("in")
	calculated, err := quantity.Calculated(0.02, mm)
	require.NoError(t, err)
	huge, err := quantity.ParseDecimal("999999999999999999")
	require.NoError(t, err)
	plain := quantity.New(quantity.Decimal{Coef: 5}, mm)
	for name, pair := range map[string][2]quantity.Quantity{
		"another unit": {quantity.New(quantity.Decimal{Coef: 1}, inch), plain},
		"calculated":   {calculated, plain},
		"too large":    {quantity.New(huge, mm), plain},
	} {
		_, ok := quickMargin(pair[0], pair[1], mm, true)
		assert.False(t, ok, name)
	}
}
