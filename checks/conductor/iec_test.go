package conductor

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
	"witnessmark.example/schema"
)

// shippedTables reads the tables that ship.
func shippedTables(t testing.TB) *table.Set {
	t.Helper()
	all, _, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	set, err := table.NewSet(all.Tables)
	require.NoError(t, err)
	return set
}

// given makes the arguments of a function by the names of its parameters; a text
// that is no quantity of the parameter is a word.
func given(t testing.TB, f quantity.Function, values map[string]string) []quantity.Argument {
	t.Helper()
	out, used := make([]quantity.Argument, len(f.Parameters)), 0
	for i, p := range f.Parameters {
		text, ok := values[p.Name]
		if !ok {
			continue
		}
		used++
		if p.Kind == quantity.None {
			out[i] = quantity.Argument{Known: true, Word: text}
			continue
		}
		q, err := quantity.Parse(text, p.Kind.BaseUnit(), quantity.Options{})
		require.NoError(t, err, p.Name)
		out[i] = quantity.Argument{Known: true, Quantity: q}
	}
	require.Equal(t, len(values), used, "a name is no parameter of %s", f.Name)
	return out
}

// with gives the values with some of them changed.
func with(values map[string]string, more ...string) map[string]string {
	out := map[string]string{}
	for k, v := range values {
		out[k] = v
	}
	for i := 0; i < len(more); i += 2 {
		if more[i+1] == "" {
			delete(out, more[i])
		} else {
			out[more[i]] = more[i+1]
		}
	}
	return out
}

func result(t testing.TB, f quantity.Function, values map[string]string) float64 {
	t.Helper()
	q, err := f.Of(given(t, f, values), nil)
	require.NoError(t, err, "%v", values)
	return q.In(map[string]quantity.Unit{
		"conductor.Resistance": quantity.MustUnit("Ω/km"), "conductor.LoopResistance": quantity.MustUnit("mΩ"), "conductor.Drop": quantity.MustUnit("V"),
		"conductor.DropShare": quantity.MustUnit("%"), "conductor.DropPower": quantity.MustUnit("W"), "conductor.CapacityIEC": quantity.MustUnit("A"),
		"conductor.FaultSize": quantity.MustUnit("mm²"), "conductor.ProtectiveAdiabatic": quantity.MustUnit("mm²"), "conductor.ProtectiveTable": quantity.MustUnit("mm²"),
	}[f.Name])
}

var (
	aRun = map[string]string{"what it carries": "ac", "phases of the run": "three-phase", "current": "100 A", "length": "50 m", "resistance": "0.5 Ω/km", "size": "35 mm²"}
	aUse = map[string]string{"what it carries": "dc", "size": "16 mm²", "material": "copper", "installation method": "C", "kind of insulation": "XLPE", "insulation temperature": "90 °C",
		"terminal temperature": "90 °C", "terminals recorded": "2 count", "ambient temperature": "30 °C", "circuits grouped": "1 count"}
	aShort = map[string]string{"material": "copper", "size": "16 mm²", "kind of insulation": "PVC", "insulation temperature": "70 °C", "fault current": "3 kA", "clearing time": "0.4 s"}
)

