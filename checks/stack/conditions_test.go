package stack

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
)

var unknown = quantity.Argument{}

// Floating point does not lose a module where the sum meets the limit exactly:
// 0.6 / 0.1 is 5.999… to a machine.
func TestModulesExactlyAtTheLimit(t *testing.T) {
	in := func(module, limit string) []quantity.Argument {
		return []quantity.Argument{word(ModulesInSeries), known(module, "V"), known(limit, "V"), unknown, unknown}
	}
	for _, c := range []struct {
		module, limit string
		most, fewest  float64
	}{
		{"0.1 V", "0.6 V", 6, 6}, {"0.1 V", "0.3 V", 3, 3}, {"57.6 V", "345.6 V", 6, 6}, {"55.03 V", "600 V", 10, 11}, {"60 V", "59 V", 0, 1},
	} {
		assert.InDelta(t, c.most, value(t, MostModules(), in(c.module, c.limit)...).Base(), 0, "%s into %s", c.module, c.limit)
		assert.InDelta(t, c.fewest, value(t, FewestModules(), in(c.module, c.limit)...).Base(), 0, "%s up to %s", c.module, c.limit)
	}
}

// Of the inverter's two voltages the stricter decides, and either is enough.
func TestStricterOfJobAndDatasheet(t *testing.T) {
	most := func(job, datasheet quantity.Argument) float64 {
		return value(t, MostModules(), word(ModulesInSeries), known("50 V", "V"), job, datasheet, unknown).Base()
	}
	assert.InDelta(t, 8, most(known("400 V", "V"), known("550 V", "V")), 0)
	assert.InDelta(t, 8, most(known("550 V", "V"), known("400 V", "V")), 0)
	assert.InDelta(t, 11, most(unknown, known("550 V", "V")), 0)
	_, err := MostModules().Of([]quantity.Argument{word(ModulesInSeries), known("50 V", "V"), unknown, unknown, unknown}, nil)
	var absent *quantity.Absent
	require.ErrorAs(t, err, &absent)
	assert.Equal(t, wWindow, absent.Input)
	fewest := value(t, FewestModules(), word(ModulesInSeries), known("50 V", "V"), known("100 V", "V"), known("160 V", "V"), unknown)
	assert.InDelta(t, 4, fewest.Base(), 0)
}

// Of a module's voltage the end of its tolerance counts that needs care: 10 · 57.6 V
// fit into 580 V, 10 · 58.2 V do not; 4 · 44 V reach 176 V, 4 · 43.5 V do not.
func TestModulesByTheCarefulEdge(t *testing.T) {
	modules := func(f quantity.Function, u, limit string) float64 {
		return value(t, f, word(ModulesInSeries), known(u, "V"), known(limit, "V"), unknown, unknown).Base()
	}
	assert.InDelta(t, 10, modules(MostModules(), "57.6 V", "580 V"), 0)
	assert.InDelta(t, 9, modules(MostModules(), "57.6 V ± 0.6 V", "580 V"), 0)
	assert.InDelta(t, 4, modules(FewestModules(), "44 V", "176 V"), 0)
	assert.InDelta(t, 5, modules(FewestModules(), "44 V ± 0.5 V", "176 V"), 0)
	_, err := FewestModules().Of([]quantity.Argument{word(ModulesInSeries), known("44 V ± 50 V", "V"), known("176 V", "V"), unknown, unknown}, nil)
	require.ErrorContains(t, err, "down to zero")
}

// A voltage carries the tolerance of the datasheet, once for each module.
func TestVoltageTolerance(t *testing.T) {
	u := value(t, HighestVoltage(), word(ModulesInSeries), count(6), known("57.6 V ± 0.2 V", "V"), unknown)
	assert.InDelta(t, 1.2, u.BaseUncertainty(), 1e-12)
	exact := value(t, HighestVoltage(), word(ModulesInSeries), count(6), known("57.6 V", "V"), unknown)
	assert.False(t, exact.HasUncertainty())
}

