package quantity

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseDecimal(t *testing.T) {
	for text, want := range map[string]struct {
		number  Decimal
		printed string
		places  int
	}{
		"0":                   {Decimal{0, 0}, "0", 0},
		"3.00":                {Decimal{300, -2}, "3.00", 2},
		"-0.5":                {Decimal{-5, -1}, "-0.5", 1},
		"\u22120.5":           {Decimal{-5, -1}, "-0.5", 1},
		"+7":                  {Decimal{7, 0}, "7", 0},
		".5":                  {Decimal{5, -1}, "0.5", 1},
		"0.005":               {Decimal{5, -3}, "0.005", 3},
		"1e3":                 {Decimal{1, 3}, "1e3", 0},
		"1.5E-3":              {Decimal{15, -4}, "0.0015", 4},
		"1e+30":               {Decimal{1, 30}, "1e30", 0},
		"1e-30":               {Decimal{1, -30}, "1e-30", 30},
		"999999999999999999":  {Decimal{999999999999999999, 0}, "999999999999999999", 0},
		"0.00000000000000001": {Decimal{1, -17}, "0.00000000000000001", 17},
	} {
		number, err := ParseDecimal(text)
		require.NoError(t, err, text)
		assert.Equal(t, want.number, number, text)
		assert.Equal(t, want.printed, number.String(), text)
		assert.Equal(t, want.places, number.Places(), text)
	}
}

func TestParseDecimalRefuses(t *testing.T) {
	for text, want := range map[string]Problem{
		"": Empty, "  ": Empty, "x": MalformedNumber, "-": MalformedNumber, "5.": MalformedNumber,
		".": MalformedNumber, "1 2": MalformedNumber, " 1": MalformedNumber, "1/2": MalformedNumber,
		"1.2.3": MalformedNumber, "NaN": NotFinite, "-inf": NotFinite, ".inf": NotFinite, "\u221e": NotFinite,
		"1e31": AbsurdExponent, "1e-31": AbsurdExponent, "1e99999999999999999999": AbsurdExponent,
		"1.5e-30": AbsurdExponent, "1234567890123456789": TooManyDigits, "1,5": DecimalComma,
		"1\x00": ControlCharacter, "\u202e1": ControlCharacter, "1\xff": ControlCharacter,
	} {
		_, err := ParseDecimal(text)
		requireProblem(t, err, want, text)
	}
}

func TestDecimalArithmetic(t *testing.T) {
	assert.Equal(t, big.NewRat(3, 2), Decimal{150, -2}.Rat())
	assert.Equal(t, big.NewRat(1500, 1), Decimal{15, 2}.Rat())
	assert.Equal(t, 1.5, Decimal{150, -2}.Float64())
	assert.Equal(t, 0.1, Decimal{1, -1}.Float64())
	assert.Equal(t, 1500.0, Decimal{15, 2}.Float64())
	for _, c := range []struct {
		a, b Decimal
		want int
	}{
		{Decimal{16, -1}, Decimal{160, -2}, 0},
		{Decimal{1, 30}, Decimal{999999999999999999, 12}, 1},
		{Decimal{-1, 30}, Decimal{999999999999999999, 12}, -1},
		{Decimal{0, 30}, Decimal{0, -30}, 0},
		{Decimal{1, -30}, Decimal{0, 30}, 1},
		{Decimal{2, 0}, Decimal{19, -1}, 1},
	} {
		assert.Equal(t, c.want, c.a.Cmp(c.b), "%s and %s", c.a, c.b)
		assert.Equal(t, -c.want, c.b.Cmp(c.a), "%s and %s", c.b, c.a)
	}
}