// Multiplied out by hand from the figures of the tables, beside the published
// examples of testdata/measures.
func TestByHand(t *testing.T) {
	s := shippedTables(t)
	wire := map[string]string{"size": "16 mm²", "material": "copper", "stranding": "stranded", "insulation temperature": "70 °C"}
	for _, c := range []struct {
		f      quantity.Function
		values map[string]string
		want   float64
		why    string
	}{
		{Resistance(s), with(wire, "stranding", "solid"), 1.21 * 304.5 / 254.5, "class 1 has no row: the larger of 2 and 5"},
		{Resistance(s), with(wire, "size", "50 mm²", "stranding", ""), 0.387 * 304.5 / 254.5, "class 2 is the larger one there"},
		{Resistance(s), with(wire, "material", "aluminium"), 1.91 * 298 / 248, "aluminium, 228 °C"},
		{Resistance(s), with(wire, "size", "4/0 AWG", "stranding", ""), 0.0608 / 0.3048 * (1 - 0.00323*5), "AWG below 75 °C"},
		{LoopResistance(), map[string]string{"what it carries": "dc", "length": "20 m", "resistance": "1.3 Ω/km", "conductors in parallel": "2 count"}, 26, "two side by side"},
		{Drop(s), with(aRun, "power factor", "0.8 ratio"), math.Sqrt(3) * 2.5, "without a reactance the power factor lowers nothing"},
		{Drop(s), with(aRun, "phases of the run", "split-phase"), 5, "between the two lines"},
		{Drop(s), with(aRun, "reactance", "0.3 Ω/km", "power factor", "0.8 ratio"), math.Sqrt(3) * 5 * (0.5*0.8 + 0.3*0.6), "both parts"},
		{Drop(s), with(aRun, "reactance", "0.3 Ω/km"), math.Sqrt(3) * 5 * math.Sqrt(0.34), "the whole impedance"},
		{Drop(s), with(aRun, "phases of the run", "", "phases of the inverter", "single-phase", "phases of the supply", "three-phase"), 5, "the inverter before the supply"},
		{DropPower(), with(aRun, "size", ""), 3 * 50 * 1e4 * 0.5e-3, "three lines"},
		{DropShare(), map[string]string{"what it carries": "dc", "drop": "2 V", "voltage of the run": "100 V", "lowest voltage of the stack": "80 V"}, 2.5, "the lower voltage"},
		{DropShare(), map[string]string{"what it carries": "dc", "drop": "2 V", "voltage of the run": "50 V", "lowest voltage of the stack": "80 V"}, 4, "the lower voltage"},
		{DropShare(), map[string]string{"what it carries": "ac", "phases of the run": "single-phase", "phases of the supply": "split-phase", "drop": "2.4 V", "voltage of the supply": "240 V"}, 2, "half"},
		{DropShare(), map[string]string{"what it carries": "ac", "phases of the run": "single-phase", "phases of the supply": "split-phase", "drop": "2.4 V", "voltage of the supply": "240 V", "voltage of the run": "240 V"}, 1, "what is recorded of the run"},
		{CapacityIEC(s), aUse, 107, "90 °C column"},
		{CapacityIEC(s), with(aUse, "terminals recorded", "1 count"), 85, "one end is not both"},
		{CapacityIEC(s), with(aUse, "terminal temperature", "75 °C"), 85, "terminals for 75 °C"},
		{CapacityIEC(s), with(aUse, "insulation temperature", ""), 107, "the kind is enough"},
		{CapacityIEC(s), with(aUse, "kind of insulation", ""), 107, "the temperature is enough"},
		{CapacityIEC(s), with(aUse, "kind of insulation", "EPR"), 107, "EPR has the figures of XLPE"},
		{CapacityIEC(s), with(aUse, "what it carries", "ac", "phases of the supply", "three-phase"), 96, "phases of the run not known: three loaded"},
		{CapacityIEC(s), with(aUse, "what it carries", "ac", "phases of the run", "split-phase"), 96, "split-phase as three loaded"},
		{CapacityIEC(s), with(aUse, "circuits grouped", "10 count"), 107 * 0.45, "between 9 and 12 the larger"},
		{CapacityIEC(s), with(aUse, "circuits grouped", "3 count", "how they lie", "single layer on a surface"), 107 * 0.79, "a single layer"},
		{CapacityIEC(s), with(aUse, "circuits grouped", "3 count", "how they lie", "single layer on a surface", "installation method", "B1"), 100 * 0.7, "in conduit they are bunched"},
		{CapacityIEC(s), with(aUse, "conductors in parallel", "2 count"), 2 * 107 * 0.8, "each set is a circuit"},
		{CapacityIEC(s), with(aUse, "ambient temperature", "31 °C"), 107 * 0.96, "between two rows the warmer"},
		{CapacityIEC(s), with(aUse, "ambient temperature", "34 °C ± 2 K"), 107 * 0.91, "the hot end of the band"},
		{CapacityIEC(s), with(aUse, "ambient temperature", "2 °C"), 107 * 1.15, "below the first row the first"},
		{FaultSize(s), with(aShort, "kind of insulation", "EPR", "insulation temperature", "90 °C"), 3000 * math.Sqrt(0.4) / 143, "EPR has the k of XLPE"},
		{FaultSize(s), with(aShort, "insulation temperature", "90 °C"), 3000 * math.Sqrt(0.4) / 100, "PVC of 90 °C"},
		{FaultSize(s), with(aShort, "size", "400 mm²"), 3000 * math.Sqrt(0.4) / 103, "k above 300 mm²"},
		{FaultSize(s), with(aShort, "clearing time", "99 ms", "let-through energy", "42000 A²·s"), math.Sqrt(42000) / 115, "the energy let through"},
		{ProtectiveAdiabatic(s), with(aShort, "core of the same cable", "false", "how it lies", "bunched"), 3000 * math.Sqrt(0.4) / 115, "bunched is as a core"},
		{ProtectiveAdiabatic(s), with(aShort, "core of the same cable", "true", "how it lies", "apart"), 3000 * math.Sqrt(0.4) / 115, "a core of the cable cannot lie apart"},
		{ProtectiveAdiabatic(s), with(aShort, "core of the same cable", "false", "how it lies", "apart", "kind of insulation", "XLPE", "insulation temperature", "90 °C"), 3000 * math.Sqrt(0.4) / 176, "XLPE apart"},
		{ProtectiveTable(s), map[string]string{"size of the line conductor": "16 mm²", "material of the line conductor": "copper", "material": "copper", "line conductors in parallel": "2 count"}, 16, "two of 16 count as 32"},
	} {
		assert.InDelta(t, c.want, result(t, c.f, c.values), 1e-9*math.Abs(c.want), "%s: %s", c.f.Name, c.why)
	}
}

