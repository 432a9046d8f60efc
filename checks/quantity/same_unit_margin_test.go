package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The short way gives what the long way gives.
func TestSameUnitMargin(t *testing.T) {
	numbers := []string{"0", "1", "-1", "22", "22.0", "22.05", "1e3", "1.5e2", "0.001", "999999999999999", "-40.5"}
	quick := 0
	for _, symbol := range []string{"mm", "°C", "°F", "%", "N·m"} {
		u := MustUnit(symbol)
		for _, a := range numbers {
			for _, b := range numbers {
				x, err := ParseDecimal(a)
				require.NoError(t, err)
				y, err := ParseDecimal(b)
				require.NoError(t, err)
				value, bound := New(x, u), New(y, u)
				for _, within := range []bool{true, false} {
					unit := u.differenceUnit()
					want := exactMargin(value, bound, unit.row().exact, max(value.placesIn(unit), bound.placesIn(unit)), within)
					got, ok := sameUnitMargin(value.number, bound.number, within)
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
