package table_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/define"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
	"witnessmark.example/schema"
)

// shipped reads the tables that ship.
func shipped(t testing.TB) ([]table.Table, *table.Set) {
	t.Helper()
	all, _, err := define.Decode(schema.Compiled)
	require.NoError(t, err)
	require.Greater(t, len(all.Tables), 20)
	set, err := table.NewSet(all.Tables)
	require.NoError(t, err)
	return all.Tables, set
}

func get(t testing.TB, set *table.Set, name string) *table.Figures {
	t.Helper()
	f, err := set.Get(name)
	require.NoError(t, err)
	return f
}

// key reads a text as a job would write it; what is no quantity is a word.
func key(text string) table.Key {
	for _, unit := range []string{"count", "mm²", "°C", "A"} {
		if q, err := quantity.Of(text, unit); err == nil {
			return table.Quantity(q)
		}
	}
	return table.Word(text)
}

func keysOf(texts []string) []table.Key {
	var out []table.Key
	for _, text := range texts {
		out = append(out, key(text))
	}
	return out
}

// Published figures, each read once more in the source named by the table.
func TestLookups(t *testing.T) {
	_, set := shipped(t)
	const at, upTo, from = "at", "up to", "from"
	for _, c := range []struct {
		how, table, column string
		keys               []string
		want               string
		reason             table.Reason
		message            string
	}{
		{at, "us/nec-2023/310.16", "copper 75", []string{"6 AWG"}, "65 A", 0, ""},
		{at, "us/nec-2023/310.16", "copper 75", []string{"1/0 AWG"}, "150 A", 0, ""},
		{at, "us/nec-2023/310.16", "aluminium 90", []string{"250 kcmil"}, "230 A", 0, ""},
		{at, "us/nec-2023/310.16", "copper 75", []string{"26240 cmil"}, "65 A", 0, ""},
		{at, "us/nec-2023/310.16", "aluminium 75", []string{"14 AWG"}, "", table.NoFigure, "has no figure for aluminium 75 at 14 AWG"},
		{at, "us/nec-2023/310.16", "copper 75", []string{"16 mm²"}, "", table.WrongSystem, "16 mm² is a metric size and NEC (NFPA 70) 2023, Table 310.16 is in AWG and kcmil; no size is converted"},
		{at, "us/nec-2023/310.16", "copper 75", []string{"450 kcmil"}, "", table.NoRow, "NEC (NFPA 70) 2023, Table 310.16 has no size 450 kcmil: next to it are 400 kcmil and 500 kcmil"},
		{at, "us/nec-2023/310.16", "copper 75", []string{"600 kcmil"}, "", table.Beyond, "it ends at 500 kcmil"},
		{at, "us/nec-2023/310.16", "copper 75", []string{"16 AWG"}, "", table.Beyond, "it begins at 14 AWG"},
		{at, "us/nec-2023/310.16", "silver", []string{"6 AWG"}, "", table.NoColumn, `no such column as "silver"`},
		{at, "us/nec-2023/310.16", "size", []string{"6 AWG"}, "", table.NoColumn, `"size"`},
		{at, "us/nec-2023/310.16", "copper 75", []string{"6 A"}, "", table.BadKey, "is a quantity in mm²; it is asked with 6 A"},
		{at, "us/nec-2023/310.16", "copper 75", []string{"six"}, "", table.BadKey, `"six"`},
		{at, "us/nec-2023/310.16", "copper 75", nil, "", table.BadKey, "asked with 0 keys where it takes 1"},
		{upTo, "us/nec-2023/310.15-ambient", "75", []string{"35 °C"}, "0.94", 0, ""},
		{upTo, "us/nec-2023/310.15-ambient", "75", []string{"95 °F"}, "0.94", 0, ""},
		{upTo, "us/nec-2023/310.15-ambient", "75", []string{"35.001 °C"}, "0.88", 0, ""},
		{upTo, "us/nec-2023/310.15-ambient", "75", []string{"-20 °C"}, "1.2", 0, ""},
		{upTo, "us/nec-2023/310.15-ambient", "90", []string{"85 °C"}, "0.29", 0, ""},
		{upTo, "us/nec-2023/310.15-ambient", "90", []string{"85.1 °C"}, "", table.Beyond, "ends at 85 °C, before 85.1 °C: nothing is extrapolated"},
		{upTo, "us/nec-2023/310.15-ambient", "60", []string{"56 °C"}, "", table.NoFigure, "no figure for 60 at 60 °C"},
		{from, "us/nec-2023/310.15-count", "factor", []string{"3"}, "100 %", 0, ""},
		{from, "us/nec-2023/310.15-count", "factor", []string{"9"}, "70 %", 0, ""},
		{from, "us/nec-2023/310.15-count", "factor", []string{"400"}, "35 %", 0, ""},
		{from, "us/nec-2023/310.15-count", "factor", []string{"0"}, "", table.Beyond, "begins at 1, behind 0"},
		{upTo, "us/nec-2023/250.122", "copper", []string{"100 A"}, "8 AWG", 0, ""},
		{upTo, "us/nec-2023/250.122", "copper", []string{"100.5 A"}, "6 AWG", 0, ""},
		{upTo, "us/nec-2023/250.122", "aluminium", []string{"5 kA"}, "1250 kcmil", 0, ""},
		{upTo, "us/nec-2017/250.122", "aluminium", []string{"5 kA"}, "1200 kcmil", 0, ""},
		{upTo, "us/nec-2023/250.122", "copper", []string{"6001 A"}, "", table.Beyond, "ends at 6000 A"},
		{at, "us/nec-2023/ch9-table8", "area", []string{"stranded", "4/0 AWG"}, "211600 cmil", 0, ""},
		{at, "us/nec-2023/ch9-table8", "copper", []string{"solid", "14 AWG"}, "3.07 Ω/kft", 0, ""},
		{at, "us/nec-2023/ch9-table8", "copper", []string{"stranded", "14 AWG"}, "3.14 Ω/kft", 0, ""},
		{at, "us/nec-2023/ch9-table8", "copper", []string{"solid", "6 AWG"}, "", table.Beyond, "Table 8, solid has no size 6 AWG: it ends at 8 AWG"},
		{at, "us/nec-2023/ch9-table8", "copper", []string{"woven", "6 AWG"}, "", table.NoRow, `NEC (NFPA 70) 2023, Chapter 9, Table 8 has no stranding "woven"; it has solid, stranded`},
		{at, "us/nec-2023/ch9-table8-note2", "coefficient", []string{"copper"}, "0.00323 1/K", 0, ""},
		{at, "iec/60228/resistance", "copper stranded", []string{"16 mm²"}, "1.15 Ω/km", 0, ""},
		{at, "iec/60228/resistance", "copper stranded", []string{"6 AWG"}, "", table.WrongSystem, "6 AWG is not a metric size"},
		{at, "iec/60364-5-52/capacity", "C", []string{"PVC", "2", "16 mm²"}, "85 A", 0, ""},
		{at, "iec/60364-5-52/capacity", "C", []string{"XLPE", "3", "120 mm²"}, "322 A", 0, ""},
		{at, "iec/60364-5-52/capacity", "C", []string{"PVC", "4", "16 mm²"}, "", table.Beyond, "ends at 3"},
		{upTo, "iec/60364-5-52/ambient", "factor", []string{"PVC", "36 °C"}, "0.87", 0, ""},
		{upTo, "iec/60364-5-52/ambient", "factor", []string{"PVC", "61 °C"}, "", table.Beyond, "PVC ends at 60 °C"},
		{upTo, "iec/60364-5-52/group-bunched", "factor", []string{"10"}, "0.45", 0, ""},
		{upTo, "iec/60364-5-54/k", "k", []string{"core in cable or bunched", "XLPE 90 °C", "copper", "500 mm²"}, "143", 0, ""},
		{upTo, "iec/60364-5-54/k", "k", []string{"separate, not bunched", "PVC 70 °C", "copper", "300 mm²"}, "143", 0, ""},
		{upTo, "iec/60364-5-54/k", "k", []string{"core in cable or bunched", "PVC 70 °C", "copper", "400 mm²"}, "", table.Beyond, "ends at 300 mm²"},
		{upTo, "iec/60364-5-54/k-from-memory", "k", []string{"core in cable or bunched", "PVC 70 °C", "copper", "400 mm²"}, "103", 0, ""},
		{upTo, "iec/60364-5-54/k-from-memory", "k", []string{"core in cable or bunched", "PVC 70 °C", "copper", "16 mm²"}, "", table.NoFigure, "at 300 mm²"},
		{upTo, "iec/60364-5-54/54.2", "share of S", []string{"16 mm²"}, "1", 0, ""},
		{upTo, "iec/60364-5-54/54.2", "size", []string{"25 mm²"}, "16 mm²", 0, ""},
		{upTo, "iec/60364-5-54/54.2", "share of S", []string{"36 mm²"}, "0.5", 0, ""},
		{upTo, "iec/60364-5-54/54.2", "size", []string{"36 mm²"}, "", table.NoFigure, "in its last row"},
		{at, "iec/60364-5-54/54.2", "share of S", []string{"36 mm²"}, "", table.Beyond, "ends at 35 mm²"},
		{upTo, "iec/60364-5-54/bonding", "size", []string{"copper"}, "", table.BadKey, "is a word"},
	} {
		f := get(t, set, c.table)
		look := map[string]func(string, ...table.Key) (quantity.Quantity, error){at: f.At, upTo: f.UpTo, from: f.From}[c.how]
		have, err := look(c.column, keysOf(c.keys)...)
		check(t, have, err, c.want, c.reason, c.message, c.how, c.table, c.keys)
	}
	_, err := set.Get("us/nec-1999/310.16")
	require.EqualError(t, err, `there is no table "us/nec-1999/310.16"`)
}