// What is needed after all and not known is named; nothing is assumed.
func TestNeeds(t *testing.T) {
	s := shippedTables(t)
	for _, c := range []struct {
		f      quantity.Function
		values map[string]string
		want   string
	}{
		{Drop(s), with(aRun, "size", "70 mm²"), "reactance"},
		{Drop(s), with(aRun, "size", "2/0 AWG"), "reactance"},
		{Drop(s), with(aRun, "phases of the run", ""), "phases of the run"},
		{Drop(s), with(aRun, "phases of the run", "", "phases of the supply", "three-phase"), "phases of the run"},
		{CapacityIEC(s), with(aUse, "what it carries", "ac"), "phases of the run"},
		{CapacityIEC(s), with(aUse, "kind of insulation", "", "insulation temperature", ""), "insulation temperature"},
		{DropShare(), map[string]string{"what it carries": "dc", "drop": "2 V"}, "lowest voltage of the stack"},
		{DropShare(), map[string]string{"what it carries": "ac", "phases of the run": "three-phase", "drop": "2 V"}, "voltage of the supply"},
		{DropShare(), map[string]string{"what it carries": "ac", "phases of the run": "three-phase", "phases of the supply": "single-phase", "drop": "2 V", "voltage of the supply": "230 V"}, "voltage of the run"},
		{FaultSize(s), with(aShort, "clearing time", ""), "clearing time"},
		{FaultSize(s), with(aShort, "fault current", ""), "fault current"},
		{FaultSize(s), with(aShort, "clearing time", "20 ms"), "let-through energy"},
		{FaultSize(s), with(aShort, "insulation temperature", ""), "insulation temperature"},
		{ProtectiveAdiabatic(s), with(aShort, "fault current", "", "clearing time", ""), "clearing time of the live conductor"},
		{ProtectiveAdiabatic(s), with(aShort, "fault current", ""), "fault current"},
		{Capacity(), map[string]string{"size": "6 AWG", "capacity by IEC 60364-5-52": "40 A"}, "ampacity by the NEC"},
		{Capacity(), map[string]string{"size": "16 mm²", "ampacity by the NEC": "65 A"}, "capacity by IEC 60364-5-52"},
		{ProtectiveSize(), nil, "size by the table"},
	} {
		_, err := c.f.Of(given(t, c.f, c.values), nil)
		var absent *quantity.Absent
		if assert.ErrorAs(t, err, &absent, "%s %v", c.f.Name, c.values) {
			assert.Equal(t, c.want, c.f.Parameters[absent.Input].Name, "%s %v", c.f.Name, c.values)
		}
	}
}

