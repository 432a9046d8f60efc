package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func given(pairs ...string) []Given {
	var out []Given
	for i := 0; i < len(pairs); i += 2 {
		out = append(out, Given{pairs[i], pairs[i+1]})
	}
	return out
}

func TestCalculate(t *testing.T) {
	l := openExamples(t)
	for _, c := range []struct {
		name, measure string
		given         []Given
		want          string
	}{
		{"by symbols", "stacks.energy", given("n", "4", "E", "2.4 kWh"), "9.6 kWh"},
		{"by facts, in another unit", "stacks.energy", given("stacks.modules", "4", "stacks.equipment.module.energy", "8.64 MJ"), "9.6 kWh"},
		{"by ends of facts", "stacks.energy", given("modules", "4", "module.energy", "2400 Wh"), "9.6 kWh"},
		{"words and what is not needed", "stacks.voltage_high", given("architecture", "converter per stack", "U_out", "0.45 kV"), "450 V"},
		{"repeated for a sum", "units.energy", given("energy", "5 kWh", "energy", "6 kWh"), "11 kWh"},
		{"an input from its own inputs", "units.energy", given("n", "4", "E", "2.4 kWh"), "9.6 kWh"},
		{"for each entry of a sum, one value for all", "units.energy", given("n", "4", "n", "5", "E", "2 kWh"), "18 kWh"},
		{"a sum of sums", "locations.energy", given("n", "4", "n", "5", "E", "2 kWh", "existing.energy", "3 kWh"), "21 kWh"},
		{"a sum of sums, given directly", "locations.energy", given("units.energy", "4 kWh", "units.energy", "5 kWh"), "9 kWh"},
		{"entries of the links that tie them here", "locations.unit_count", given("units", "3"), "3 units"},
		{"count", "units.stack_count", given("stacks", "0"), "0 stacks"},
		{"only entries that meet a condition", "premises.energy_outdoors", given("units.energy", "4 kWh", "existing.energy", "1 kWh"), "5 kWh"},
		{"a wire size", "conductors.egc_nec", given("material", "copper", "I_n", "60 A", "S_laid", "6 AWG", "S_needed", "6 AWG"), "10 AWG (5.26 mm²)"},
		{"over all of the premises", "premises.energy", given("units.energy", "4 kWh"), "4 kWh"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := l.Measure(c.measure)
			require.NoError(t, err)
			got, err := l.Calculate(m, c.given)
			if err != nil {
				t.Logf("%+v", err)
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, m.Format(got.Result.Quantity, m.Of))
			assert.Same(t, got.Result.More.From, got.Workings[len(got.Workings)-1])
		})
	}
}

// A listed symbol names its value although facts behind other inputs end in the
// same word.
func TestCalculateTakesSymbolsFirst(t *testing.T) {
	l := openExamples(t)
	for measure, symbol := range map[string]string{"conductors.egc_nec": "material", "conductors.ampacity_nec": "insulation"} {
		m, err := l.Measure(measure)
		require.NoError(t, err)
		value := map[string]string{"material": "copper", "insulation": "THHN"}[symbol]
		_, err = l.Calculate(m, given(symbol, value))
		var not *NotCalculated
		require.ErrorAs(t, err, &not, "the rest is not given")
		assert.Empty(t, not.Mistakes, measure)
		assert.NotContains(t, not.Missing, map[string]string{"material": "conductors.material", "insulation": "conductors.insulation_type"}[symbol])
	}
}

