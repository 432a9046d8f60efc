package boundary

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// powerShape has one calculated measure, in W, of a voltage, a current and a word.
func powerShape(t *testing.T, f func(mode string, volts, amps float64) float64) *world {
	t.Helper()
	functions := []quantity.Function{{
		Name:       "test.Power",
		Parameters: []quantity.Parameter{{Name: "mode", Kind: quantity.None}, {Name: "U", Kind: quantity.Voltage}, {Name: "I", Kind: quantity.Current}},
		Result:     quantity.Power,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			return quantity.Calculated(f(in[0].Word, in[1].Quantity.Base(), in[2].Quantity.Base()), quantity.MustUnit("W"))
		},
	}}
	inputs := []fact.Input{{Symbol: "m", Fact: "mode"}, {Symbol: "U", Fact: "voltage"}, {Symbol: "I", Fact: "current"}}
	shape := &fact.Shape{Fields: []fact.Field{
		{Path: "mode", Type: fact.Word, Words: []string{"off", "on"}},
		{Path: "voltage", Type: fact.Quantity, Unit: "V", Example: "230 V"},
		{Path: "current", Type: fact.Quantity, Unit: "A"},
		{Path: "power", Type: fact.Quantity, Unit: "W", Calculation: &fact.Calculation{Function: "test.Power", Inputs: inputs}},
	}}
	c, err := fact.Compile(shape, functions)
	require.NoError(t, err)
	return newWorld(c, functions)
}

// No input has the kind of the result: the number is looked for, through words
// for which the result is always 0, a proportion, an offset and a curve.
func TestInputsOfAFunctionAreFound(t *testing.T) {
	for name, f := range map[string]func(u, i float64) float64{
		"proportion": func(u, i float64) float64 { return u * i },
		"offset":     func(u, i float64) float64 { return 0.97*u*i + 12 },
		"curve":      func(u, i float64) float64 { return u*i + 0.3*i*i },
	} {
		t.Run(name, func(t *testing.T) {
			of := func(mode string, u, i float64) float64 {
				if mode == "off" {
					return 0
				}
				return f(u, i)
			}
			w := powerShape(t, of)
			verbatim, err := w.give(w.root, w.shape.Leaf("power"), written{text: "1 kW", unit: quantity.MustUnit("kW"), side: At, base: big.NewRat(1000, 1)})
			require.NoError(t, err)
			assert.False(t, verbatim, "the unit of the value does not show in the job")
			base := func(path string) float64 {
				l := w.shape.Leaf(path)
				return quantity.MustOf(w.root.text[l], l.Unit).Base()
			}
			assert.InEpsilon(t, 1000, of(w.root.text[w.shape.Leaf("mode")], base("voltage"), base("current")), 1e-11, "%s", w.jobFile(nil))
		})
	}
}

// An input that the job has already is kept.
func TestInputsThatAreThereAreKept(t *testing.T) {
	w := powerShape(t, func(_ string, u, i float64) float64 { return u * i })
	require.NoError(t, w.set(w.root, w.shape.Leaf("current"), "8 A"))
	_, err := w.give(w.root, w.shape.Leaf("power"), written{text: "1 kW", base: big.NewRat(1000, 1)})
	require.NoError(t, err)
	assert.Equal(t, "mode: off\nvoltage: 125 V\ncurrent: 8 A\n", w.jobFile(nil))
}

func TestAFunctionThatCannotReachTheValue(t *testing.T) {
	w := powerShape(t, func(_ string, u, _ float64) float64 { return 1 / (1 + u*u) })
	_, err := w.give(w.root, w.shape.Leaf("power"), written{text: "1 kW", base: big.NewRat(1000, 1)})
	assert.ErrorContains(t, err, "no inputs of power (test.Power) were found that give 1 kW")
}