// Capacity goes by the practice of the size.
func TestCapacityByPractice(t *testing.T) {
	f := Capacity()
	both := map[string]string{"ampacity by the NEC": "65 A", "capacity by IEC 60364-5-52": "85 A"}
	for size, want := range map[string]float64{"6 AWG": 65, "250 kcmil": 65, "16 mm²": 85} {
		q, err := f.Of(given(t, f, with(both, "size", size)), nil)
		require.NoError(t, err)
		assert.InDelta(t, want, q.Base(), 0, size)
	}
}

// The laws: longer and hotter never less drop, thicker and more side by side never
// more, more current and more reactance never less.
func TestLawsOfTheDrop(t *testing.T) {
	s := shippedTables(t)
	r, d := Resistance(s), Drop(s)
	dice := rand.New(rand.NewPCG(1, 2))
	drop := func(length, current, hot float64, size string, parallel int) float64 {
		ohm := result(t, r, map[string]string{"size": size, "material": "copper", "insulation temperature": fmt.Sprintf("%g °C", hot)})
		return result(t, d, with(aRun, "phases of the run", "single-phase", "length", fmt.Sprintf("%g m", length), "current", fmt.Sprintf("%g A", current),
			"resistance", fmt.Sprintf("%g Ω/km", ohm), "size", size, "conductors in parallel", fmt.Sprintf("%d count", parallel), "reactance", "0.08 Ω/km"))
	}
	metric := []string{"1.5 mm²", "2.5 mm²", "4 mm²", "6 mm²", "10 mm²", "16 mm²", "25 mm²", "35 mm²", "50 mm²", "70 mm²", "95 mm²", "120 mm²"}
	awg := []string{"14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG", "1/0 AWG", "2/0 AWG", "4/0 AWG", "500 kcmil"}
	for range 200 {
		sizes := metric
		if dice.IntN(2) == 0 {
			sizes = awg
		}
		i := dice.IntN(len(sizes) - 1)
		length, current, hot := 1+99*dice.Float64(), 1+200*dice.Float64(), 60+float64(dice.IntN(40))
		at := drop(length, current, hot, sizes[i], 1)
		assert.Greater(t, drop(length*1.1, current, hot, sizes[i], 1), at, "longer")
		assert.Greater(t, drop(length, current*1.1, hot, sizes[i], 1), at, "more current")
		assert.Greater(t, drop(length, current, hot+10, sizes[i], 1), at, "hotter")
		assert.LessOrEqual(t, drop(length, current, hot, sizes[i+1], 1), at, "thicker: %s", sizes[i])
		assert.Less(t, drop(length, current, hot, sizes[i], 2), at, "side by side")
	}
}