// A fault current carries the tolerances of voltage and resistance: 57.6 V over
// 18 mΩ ± 10 % lies up to 57.6 V / 16.2 mΩ = 3555.6 A, 355.6 A above 3200 A. Without a
// stated tolerance the calculation says that there is none.
func TestFaultCurrentTolerance(t *testing.T) {
	fault := func(r, u string, steps *quantity.Steps) quantity.Quantity {
		q, err := FaultCurrent().Of([]quantity.Argument{word(ModulesInSeries), unknown, count(1), known(r, "mΩ"), known(u, "V")}, steps)
		require.NoError(t, err)
		return q
	}
	var told quantity.Steps
	plain := fault("18 mΩ", "57.6 V", &told)
	assert.InDelta(t, 3200, plain.Base(), 1e-9)
	assert.False(t, plain.HasUncertainty())
	assert.Contains(t, told.All()[len(told.All())-1].From, "no tolerance")
	assert.InDelta(t, 355.5556, fault("18 mΩ ± 10 %", "57.6 V", nil).BaseUncertainty(), 1e-3)
	assert.InDelta(t, 58.7/0.0162-3200, fault("18 mΩ ± 10 %", "57.6 V ± 1.1 V", nil).BaseUncertainty(), 1e-6)
	declared, err := FaultCurrent().Of([]quantity.Argument{unknown, known("2.1 kA ± 5 %", "kA"), unknown, unknown, unknown}, nil)
	require.NoError(t, err)
	assert.InDelta(t, 105, declared.BaseUncertainty(), 1e-9)
}

// What the others feed has the tolerance of the others alone.
func TestFaultAtDeviceTolerance(t *testing.T) {
	q := value(t, FaultAtDevice(), known("3.2 kA ± 0.3 kA", "kA"), known("9.6 kA ± 0.9 kA", "kA"))
	assert.InDelta(t, 6400, q.Base(), 1e-9)
	assert.InDelta(t, 600, q.BaseUncertainty(), 1e-9)
	// 1.9 kA ± 0.5 kA of the others reach 2.4 kA, beyond the stack's own 2 kA.
	q = value(t, FaultAtDevice(), known("2 kA", "kA"), known("3.9 kA ± 0.5 kA", "kA"))
	assert.InDelta(t, 2000, q.Base(), 1e-9)
	assert.InDelta(t, 400, q.BaseUncertainty(), 1e-9)
}

// Two readings, each ± 1 V, differ by up to 2 V more than they show.
func TestDifferenceKeepsBothUncertainties(t *testing.T) {
	q := value(t, VoltageDifference(), known("306 V ± 1 V", "V"), known("304.5 V ± 1 V", "V"))
	assert.InDelta(t, 1.5, q.Base(), 1e-12)
	assert.InDelta(t, 2, q.BaseUncertainty(), 1e-12)
}

// The weakest part decides, whichever it is; a device on record whose rating is not
// known leaves the current unknown.
func TestWeakestDecides(t *testing.T) {
	amps := func(x string) quantity.Argument { return known(x+" A", "A") }
	in := func() []quantity.Argument {
		return []quantity.Argument{amps("50"), known("100 %", "%"), count(1), amps("50"), amps("50"), amps("50"), amps("50"), known("100 %", "%")}
	}
	for _, weak := range []int{cStack, cDevice, cBuiltIn, cInverter, cCable} {
		one := in()
		one[weak] = amps("20")
		assert.InDelta(t, 20, value(t, DischargeCurrent(), one[:cCold]...).Base(), 1e-12, "input %d", weak)
		assert.InDelta(t, 20, value(t, ChargeCurrent(), one...).Base(), 1e-12, "input %d", weak)
	}
	cold := in()
	cold[cCold] = known("0 %", "%")
	assert.Zero(t, value(t, ChargeCurrent(), cold...).Base())
	hot := in()
	hot[cHot] = known("40 %", "%")
	assert.InDelta(t, 20, value(t, DischargeCurrent(), hot[:cCold]...).Base(), 1e-12)

	none := in()
	none[cDevice] = unknown
	_, err := DischargeCurrent().Of(none[:cCold], nil)
	var absent *quantity.Absent
	require.ErrorAs(t, err, &absent)
	assert.Equal(t, cDevice, absent.Input)
	none[cDevices] = count(0)
	assert.InDelta(t, 50, value(t, DischargeCurrent(), none[:cCold]...).Base(), 1e-12, "no device is one that cannot limit")
}

// Out of what the datasheet covers nothing flows.
func TestOutsideTheTemperatures(t *testing.T) {
	c := func(x string) quantity.Argument { return known(x+" °C", "°C") }
	assert.Zero(t, value(t, HotDerating(), c("51"), c("40"), c("50"), unknown, unknown, unknown).Base())
	assert.Zero(t, value(t, ColdDerating(), c("-6"), c("5")).Base())
	assert.InDelta(t, 1, value(t, HotDerating(), c("40"), c("40"), unknown, unknown, unknown, unknown).Base(), 0, "what is not needed is not asked for")
	for _, lacks := range []int{2, 3, 4} {
		in := []quantity.Argument{c("45"), c("40"), c("50"), known("40 %", "%"), known("10 m", "m"), known("2000 m", "m")}
		in[lacks] = unknown
		_, err := HotDerating().Of(in, nil)
		var absent *quantity.Absent
		require.ErrorAs(t, err, &absent)
		assert.Equal(t, lacks, absent.Input)
	}
}
