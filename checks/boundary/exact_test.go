package boundary

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// Every unit the engine reads has a factor here, and the two tables agree.
func TestTableOfUnitsIsWholeAndAgrees(t *testing.T) {
	for _, u := range quantity.Units() {
		s, err := scaleOf(u)
		require.NoError(t, err, "unit %s", u)
		if u.OrderReversed() {
			continue
		}
		for _, n := range []string{"1", "37.5"} {
			number, err := quantity.ParseDecimal(n)
			require.NoError(t, err)
			want := quantity.New(number, u).Base()
			have, _ := s.base(rat(n)).Float64()
			assert.InEpsilon(t, want, have, 1e-14, "%s %s", n, u)
			back, _ := s.number(s.base(rat(n))).Float64()
			assert.InDelta(t, number.Float64(), back, 0, "%s %s and back", n, u)
		}
	}
}

func texts(ws []written) []string {
	var out []string
	for _, w := range ws {
		out = append(out, w.side.String()+" "+w.text)
	}
	return out
}

func TestValuesAroundABound(t *testing.T) {
	for _, tt := range []struct {
		name, bound, of, in string
		want                []string
	}{
		{"same unit", "12", "mm", "mm", []string{"below 11.99999 mm", "at 12 mm", "above 12.00001 mm"}},
		{"smaller unit", "20", "kWh", "Wh", []string{"below 19999.99 Wh", "at 20000 Wh", "above 20000.01 Wh"}},
		{"exact in the other system", "3", "ft", "mm", []string{"below 914.3999 mm", "at 914.4 mm", "above 914.4001 mm"}},
		{"no decimal in the other system", "914", "mm", "ft", []string{"below 2.998687 ft", "above 2.998688 ft"}},
		{"a step never nearer than a tenth", "0.30480001", "m", "ft", []string{"below 0.999999 ft", "above 1.000001 ft"}},
		{"temperature with an offset", "50", "°C", "°F", []string{"below 121.9999 °F", "at 122 °F", "above 122.0001 °F"}},
		{"zero has neighbours", "0", "mm", "in", []string{"below -0.000001 in", "at 0 in", "above 0.000001 in"}},
		{"below zero", "-10", "°C", "°C", []string{"below -10.00001 °C", "at -10 °C", "above -9.99999 °C"}},
		{"sizes beside an area", "10", "mm²", "AWG", []string{"below 8 AWG", "above 6 AWG"}},
		{"a size that is the area", "83.69", "kcmil", "AWG", []string{"at 1 AWG", "below 2 AWG", "above 1/0 AWG"}},
		{"thickest size", "250", "kcmil", "AWG", []string{"below 4/0 AWG"}},
		{"no finite decimal of a circle", "10", "mm²", "kcmil", []string{"below 19.73525 kcmil", "above 19.73526 kcmil"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, err := scaleOf(quantity.MustUnit(tt.of))
			require.NoError(t, err)
			have, err := around(s.base(rat(tt.bound)), quantity.MustUnit(tt.in))
			require.NoError(t, err)
			assert.Equal(t, tt.want, texts(have))
		})
	}
}

func TestCountsAroundABound(t *testing.T) {
	u := quantity.Count.BaseUnit()
	for bound, want := range map[string][]string{
		"3": {"below 2", "at 3", "above 4"}, "0": {"at 0", "above 1"}, "2.5": {"below 1", "below 2", "above 3"},
	} {
		have, err := around(rat(bound), u)
		require.NoError(t, err)
		assert.Equal(t, want, texts(have), bound)
	}
}

func number1(op limit.Op, n string) limit.Constraint {
	return limit.Constraint{Op: op, Operand: &limit.Operand{Number: n}}
}

func TestExpectation(t *testing.T) {
	band := limit.Constraint{Op: limit.All, Args: []limit.Constraint{number1(limit.AtLeast, "12"), number1(limit.Less, "19")}}
	either := limit.Constraint{Op: limit.Any, Args: []limit.Constraint{number1(limit.AtMost, "5"), number1(limit.Greater, "10")}}
	for _, tt := range []struct {
		name string
		c    limit.Constraint
		at   map[string]bool
	}{
		{"<", number1(limit.Less, "5"), map[string]bool{"4.9": true, "5": false, "5.1": false}},
		{"<=", number1(limit.AtMost, "5"), map[string]bool{"4.9": true, "5": true, "5.1": false}},
		{">", number1(limit.Greater, "5"), map[string]bool{"4.9": false, "5": false, "5.1": true}},
		{">=", number1(limit.AtLeast, "5"), map[string]bool{"4.9": false, "5": true, "5.1": true}},
		{"=", number1(limit.Equals, "5"), map[string]bool{"4.9": false, "5": true, "5.1": false}},
		{"!=", number1(limit.Differs, "5"), map[string]bool{"4.9": true, "5": false, "5.1": true}},
		{"band", band, map[string]bool{"11": false, "12": true, "18": true, "19": false}},
		{"either", either, map[string]bool{"5": true, "6": false, "10": false, "11": true}},
	} {
		r, err := numbers(tt.c, quantity.MustUnit("mm"), nil)
		require.NoError(t, err)
		for n, want := range tt.at {
			mm, err := scaleOf(quantity.MustUnit("mm"))
			require.NoError(t, err)
			assert.Equal(t, want, r.accepts(mm.base(rat(n))), "%s %s", n, tt.name)
		}
	}
}