func check(t *testing.T, have quantity.Quantity, err error, want string, reason table.Reason, message string, names ...any) {
	t.Helper()
	if reason == 0 {
		require.NoError(t, err, names...)
		assert.Equal(t, want, have.String(), names)
		return
	}
	var e *table.Error
	require.ErrorAs(t, err, &e, names...)
	assert.Equal(t, reason, e.Reason, "%v: %v", names, err)
	assert.Contains(t, err.Error(), message, names)
	assert.True(t, have.IsZero(), names)
}

func TestNextAndSmallest(t *testing.T) {
	_, set := shipped(t)
	ratings := get(t, set, "us/nec-2023/240.6")
	older := get(t, set, "us/nec-2020/240.6")
	for _, c := range []struct {
		f                *table.Figures
		device, at, want string
	}{
		{ratings, "breaker", "46 A", "50 A"}, {ratings, "breaker", "50 A", "50 A"}, {ratings, "breaker", "5 A", "10 A"},
		{older, "breaker", "5 A", "15 A"}, {older, "fuse", "7 A", "10 A"}, {ratings, "fuse", "600.5 A", "601 A"},
		{ratings, "breaker", "600.5 A", "700 A"}, {ratings, "breaker", "6001 A", ""}, {ratings, "relay", "5 A", ""},
	} {
		have, err := c.f.NextOf("device", c.device, key(c.at))
		if c.want == "" {
			require.Error(t, err)
			continue
		}
		check(t, have, err, c.want, 0, "")
	}
	have, err := ratings.Next(key("2 A"))
	check(t, have, err, "3 A", 0, "")
	_, err = ratings.NextOf("rating", "breaker", key("2 A"))
	require.Error(t, err)

	eight := get(t, set, "us/nec-2023/ch9-table8")
	have, err = eight.Smallest("area", quantity.MustOf("41740 cmil", ""), table.Word("stranded"))
	check(t, have, err, "4 AWG", 0, "")
	have, err = eight.Smallest("area", quantity.MustOf("41741 cmil", ""), table.Word("stranded"))
	check(t, have, err, "3 AWG", 0, "")
	have, err = eight.Smallest("area", quantity.MustOf("500001 cmil", ""), table.Word("stranded"))
	check(t, have, err, "", table.Beyond, "no size of NEC (NFPA 70) 2023, Chapter 9, Table 8, stranded has area of at least 500001 cmil")
	_, err = eight.Smallest("area", quantity.MustOf("4 A", ""), table.Word("stranded"))
	require.Error(t, err)
	ampacity := get(t, set, "us/nec-2023/310.16")
	have, err = ampacity.Smallest("aluminium 75", quantity.MustOf("10 A", ""))
	check(t, have, err, "12 AWG", 0, "") // aluminium has no figure at 14 AWG
}

// A lookup in the run of a job allocates nothing.
func TestLookupsAllocateNothing(t *testing.T) {
	_, set := shipped(t)
	f, size := get(t, set, "us/nec-2023/310.16"), quantity.MustOf("4/0 AWG", "")
	ambient, warm := get(t, set, "us/nec-2023/310.15-ambient"), quantity.MustOf("41 °C", "")
	current := quantity.MustOf("99.5 A", "")
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		_, _ = f.At("copper 75", table.Quantity(size))
		_, _ = ambient.UpTo("75", table.Quantity(warm))
		_, _ = f.Smallest("copper 75", current)
	}))
}
