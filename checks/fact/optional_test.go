package fact

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/quantity"
)

// An optional input may be absent, behind a link that is not recorded or inside a
// calculated one. What is written and cannot be read is never taken for absent,
// wherever it stands.
func TestOptionalInputs(t *testing.T) {
	perhaps := quantity.Function{Name: "perhaps", Result: quantity.Energy,
		Parameters: []quantity.Parameter{{Name: "E", Kind: quantity.Energy, Optional: true}, {Name: "sum", Kind: quantity.Energy, Optional: true}},
		Of: func([]quantity.Argument, *quantity.Steps) (quantity.Quantity, error) {
			return quantity.MustOf("1 kWh", "kWh"), nil
		}}
	s := small()
	s.Fields = append(s.Fields, Field{Path: "stacks.perhaps", Type: Quantity, Unit: "kWh",
		Calculation: &Calculation{Function: "perhaps", Inputs: []Input{{"E", "stacks.product.energy"}, {"sum", "stacks.energy"}}}})
	c, err := Compile(s, []quantity.Function{energy(), perhaps})
	require.NoError(t, err)
	for stack, want := range map[string]State{
		"count: 4, product: x@1":    Known,
		"count: 4":                  Known,        // neither link nor what is calculated along it
		"product: x@1":              Known,        // the calculated one lacks the count
		"count: four, product: x@1": Uncalculated, // the calculated one has a count that is none
		"count: 4, product: y@1":    Uncalculated, // the link names nothing
		"count: 4, product: [x@1]":  Uncalculated, // the link cannot be read
	} {
		f, problems := jobfile.Read("a.yaml", []byte("job: 7\nstage: installed\nstacks: [{id: A, "+stack+"}]\n"), jobfile.Limits{})
		require.Empty(t, problems)
		facts := NewDecoder(c, products{c.Scope("equipment.storage")}, quantity.Options{}).Decode(f)
		assert.Equal(t, want, facts.Entries[c.Scope("stacks").ID][0].Get(c.Leaf("stacks.perhaps")).State, stack)
	}
}
