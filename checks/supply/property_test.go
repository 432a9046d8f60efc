package supply

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
)

func amps(t testing.TB, x float64) quantity.Argument { return measured(t, x, "A") }

func measured(t testing.TB, base float64, unit string) quantity.Argument {
	t.Helper()
	q, err := quantity.Calculated(base, quantity.MustUnit(unit))
	require.NoError(t, err)
	return quantity.Argument{Known: true, Quantity: q}
}

// More current of the sources never lowers the rating a busbar needs, at any
// position, whether the sum of the devices is known or not; nor does a larger main.
func TestMoreSourceNeverNeedsLess(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	s := tables(t)
	needed := func(sources, main float64, devices quantity.Argument, atEnd bool) float64 {
		sum, err := of(t, BusbarSum(s), amps(t, sources), amps(t, main))
		require.NoError(t, err)
		if atEnd {
			sum, err = of(t, RatingFedFromBothEnds(s), quantity.Argument{Known: true, Quantity: sum})
			require.NoError(t, err)
		}
		q, err := of(t, NeededRating(s), quantity.Argument{Known: true, Quantity: sum}, devices, known("0 A", "A"))
		require.NoError(t, err)
		return q.Base()
	}
	for range 2000 {
		sources, main, more := r.Float64()*400, 1+r.Float64()*400, r.Float64()*200
		devices := unknown
		if r.IntN(2) == 0 {
			devices = amps(t, 1+r.Float64()*600)
		}
		for _, atEnd := range []bool{false, true} {
			before := needed(sources, main, devices, atEnd)
			assert.GreaterOrEqual(t, needed(sources+more, main, devices, atEnd), before)
			assert.GreaterOrEqual(t, needed(sources, main+more, devices, atEnd), before)
		}
		assert.LessOrEqual(t, needed(sources, main, devices, true), needed(sources, main, devices, false), "an end is never worse than anywhere")
	}
}

// A device that needs more current to trip never allows a larger loop, and a
// larger electrode resistance never lowers the touch voltage.
func TestLoopLaws(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 1000 {
		u, i, more := 1+r.Float64()*400, 0.01+r.Float64()*500, r.Float64()*100
		small, err := of(t, MostLoopImpedance(), measured(t, u, "V"), amps(t, i))
		require.NoError(t, err)
		large, err := of(t, MostLoopImpedance(), measured(t, u, "V"), amps(t, i+more))
		require.NoError(t, err)
		assert.LessOrEqual(t, large.Base(), small.Base())
		low, err := of(t, TouchVoltage(), measured(t, u, "Ω"), amps(t, i))
		require.NoError(t, err)
		high, err := of(t, TouchVoltage(), measured(t, u+more, "Ω"), amps(t, i))
		require.NoError(t, err)
		assert.GreaterOrEqual(t, high.Base(), low.Base())
	}
}

// Whatever goes in, what comes out is a number or a reason.
func FuzzNoAbsurdResult(f *testing.F) {
	for _, x := range []float64{0, -1, 1e-300, 1e300, math.MaxFloat64, math.SmallestNonzeroFloat64, 64, 230} {
		f.Add(x, 200.0)
		f.Add(200.0, x)
		f.Add(x, x)
	}
	s := tables(f)
	functions := []quantity.Function{OutputCurrent(), GenerationCurrent(), BusbarCurrent(), ChargingCurrent(), BusbarSum(s), RatingFedFromBothEnds(s), NeededRating(s),
		DemandWithStorage(), PhaseImbalance(), TripCurrent(s), MostLoopImpedance(), TouchVoltage(), IslandPower(), IslandEnergy(), ExportPower(), GenerationExport(),
		ExistingCurrent(), SourcesTogether(), ChargingTogether(), EvenCurrent(), ServiceRating()}
	words := []string{quantity.Yes, quantity.No, circuitBreaker, residualDevice, fuse, "B", "gG", ""}
	units := map[quantity.Kind]string{quantity.Current: "A", quantity.Voltage: "V", quantity.Resistance: "Ω", quantity.Power: "W", quantity.Energy: "Wh", quantity.Count: "count"}
	f.Fuzz(func(t *testing.T, a, b float64) {
		for _, fn := range functions {
			for _, w := range words {
				in := make([]quantity.Argument, len(fn.Parameters))
				for i, p := range fn.Parameters {
					x := a
					if i%2 == 1 {
						x = b
					}
					if p.Kind == quantity.None {
						in[i] = word(w)
					} else if q, err := quantity.Calculated(x, quantity.MustUnit(units[p.Kind])); err == nil {
						in[i] = quantity.Argument{Known: true, Quantity: q}
					} else if !p.Optional {
						return // no such quantity can be written
					}
				}
				q, err := fn.Of(in, nil)
				if err == nil {
					assert.False(t, math.IsNaN(q.Base()) || math.IsInf(q.Base(), 0), fn.Name)
					assert.GreaterOrEqual(t, q.Base(), 0.0, fn.Name)
				}
			}
		}
	})
}
