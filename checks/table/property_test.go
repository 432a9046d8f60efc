package table_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// A warmer place, more conductors or more circuits never raise a factor; a larger
// device never has a smaller grounding conductor.
func TestBandsAreMonotone(t *testing.T) {
	_, set := shipped(t)
	for _, c := range []struct {
		table, column, unit string
		from                bool
		first, last, step   int64 // in tenths
		sign                float64
		before              []table.Key
	}{
		{"us/nec-2023/310.15-ambient", "90", "°C", false, -400, 850, 3, -1, nil},
		{"us/nec-2023/310.15-ambient", "75", "°C", false, -400, 700, 3, -1, nil},
		{"us/nec-2023/310.15-count", "factor", "count", true, 10, 900, 10, -1, nil},
		{"us/nec-2023/250.122", "copper", "A", false, 10, 60000, 33, 1, nil},
		{"iec/60364-5-52/ambient", "factor", "°C", false, -400, 800, 3, -1, []table.Key{table.Word("XLPE")}},
		{"iec/60364-5-52/group-bunched", "factor", "count", false, 10, 200, 10, -1, nil},
	} {
		f := get(t, set, c.table)
		look := f.UpTo
		if c.from {
			look = f.From
		}
		previous := math.Inf(-1)
		for n := c.first; n <= c.last; n += c.step {
			value := quantity.New(quantity.Decimal{Coef: n, Exp: -1}, quantity.MustUnit(c.unit))
			q, err := look(c.column, append(c.before, table.Quantity(value))...)
			require.NoError(t, err, "%s at %s", c.table, value)
			assert.GreaterOrEqual(t, c.sign*q.Base(), previous, "%s at %s", c.table, value)
			previous = c.sign * q.Base()
		}
	}
}

// In every table of sizes a larger conductor carries at least as much.
func TestSizesAreMonotone(t *testing.T) {
	all, _ := shipped(t)
	for _, x := range all {
		if x.Name != "us/nec-2023/310.16" && x.Name != "iec/60364-5-52/capacity" {
			continue
		}
		for k := x.Keys(); k < len(x.Columns); k++ {
			for i := 1; i < len(x.Rows); i++ {
				a, b := x.Rows[i-1].Cells, x.Rows[i].Cells
				if a[k] == "" || x.Keys() > 1 && (a[0] != b[0] || a[1] != b[1]) {
					continue
				}
				low, err := x.Columns[k].Read(a[k])
				require.NoError(t, err)
				high, err := x.Columns[k].Read(b[k])
				require.NoError(t, err)
				assert.Positive(t, quantity.Compare(high, low), "%s, %s at %s", x.Name, x.Columns[k].Name, b)
			}
		}
	}
}

func TestTablesThatAreRefused(t *testing.T) {
	whole := func() table.Table {
		return table.Table{Name: "a/b", Columns: []table.Column{{Name: "size", Unit: "mm²", Key: true}, {Name: "current", Unit: "A"}},
			Rows: []table.Row{{Cells: []string{"10", "1"}, Line: 7}, {Cells: []string{"16", "2"}, Line: 8}}}
	}
	for name, c := range map[string]struct {
		breakIt func(*table.Table)
		message string
	}{
		"mixed systems":   {func(x *table.Table) { x.Rows[1].Cells[0] = "6 AWG" }, "line 8: size: 6 AWG stands among sizes of the other system"},
		"an empty key":    {func(x *table.Table) { x.Rows[1].Cells[0] = "" }, "which is a key"},
		"open, no key":    {func(x *table.Table) { x.Columns[1].Open = true }, "only the last key can be"},
		"open, of words":  {func(x *table.Table) { x.Columns[0].Open, x.Columns[0].Unit = true, "" }, "only with a unit"},
		"no such size":    {func(x *table.Table) { x.Rows[0].Cells[0] = "7 AWG" }, "line 7"},
		"a plain AWG key": {func(x *table.Table) { x.Columns[0].Unit = "AWG"; x.Rows[0].Cells[0] = "7" }, "is no quantity"},
	} {
		x := whole()
		c.breakIt(&x)
		_, err := table.New(&x)
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), c.message, name)
	}
	_, err := table.NewSet([]table.Table{whole(), whole()})
	require.EqualError(t, err, "two tables have the name a/b")
}

// Whatever is asked, a lookup gives a finite figure or says why not.
func FuzzLookup(f *testing.F) {
	all, set := shipped(f)
	f.Add("us/nec-2023/310.16", "copper 75", "6 AWG", "PVC", uint8(0))
	f.Add("iec/60364-5-52/ambient", "factor", "1e30 °C", "PVC", uint8(3))
	f.Add("iec/60364-5-54/54.2", "size", "0 mm²", "", uint8(9))
	f.Fuzz(func(t *testing.T, name, column, value, word string, which uint8) {
		q, err := quantity.Of(value, "A")
		for _, unit := range []string{"mm²", "°C", "count"} {
			if err != nil {
				q, err = quantity.Of(value, unit)
			}
		}
		one := all[int(which)%len(all)]
		x := get(t, set, one.Name)
		for _, keys := range [][]table.Key{nil, {table.Quantity(q)}, {table.Word(word), table.Quantity(q)}, {table.Word(word)}, {{}}, {table.Word(word), table.Quantity(q), table.Quantity(q)}} {
			for _, of := range []string{one.Columns[len(one.Columns)-1].Name, one.Columns[one.Keys()].Name, column} {
				sound(t)(x.At(of, keys...))
				sound(t)(x.UpTo(of, keys...))
				sound(t)(x.From(of, keys...))
				sound(t)(x.NextOf(of, word, keys...))
				sound(t)(x.Smallest(of, q, keys...))
			}
			sound(t)(x.Next(keys...))
		}
		_, _ = set.Get(name)
	})
}

func sound(t *testing.T) func(quantity.Quantity, error) {
	return func(q quantity.Quantity, err error) {
		if err != nil {
			require.NotEmpty(t, err.Error())
			require.True(t, q.IsZero())
			return
		}
		require.False(t, q.IsZero() || math.IsNaN(q.Base()) || math.IsInf(q.Base(), 0))
	}
}
