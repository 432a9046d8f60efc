package stack

import (
	"errors"
	"math"
	"math/rand"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
)

// all is every calculation of the room.
func all() []quantity.Function {
	return []quantity.Function{
		LowestVoltage(), NominalVoltage(), HighestVoltage(), MostModules(), FewestModules(),
		NameplateEnergy(), UsableEnergy(), EnergyAtEndOfLife(), ThroughInverter(), BackupTime(),
		HotDerating(), ColdDerating(), DischargeCurrent(), ChargeCurrent(), RatedCurrent(), InputCurrent(), ChargeRate(),
		CableDifference(), VoltageDifference(), Resistance(), EqualisingCurrent(), FaultCurrent(), FaultAtEnd(), FaultAtDevice(), JoinedCurrent(), JoinedVoltage(),
	}
}

// of is a value in the base unit of a kind.
func of(kind quantity.Kind, base float64) quantity.Argument {
	q, err := quantity.Calculated(base, kind.BaseUnit())
	if err != nil {
		panic(err)
	}
	return quantity.Argument{Known: true, Quantity: q}
}

func count(n int) quantity.Argument { return known(strconv.Itoa(n), "count") }

// value calculates and gives the result in the base unit.
func value(t *testing.T, f quantity.Function, in ...quantity.Argument) quantity.Quantity {
	t.Helper()
	q, err := f.Of(in, nil)
	require.NoError(t, err, f.Name)
	return q
}

// Absurd inputs give a finite result or an error in words, never a crash; and the
// steps are the same calculation whether somebody reads them or not.
func TestAbsurdInputs(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	numbers := []float64{0, math.SmallestNonzeroFloat64, 1e-300, 1e-9, 0.5, 1, 3, 1e9, 1e300, math.MaxFloat64}
	words := []string{ModulesInSeries, ConverterPerModule, ConverterPerStack, "", "other"}
	for _, f := range all() {
		for range 2000 {
			in := make([]quantity.Argument, len(f.Parameters))
			for i, p := range f.Parameters {
				switch {
				case p.Optional && random.Intn(3) == 0:
				case p.Kind == quantity.None:
					in[i] = word(words[random.Intn(len(words))])
				default:
					in[i] = of(p.Kind, numbers[random.Intn(len(numbers))])
				}
			}
			q, err := f.Of(in, nil)
			again, told := f.Of(in, &quantity.Steps{})
			assert.Equal(t, q, again, f.Name)
			assert.Equal(t, err, told, f.Name)
			var absent *quantity.Absent
			switch {
			case errors.As(err, &absent):
				assert.False(t, in[absent.Input].Known, "%s asks for what it was given", f.Name)
				assert.True(t, f.Parameters[absent.Input].Optional, f.Name)
			case err != nil:
				assert.NotEmpty(t, err.Error(), f.Name)
			default:
				assert.Equal(t, f.Result, q.Kind(), f.Name)
				assert.False(t, math.IsNaN(q.Base()) || math.IsInf(q.Base(), 0), f.Name)
				assert.False(t, math.IsNaN(q.BaseUncertainty()) || math.IsInf(q.BaseUncertainty(), 0), "%s: band of %v", f.Name, in)
			}
		}
	}
}

// More modules directly in series never make less voltage, at any of the three.
func TestMoreModulesNeverLessVoltage(t *testing.T) {
	for _, f := range []quantity.Function{LowestVoltage(), NominalVoltage(), HighestVoltage()} {
		last := -1.0
		for n := range 40 {
			u := value(t, f, word(ModulesInSeries), count(n), known("44.1 V", "V"), quantity.Argument{}).Base()
			assert.Greater(t, u, last, f.Name)
			last = u
		}
	}
}

// What can be used is never above what the nameplates say, and at the end of life
// never above what it was.
func TestUsableNeverAboveNameplate(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	share := func() quantity.Argument { return of(quantity.Ratio, 1-random.Float64()) }
	for range 500 {
		nameplate := of(quantity.Energy, random.Float64()*1e9)
		for _, in := range [][]quantity.Argument{{nameplate, share(), share(), {}}, {nameplate, share(), {}, share()}} {
			usable := value(t, UsableEnergy(), in...)
			assert.LessOrEqual(t, usable.Base(), nameplate.Quantity.Base())
			end := value(t, EnergyAtEndOfLife(), quantity.Argument{Known: true, Quantity: usable}, share())
			assert.LessOrEqual(t, end.Base(), usable.Base())
			assert.LessOrEqual(t, value(t, ThroughInverter(), quantity.Argument{Known: true, Quantity: usable}, share()).Base(), usable.Base())
		}
	}
}

// More stacks never make the fault current at the device of one smaller, and it is
// never below what the stack itself feeds.
func TestMoreStacksNeverLessFaultCurrent(t *testing.T) {
	own, last := of(quantity.Current, 3200), 0.0
	for m := 1; m < 10; m++ {
		i := value(t, FaultAtDevice(), own, of(quantity.Current, float64(m)*3200)).Base()
		assert.GreaterOrEqual(t, i, last)
		assert.InDelta(t, 3200*max(1, float64(m-1)), i, 1e-9, "its own, or that of all others")
		last = i
	}
}

// The number of modules that is allowed keeps to the window, and one more does not.
func TestModulesKeepToTheWindow(t *testing.T) {
	random := rand.New(rand.NewSource(3))
	for range 2000 {
		module, limit := of(quantity.Voltage, 1+random.Float64()*99), of(quantity.Voltage, 10+random.Float64()*990)
		in := []quantity.Argument{word(ModulesInSeries), module, limit, {}, {}}
		most, fewest := value(t, MostModules(), in...).Base(), value(t, FewestModules(), in...).Base()
		u, l := module.Quantity.Base(), limit.Quantity.Base()
		assert.LessOrEqual(t, most*u, l*(1+1e-8))
		assert.Greater(t, (most+1)*u, l)
		assert.GreaterOrEqual(t, fewest*u, l*(1-1e-8))
		assert.Less(t, (fewest-1)*u, l)
	}
}

// Hotter never lets more current flow.
func TestHotterNeverMore(t *testing.T) {
	last := 2.0
	for c := 0; c < 80; c++ {
		left := value(t, HotDerating(), known(strconv.Itoa(c)+" °C", "°C"), known("40 °C", "°C"), known("50 °C", "°C"), known("40 %", "%"), quantity.Argument{}, quantity.Argument{}).Base()
		assert.LessOrEqual(t, left, last, "%d °C", c)
		assert.True(t, c <= 50 || left == 0, "%d °C", c)
		last = left
	}
}
