package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// FuzzParse: no panic; what is read is finite; what it prints reads back as
// the same value with the same band; errors are complete and offer no nonsense.
func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"22 mm ± 1 mm", "22 ± 1 mm", "± 4 %", "41 °C ± 2 °C", "7/8 in", "1 1/2 in", "3 ft 6 1/2 in", "3'6\"",
		"1/0 AWG", "AWG 6", "#6 AWG", "250 MCM", "5,8 N·m", "1,100 mm", "1.100,5 mm", "1 100 mm", "1'100 mm",
		"0.5 1/h", "1e3 mm", "1e-30 mm", "NaN", "-.inf", "5 nm", "7 KWH", "5 C", "22 mm -", "2-3 mm", "\xff", "",
		"22\u00a0mm\u202f±\u20091\u00a0mm", "\u22126 °C", "35 ± 3 %", "1.25 ± 0.05", "25 lb", "0.3 g", "300 K",
		"999999999999999999 ft 11 63/64 in", "000000 AWG", "9/0 AWG", "1 1/h", "60 dB(A)", "12 months", "0ratio",
	} {
		for _, want := range []uint8{0, uint8(MustUnit("mm").id), uint8(MustUnit("°C").id), uint8(MustUnit("K").id), uint8(MustUnit("mm²").id)} {
			f.Add(text, want, false)
			f.Add(text, want, true)
		}
	}
	for _, u := range Units() {
		for _, spelling := range u.Spellings() {
			f.Add("12.5 "+spelling+" ± 3 %", u.id, false)
		}
	}
	f.Fuzz(func(t *testing.T, text string, id uint8, comma bool) {
		want := Unit{id % uint8(len(table.rows))}
		q, err := Parse(text, want, Options{DecimalComma: comma})
		if err != nil {
			var problem *Error
			require.ErrorAs(t, err, &problem)
			require.True(t, problem.Problem > 0 && problem.Problem < problemEnd && problem.Detail != "" && q.IsZero())
			return
		}
		require.False(t, q.IsZero())
		require.False(t, math.IsNaN(q.Base()) || math.IsInf(q.Base(), 0), text)
		require.False(t, math.IsNaN(q.BaseUncertainty()) || math.IsInf(q.BaseUncertainty(), 0), text)
		require.GreaterOrEqual(t, q.BaseUncertainty(), 0.0)
		if !want.IsZero() {
			require.Equal(t, want.Kind(), q.Kind())
		}
		readsBack(t, q, want)
		for _, u := range []Unit{want, q.Unit(), q.Kind().BaseUnit()} {
			_, outside := Margin(q, q, u, false)
			assert.True(t, u.Kind() != q.Kind() || outside.Coef > 0)
			assert.NotEmpty(t, q.FormatBand(u))
		}
	})
}

// readsBack sees to it that the printed form reads as the same quantity.
func readsBack(t *testing.T, q Quantity, want Unit) {
	t.Helper()
	if want.IsZero() || q.Unit().printedWithoutUnit() {
		want = q.Unit() // a bare number can stand only where its own unit is wanted
	}
	printed := q.String()
	again, err := Parse(printed, want, Options{})
	require.NoError(t, err, printed)
	require.Zero(t, Compare(q, again), printed)
	require.Equal(t, q, again, printed)
	require.Equal(t, printed, again.String())
}

func TestPrintedFormReadsBack(t *testing.T) {
	for _, u := range Units() {
		for _, number := range []Decimal{{6, 0}, {300, -2}, {12, 3}, {7, -25}} {
			q := New(number, u)
			if q.IsZero() {
				continue // no such wire size
			}
			readsBack(t, q, u)
			if u.Kind().FitsAsUncertainty(u) {
				readsBack(t, q.WithUncertainty(q), u)
			}
			if u.Kind().relativeBandMakesSense() && !u.OrderReversed() {
				readsBack(t, q.WithUncertainty(MustOf("4.0 %", "%")), u)
			}
		}
	}
}
