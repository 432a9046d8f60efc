package boundary

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// cableShape has a measure that looks into a table of two sizes, for one word and
// where a truth is recorded, with both ends of the cable; another that is the
// largest of it over the cables; and how many different words there are.
func cableShape(t *testing.T) *world {
	t.Helper()
	functions := []quantity.Function{{
		Name: "test.Carries",
		Parameters: []quantity.Parameter{
			{Name: "size", Kind: quantity.Area}, {Name: "metal", Kind: quantity.None},
			{Name: "buried", Kind: quantity.None, Optional: true}, {Name: "ends", Kind: quantity.Count}, {Name: "coldest", Kind: quantity.Temperature, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			table := map[string]float64{"16 mm²": 60, "70 mm²": 140}
			i, ok := table[in[0].Quantity.String()]
			switch {
			case in[1].Word != "silver":
				return quantity.Quantity{}, fmt.Errorf("no row for %s", in[1].Word)
			case !ok:
				return quantity.Quantity{}, fmt.Errorf("no row for %s", in[0].Quantity)
			case !in[2].Known:
				return quantity.Quantity{}, &quantity.Absent{Input: 2}
			case in[2].Word != quantity.Yes:
				return quantity.Quantity{}, errors.New("in air it has no figure")
			case in[3].Quantity.Base() != 2 || !in[4].Known:
				return quantity.Quantity{}, errors.New("both ends have to be known")
			}
			return quantity.Calculated(i, quantity.MustUnit("A"))
		},
	}}
	field := func(path, unit string, kind fact.Type, words ...string) fact.Field {
		return fact.Field{Path: path, Type: kind, Unit: unit, Words: words}
	}
	calculated := func(path, unit string, kind fact.Type, c fact.Calculation) fact.Field {
		return fact.Field{Path: path, Type: kind, Unit: unit, Calculation: &c}
	}
	inputs := []fact.Input{{Symbol: "S", Fact: "cables.size"}, {Symbol: "m", Fact: "cables.metal"}, {Symbol: "b", Fact: "cables.buried"},
		{Symbol: "n", Fact: "cables.end_count"}, {Symbol: "T", Fact: "cables.coldest"}}
	shape := &fact.Shape{
		Lists: []fact.List{{Name: "cables", Key: "id"}, {Name: "cables.ends", Parent: "cables", Key: "end"}},
		Fields: []fact.Field{
			field("cables.id", "", fact.Key), field("cables.ends.end", "", fact.Key, "near", "far"),
			field("cables.ends.rating", "°C", fact.Quantity), field("cables.size", "mm²", fact.Quantity),
			field("cables.metal", "", fact.Word, "tin", "lead", "silver"), field("cables.buried", "", fact.Truth),
			calculated("cables.coldest", "°C", fact.Quantity, fact.Calculation{Least: []fact.Term{{Fact: "cables.ends.rating"}}}),
			calculated("cables.end_count", "ends", fact.Count, fact.Calculation{Count: &fact.Term{Fact: "cables.ends"}}),
			calculated("cables.carries", "A", fact.Quantity, fact.Calculation{Function: "test.Carries", Inputs: inputs}),
			calculated("most", "A", fact.Quantity, fact.Calculation{Greatest: []fact.Term{{Fact: "cables.carries"}}}),
			calculated("metals", "metals", fact.Count, fact.Calculation{Distinct: &fact.Term{Fact: "cables.metal"}}),
			calculated("silver", "cables", fact.Count, fact.Calculation{Count: &fact.Term{Fact: "cables"}, Where: []fact.Test{{Fact: "metal", Words: []string{"silver"}}}}),
		},
	}
	c, err := fact.Compile(shape, functions)
	require.NoError(t, err)
	return newWorld(c, functions)
}

// A value is found through words, a truth that is asked for only later, a size that
// is in the table, and a second end.
func TestFindMakesAValueKnown(t *testing.T) {
	w := cableShape(t)
	require.NoError(t, w.find(w.root, w.shape.Leaf("most")))
	a, err := w.evaluate(w.root, w.shape.Leaf("most"))
	require.NoError(t, err)
	assert.Equal(t, 140.0, a.Quantity.Base())
	assert.Equal(t, `cables:
  - id: 1
    size: 70 mm²
    metal: silver
    buried: true
    ends:
      - end: near
        rating: 30 °C
      - end: far
        rating: 30 °C
`, w.jobFile(nil))
}

// What is asked for already is kept, and what was tried in vain leaves no trace.
func TestFindKeepsWhatIsAskedFor(t *testing.T) {
	w := cableShape(t)
	cable := w.add(w.shape.Scope("cables"), w.root)
	require.NoError(t, w.set(cable, w.shape.Leaf("cables.metal"), "lead"))
	err := w.find(w.root, w.shape.Leaf("most"))
	assert.ErrorContains(t, err, "no inputs were found with which cables.carries (test.Carries) has a value: cables.carries: no row for lead")
	assert.Equal(t, "lead", cable.text[w.shape.Leaf("cables.metal")])

	before := cableShape(t)
	mark := len(before.undo)
	require.NoError(t, before.find(before.root, before.shape.Leaf("most")))
	before.takeBack(mark)
	assert.Empty(t, before.jobFile(nil))
	assert.Empty(t, before.loose)
	assert.Empty(t, before.count[before.shape.Scope("cables")])
}

// What is taken over several entries is worked out as the engine does it.
func TestEvaluateSeveral(t *testing.T) {
	w := cableShape(t)
	value := func(path string) string {
		a, err := w.evaluate(w.root, w.shape.Leaf(path))
		if err != nil {
			return err.Error()
		}
		return a.Quantity.String()
	}
	assert.Equal(t, "0", value("metals"))
	assert.Equal(t, "most: no entries", value("most"))
	for _, metal := range []string{"tin", "silver", "tin"} {
		require.NoError(t, w.set(w.add(w.shape.Scope("cables"), w.root), w.shape.Leaf("cables.metal"), metal))
	}
	assert.Equal(t, "2", value("metals"))
	assert.Equal(t, "1", value("silver"))
	assert.Equal(t, "cables.size is absent", value("most"))
	w.add(w.shape.Scope("cables"), w.root)
	assert.Equal(t, "cables.metal is absent", value("silver"), "an entry that may belong leaves the number unknown")
}