// What is wrong with what was given is said all at once, with everything that the
// measure takes.
func TestCalculateMistakes(t *testing.T) {
	l := openExamples(t)
	for _, c := range []struct {
		name, measure string
		given         []Given
		mistakes      []string
		missing       []string
	}{
		{"nothing given", "stacks.energy", nil, nil, []string{"stacks.modules", "stacks.equipment.module.energy"}},
		{"one missing", "stacks.energy", given("n", "4"), nil, []string{"stacks.equipment.module.energy"}},
		{"nothing to add", "units.energy", nil, nil, []string{"stacks.energy"}},
		{"nothing to add of several kinds", "locations.energy", nil, nil, []string{"units.energy or existing.energy"}},
		{"nothing to count", "units.stack_count", nil, nil, []string{"stacks"}},
		{"missing below a sum", "units.energy", given("n", "4"), nil, []string{"stacks.equipment.module.energy"}},
		{"missing for the second of a sum", "units.energy", given("n", "4", "n", "5", "n", "6", "E", "2 kWh", "E", "3 kWh"), []string{"stacks.equipment.module.energy is given 2 times, but there are 3 entries that need it"}, nil},
		{"needed after all", "stacks.voltage_high", given("architecture", "modules in series", "n", "4"), nil, []string{"stacks.equipment.module.voltage.high"}},
		{"misspelt", "stacks.energy", given("modlues", "4", "E", "2 kWh"), []string{`nothing called "modlues" goes into it; did you mean "modules"?`}, []string{"stacks.modules"}},
		{"ambiguous", "locations.energy", given("energy", "4 kWh"), []string{`"energy" can be units.energy or existing.energy; write more of it`}, []string{"units.energy or existing.energy"}},
		{"another kind", "stacks.energy", given("n", "4", "E", "2 kW"), []string{"stacks.equipment.module.energy: energy takes an energy in kWh: "}, nil},
		{"no unit", "stacks.energy", given("n", "4", "E", "2"), []string{"stacks.equipment.module.energy: energy takes an energy in kWh: "}, nil},
		{"no whole number", "stacks.energy", given("n", "4.5", "E", "2 kWh"), []string{"stacks.modules: modules takes a whole number without a unit, not \"4.5\""}, nil},
		{"a word that is none", "stacks.voltage_high", given("architecture", "modules in serie"), []string{`stacks.equipment.architecture: architecture cannot be "modules in serie"; did you mean "modules in series"?`}, nil},
		{"twice", "stacks.energy", given("n", "4", "n", "5", "E", "2 kWh"), []string{"stacks.modules is given 2 times"}, nil},
		{"given beside what it goes into", "units.energy", given("stacks.energy", "4 kWh", "n", "4"), []string{"stacks.modules is given, but not needed, since what it goes into is given too"}, nil},
		{"several below several", "locations.energy", given("units.stacks.energy", "4 kWh"), []string{`nothing called "units.stacks.energy" goes into it`}, nil},
		{"too many to count", "units.stack_count", given("stacks", "5000000"), []string{"stacks takes a whole number of entries up to 1000"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := l.Measure(c.measure)
			require.NoError(t, err)
			_, err = l.Calculate(m, c.given)
			var not *NotCalculated
			require.ErrorAs(t, err, &not)
			require.Len(t, not.Mistakes, len(c.mistakes), "%q", not.Mistakes)
			for i := range c.mistakes {
				assert.Contains(t, not.Mistakes[i], c.mistakes[i])
			}
			if c.missing != nil {
				assert.Equal(t, c.missing, not.Missing)
			}
			assert.Empty(t, not.Reason)
		})
	}
}

func TestMeasureByName(t *testing.T) {
	l := openExamples(t)
	for name, want := range map[string]string{
		"stacks.enrgy":   `there is no calculated measure "stacks.enrgy"; did you mean "stacks.energy"`,
		"voltage_hihg":   `did you mean "voltage_high"?`,
		"energy":         `"energy" can be stacks.energy or units.energy or`,
		"stacks.modules": "stacks.modules is recorded, not calculated",
	} {
		_, err := l.Measure(name)
		assert.ErrorContains(t, err, want)
	}
	m, err := l.Measure("voltage_high")
	require.NoError(t, err)
	assert.Equal(t, "stacks.voltage_high", m.Path)
	assert.Len(t, l.Measures("EQUALISING"), 1)
	assert.Empty(t, l.Measures("gherkin"))
}