// More circuits and hotter air never carry more; a thicker conductor never less.
func TestLawsOfTheCapacity(t *testing.T) {
	s := shippedTables(t)
	f := CapacityIEC(s)
	sizes := []string{"1.5 mm²", "2.5 mm²", "4 mm²", "6 mm²", "10 mm²", "16 mm²", "25 mm²", "35 mm²", "50 mm²", "70 mm²", "95 mm²", "120 mm²"}
	for _, method := range []string{"A1", "A2", "B1", "B2", "C"} {
		for _, phases := range []string{"single-phase", "three-phase"} {
			for _, kind := range []string{"PVC", "XLPE"} {
				use := with(aUse, "what it carries", "ac", "phases of the run", phases, "installation method", method, "kind of insulation", kind, "insulation temperature", "")
				last := 0.0
				for _, size := range sizes {
					now := result(t, f, with(use, "size", size))
					assert.Greater(t, now, last, "%s %s %s", method, kind, size)
					last = now
				}
				for circuits, last := 1, last; circuits <= 20; circuits++ {
					now := result(t, f, with(use, "size", "120 mm²", "circuits grouped", fmt.Sprintf("%d count", circuits)))
					assert.LessOrEqual(t, now, last, "%d circuits", circuits)
					last = now
				}
				last = math.Inf(1)
				for air := -10; air <= 60; air++ {
					now := result(t, f, with(use, "ambient temperature", fmt.Sprintf("%d °C", air)))
					assert.LessOrEqual(t, now, last, "%d °C", air)
					last = now
				}
			}
		}
	}
}

// A larger fault or a longer one never needs less, and the table never falls.
func TestLawsOfTheProtectiveConductor(t *testing.T) {
	s := shippedTables(t)
	last := 0.0
	for _, line := range []string{"1.5 mm²", "16 mm²", "25 mm²", "35 mm²", "50 mm²", "240 mm²"} {
		now := result(t, ProtectiveTable(s), map[string]string{"size of the line conductor": line, "material of the line conductor": "copper", "material": "copper"})
		assert.GreaterOrEqual(t, now, last, line)
		last = now
	}
	last = 0
	for ms := 100; ms <= 5000; ms += 100 {
		now := result(t, FaultSize(s), with(aShort, "clearing time", fmt.Sprintf("%d ms", ms)))
		assert.Greater(t, now, last)
		last = now
	}
}

// Whatever is written, no result is infinite or no number, and no steps are owed.
func FuzzConductors(f *testing.F) {
	for _, x := range []float64{0, -1, 1, 1e300, -1e300, 1e-300, 273.15, 343.15} {
		f.Add(x, 1.0, uint8(3))
		f.Add(1.0, x, uint8(5))
	}
	s := shippedTables(f)
	functions := []quantity.Function{Resistance(s), LoopResistance(), Drop(s), DropShare(), DropPower(), Together(), CapacityIEC(s), Capacity(), ProtectiveTable(s), ProtectiveAdiabatic(s), ProtectiveSize(), FaultSize(s)}
	words := []string{"dc", "ac", "copper", "stranded", "three-phase", "single-phase", "PVC", "XLPE", "none", "C", "true", "false", ""}
	f.Fuzz(func(t *testing.T, x, y float64, pick uint8) {
		for _, fn := range functions {
			in := make([]quantity.Argument, len(fn.Parameters))
			for i, p := range fn.Parameters {
				if p.Kind == quantity.None {
					in[i] = quantity.Argument{Known: true, Word: words[(int(pick)+i)%len(words)]}
					continue
				}
				value := x
				if (int(pick)+i)%2 == 0 {
					value = y
				}
				q, err := quantity.Calculated(value, p.Kind.BaseUnit())
				in[i] = quantity.Argument{Known: err == nil, Quantity: q}
				if err != nil && !p.Optional {
					return
				}
			}
			if q, err := fn.Of(in, nil); err == nil && (math.IsNaN(q.Base()) || math.IsInf(q.Base(), 0)) {
				t.Errorf("%s(%g, %g) gives %v", fn.Name, x, y, q.Base())
			}
		}
	})
}
