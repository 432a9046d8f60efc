package quantity

import (
	"encoding/csv"
	"math"
	"math/big"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// records reads a table of testdata/units without its heading.
func records(t testing.TB, name string) [][]string {
	t.Helper()
	file, err := os.Open("../../testdata/units/" + name)
	require.NoError(t, err)
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 10)
	return rows[1:]
}

// Every factor that NIST prints, to its printed digits; those it calls exact,
// exactly.
func TestFactorsAgainstNIST(t *testing.T) {
	for _, record := range records(t, "nist_sp811.csv") {
		symbol, printed, base, exact := record[0], record[1], record[2], record[3] == "yes"
		u := MustUnit(symbol)
		assert.Equal(t, base, u.Kind().BaseUnit().Symbol(), symbol)
		mantissa, _, _ := strings.Cut(printed, "e")
		digits := len(strings.Replace(mantissa, ".", "", 1))
		assert.Equal(t, printed, strconv.FormatFloat(u.row().factor, 'e', digits-1, 64), symbol)
		if exact {
			want, ok := new(big.Rat).SetString(printed)
			require.True(t, ok)
			assert.Zero(t, want.Cmp(u.row().exact), "%s is exactly %s", symbol, printed)
		}
	}
}

// NIST SP 811 (2008), appendix B.8: t/°C = (t/°F − 32)/1.8.
func TestFahrenheitFormula(t *testing.T) {
	for f := -60; f <= 250; f++ {
		q := New(Decimal{Coef: int64(f)}, MustUnit("°F"))
		assert.InDelta(t, (float64(f)-32)/1.8, q.In(MustUnit("°C")), 1e-9)
	}
	assert.Zero(t, Compare(MustOf("-40 °F", ""), MustOf("-40 °C", "")))
	assert.Zero(t, Compare(MustOf("104 °F", ""), MustOf("40 °C", "")))
	assert.Zero(t, Compare(MustOf("0 °C", ""), MustOf("273.15 K", "°C")))
}

// withoutGNU are the units GNU units has no factor for.
var withoutGNU = map[string]string{
	"AWG":   "a table of sizes, not a factor",
	"dB":    "the logarithm of a ratio",
	"month": "a calendar month, not a number of seconds",
	"year":  "twelve calendar months, not a number of seconds",
}

func TestFactorsAgainstGNU(t *testing.T) {
	seen := map[Unit]bool{}
	for _, record := range records(t, "gnu_units.csv") {
		want, err := strconv.ParseFloat(record[3], 64)
		require.NoError(t, err)
		u, number := ourSide(t, record)
		seen[u] = true
		assert.InEpsilon(t, want, New(number, u).Base(), 1e-9, record[0])
	}
	for _, u := range Units() {
		reason, excepted := withoutGNU[u.Symbol()]
		assert.NotEqual(t, excepted, seen[u], "%s (%s): has either a row or a reason (%s)", u, u.Kind(), reason)
	}
}

// TestGNUTableIsWhatTheProgramSays asks the program again, where it is installed.
func TestGNUTableIsWhatTheProgramSays(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		t.Skip("GNU units is not installed")
	}
	rows := records(t, "gnu_units.csv")
	var input strings.Builder
	for _, record := range rows {
		input.WriteString(record[1] + "\n" + record[2] + "\n")
	}
	command := exec.Command(program, "-t", "-s", "-o", "%.17g")
	command.Env = append(os.Environ(), "LC_ALL=C")
	command.Stdin = strings.NewReader(input.String())
	output, err := command.Output()
	require.NoError(t, err)
	answers := strings.Fields(string(output))
	require.Len(t, answers, len(rows))
	for i, record := range rows {
		answer, err := strconv.ParseFloat(answers[i], 64)
		require.NoError(t, err, record[1])
		u, number := ourSide(t, record)
		assert.InEpsilon(t, answer, New(number, u).Base(), 1e-9, record[0])
	}
}

var temperatureCall = regexp.MustCompile(`^temp[CF]\((.*)\)$`)

// ourSide gives what a row is about: one unit, or a temperature.
func ourSide(t testing.TB, record []string) (Unit, Decimal) {
	t.Helper()
	if record[1] == "300 kelvin" {
		return Temperature.BaseUnit(), Decimal{Coef: 300}
	}
	u, ok := UnitOf(record[0])
	require.True(t, ok, record[0])
	if call := temperatureCall.FindStringSubmatch(record[1]); call != nil {
		number, err := ParseDecimal(call[1])
		require.NoError(t, err)
		return u, number
	}
	return u, Decimal{Coef: 1}
}

// Every float factor is the one nearest to the exact factor.
func TestFloatFactorsAreNearestToExact(t *testing.T) {
	for _, u := range Units() {
		r := u.row()
		want, _ := r.exact.Float64()
		assert.Equal(t, want, r.factor, u)
		assert.InEpsilon(t, want, r.toBase(1), 1e-15, u)
		assert.InEpsilon(t, 1, r.fromBase(r.toBase(1)), 1e-15, u)
	}
	third, err := exactFactor("1/3")
	require.NoError(t, err)
	assert.Equal(t, big.NewRat(1, 3), third)
	for _, bad := range []string{"", "1*", "0", "-1", "foot"} {
		_, err := exactFactor(bad)
		assert.Error(t, err, bad)
	}
	pi, err := exactFactor("pi")
	require.NoError(t, err)
	near, _ := pi.Float64()
	assert.Equal(t, math.Pi, near)
}
