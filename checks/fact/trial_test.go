package fact

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
)

// pair adds two energies and refuses the sum of 13 kWh.
func pair() quantity.Function {
	kwh := quantity.MustUnit("kWh")
	return quantity.Function{Name: "pair", Result: quantity.Energy,
		Parameters: []quantity.Parameter{{Name: "a", Kind: quantity.Energy}, {Name: "b", Kind: quantity.Energy, Optional: true}},
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			sum := in[0].Quantity.Base() + in[1].Quantity.Base()
			if sum == 13*3.6e6 {
				return quantity.Quantity{}, errors.New("13 kWh is in no table")
			}
			return quantity.Calculated(sum, kwh)
		}}
}

// tried is a decoder of the small shape with measures that reach far.
func tried(t *testing.T) (*Decoder, *Compiled) {
	t.Helper()
	s := small()
	s.Lists = append(s.Lists, List{Name: "cables", Key: "id"})
	link := func(path string) Field { return Field{Path: path, Type: Link, Link: "stacks"} }
	of := func(path, function string, in ...Input) Field {
		return Field{Path: path, Type: Quantity, Unit: "kWh", Calculation: &Calculation{Function: function, Inputs: in}}
	}
	s.Fields = append(s.Fields, Field{Path: "cables.id", Type: Key}, link("cables.from"), link("cables.to"),
		of("cables.both", "pair", Input{"a", "cables.from.energy"}, Input{"b", "cables.to.energy"}),
		of("stacks.with_unit", "pair", Input{"a", "stacks.unit.energy"}, Input{"b", "stacks.energy"}),
		of("units.times", "energy", Input{"n", "units.stack_count"}, Input{"E", "units.energy"}),
		of("stacks.slots.over", "energy", Input{"n", "stacks.count"}, Input{"E", "stacks.product.energy"}),
		Field{Path: "stacks.filled", Type: Count, Unit: "slots", Calculation: &Calculation{Count: &Term{"stacks.slots", ""}}},
		of("garages_and_more", "pair", Input{"a", "garages"}, Input{"b", "rest"}),
		Field{Path: "rest", Type: Quantity, Unit: "kWh"},
	)
	c, err := Compile(s, []quantity.Function{energy(), pair()})
	require.NoError(t, err)
	return NewDecoder(c, products{c.Scope("equipment.storage")}, quantity.Options{}), c
}

func TestTrial(t *testing.T) {
	d, c := tried(t)
	for _, one := range []struct {
		name, measure string
		given         map[string][]string
		want          string
	}{
		{"two entries of one list", "cables.both", map[string][]string{"cables.from.energy": {"5 kWh"}, "cables.to.count": {"2"}, "cables.to.product.energy": {"3 kWh"}}, "11 kWh"},
		{"the way back along a link", "stacks.with_unit", map[string][]string{"stacks.unit.energy": {"9 kWh"}, "stacks.energy": {"4 kWh"}}, "none: 13 kWh is in no table"},
		{"two measures over the same entries", "units.times", map[string][]string{"stacks.energy": {"3 kWh", "4 kWh"}}, "14 kWh"},
		{"their number said and right", "units.times", map[string][]string{"stacks": {"2"}, "stacks.energy": {"3 kWh", "4 kWh"}}, "14 kWh"},
		{"their number said and wrong", "units.times", map[string][]string{"stacks": {"1"}, "stacks.energy": {"3 kWh", "4 kWh"}}, "mistake: stacks says 1, but values are given for 2"},
		{"their number said, values missing", "units.times", map[string][]string{"stacks": {"3"}, "stacks.energy": {"3 kWh", "4 kWh"}}, "mistake: stacks.energy is given 2 times, but there are 3 entries that need it"},
		{"the entry above", "stacks.slots.over", map[string][]string{"stacks.count": {"2"}, "stacks.product.energy": {"3 kWh"}}, "6 kWh"},
		{"entries of a list within", "stacks.filled", map[string][]string{"stacks.slots": {"3"}}, "3 slots"},
		{"only those that meet a condition", "garages", map[string][]string{"units.energy": {"3 kWh", "5 kWh"}}, "8 kWh"},
		{"nothing to add up is not nothing", "garages_and_more", map[string][]string{"rest": {"3 kWh"}}, "missing: units.energy"},
		{"which belongs to which", "rooms.energy", map[string][]string{"units.energy": {"3 kWh", "4 kWh"}, "stacks.energy": {"1 kWh"}}, "mistake: stacks.energy is given, but not needed, since what it goes into is given too"},
	} {
		t.Run(one.name, func(t *testing.T) {
			m := c.Leaf(one.measure)
			got := d.Try(m, one.given)
			switch {
			case len(got.Mistakes) > 0:
				assert.Equal(t, one.want, "mistake: "+got.Mistakes[0])
			case len(got.Missing) > 0:
				assert.Equal(t, one.want, "missing: "+got.Missing[0][0].Route)
			case got.Value.State != Known:
				assert.Equal(t, one.want, "none: "+got.Value.More.Reason)
			default:
				assert.Equal(t, one.want, m.Format(got.Value.Quantity, m.Of))
			}
		})
	}
}

// What may be given is found out whatever the measure, and given back in full it
// is never refused for its form.
func TestTrialOfEveryMeasure(t *testing.T) {
	d, c := tried(t)
	for _, m := range c.Leaves {
		if m.Calculation == nil {
			continue
		}
		slots := d.Inputs(m)
		require.NotEmpty(t, slots, m.Path)
		given := map[string][]string{}
		for _, s := range slots {
			switch {
			case s.Counted != nil && s.Level == 0:
				given[s.Route] = []string{"1"}
			case s.Level == 0:
				given[s.Route] = []string{sample(s.Leaf)}
			}
		}
		got := d.Try(m, given)
		assert.Empty(t, got.Mistakes, m.Path)
		assert.Equal(t, Known, got.Value.State, "%s %v %v", m.Path, given, got.Value.More)
	}
}
