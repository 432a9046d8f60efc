package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The gauge's definition: 36 AWG is 5 mil across, 4/0 is 460 mil, with 39 even
// ratios between. The printed table follows it to a part in a hundred, which
// finds a slip in a typed-in area.
func TestWireTableFollowsGaugeFormula(t *testing.T) {
	for _, size := range wireSizes {
		mils := 5 * math.Pow(92, float64(36-size.number)/39)
		assert.InEpsilon(t, mils*mils, float64(size.cmil), 0.01, size.name)
	}
}

// The mm² column of NEC 2023, chapter 9, table 8 (from a public reprint), which
// the Code rounds by itself.
func TestWireAreasInSquareMillimetres(t *testing.T) {
	for text, want := range map[string]float64{
		"14 AWG": 2.08, "12 AWG": 3.31, "10 AWG": 5.261, "8 AWG": 8.367, "6 AWG": 13.30,
		"4 AWG": 21.15, "3 AWG": 26.67, "2 AWG": 33.62, "1 AWG": 42.41, "1/0 AWG": 53.49,
		"2/0 AWG": 67.43, "3/0 AWG": 85.01, "4/0 AWG": 107.2,
		"250 kcmil": 127, "350 kcmil": 177, "500 kcmil": 253,
	} {
		assert.InEpsilon(t, want, MustOf(text, "mm²").In(MustUnit("mm²")), 0.006, text)
	}
}

func TestWireSizes(t *testing.T) {
	for text, printed := range map[string]string{
		"6 AWG": "6 AWG", "AWG 6": "6 AWG", "#6 AWG": "6 AWG", "AWG #6": "6 AWG", "6AWG": "6 AWG",
		"1/0 AWG": "1/0 AWG", "AWG 4/0": "4/0 AWG", "0 AWG": "1/0 AWG", "0000 AWG": "4/0 AWG",
		"18 AWG": "18 AWG", "3 AWG": "3 AWG",
	} {
		q, err := Of(text, "mm²")
		require.NoError(t, err, text)
		assert.Equal(t, printed, q.String(), text)
	}
	for text, offered := range map[string][]string{
		"5 AWG":    {"4 AWG", "6 AWG"},
		"7 AWG":    {"6 AWG", "8 AWG"},
		"20 AWG":   {"18 AWG"},
		"5/0 AWG":  {"4/0 AWG", "250 kcmil"},
		"6.5 AWG":  {"6 AWG", "8 AWG"},
		"-1 AWG":   nil,
		"-2/0 AWG": nil,
		"1/2 AWG":  nil,
		"0.0 AWG":  nil,
	} {
		_, err := Of(text, "mm²")
		problem := requireProblem(t, err, NoSuchSize, text)
		if offered != nil {
			assert.Equal(t, offered, problem.Suggestions, text)
		}
	}
	requireFails(t, "6 AWG ± 1 AWG", "mm²", BadUncertainty)
	requireFails(t, "6 AWG ± 4 %", "mm²", BadUncertainty)
	requireFails(t, "#6 mm²", "mm²", MalformedNumber)
	assert.True(t, New(Decimal{Coef: 5}, MustUnit("AWG")).IsZero())
}

func TestWireOrder(t *testing.T) {
	rising := []string{"18 AWG", "14 AWG", "2.5 mm²", "6 AWG", "16 mm²", "1 AWG", "1/0 AWG", "4/0 AWG", "120 mm²", "250 kcmil"}
	for i, a := range rising {
		for j, b := range rising {
			assert.Equal(t, sign(int64(i), int64(j)), Compare(MustOf(a, "mm²"), MustOf(b, "mm²")), "%s and %s", a, b)
		}
	}
	assert.Zero(t, Compare(MustOf("6 AWG", ""), MustOf("26.24 kcmil", "")))
	assert.Zero(t, Compare(MustOf("6 AWG", ""), MustOf("26240 cmil", "")))
	assert.Equal(t, float64(6), MustOf("26.24 kcmil", "").In(MustUnit("AWG")))
	assert.True(t, math.IsNaN(MustOf("16 mm²", "").In(MustUnit("AWG"))))
	assert.Equal(t, "16 mm²", MustOf("16 mm²", "").Format(MustUnit("AWG")))
	assert.Equal(t, "4/0 AWG", MustOf("211.6 kcmil", "").Format(MustUnit("AWG")))
}

func TestOnlyAWGIsReversed(t *testing.T) {
	for _, u := range Units() {
		assert.Equal(t, u.Symbol() == "AWG", u.OrderReversed(), u)
	}
	assert.False(t, Unit{}.OrderReversed())
}
