package supply

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

func known(text, unit string) quantity.Argument {
	return quantity.Argument{Known: true, Quantity: quantity.MustOf(text, unit)}
}

func word(w string) quantity.Argument { return quantity.Argument{Known: true, Word: w} }

var unknown quantity.Argument

// tables are those the room looks figures up in, with the figures that ship; that
// they are the same is held by the worked examples of testdata/measures.
func tables(t testing.TB) *table.Set {
	t.Helper()
	one := func(name, key, column string, rows ...[]string) table.Table {
		out := table.Table{Name: name, Title: "t", Document: "d", Edition: "e", Clause: "c", Grade: "copy", Reviewed: "2026-11-25", ReviewBy: "2027-11-25",
			Columns: []table.Column{{Name: key, Key: true}, {Name: column, Unit: "ratio"}}}
		for _, r := range rows {
			out.Rows = append(out.Rows, table.Row{Cells: r})
		}
		return out
	}
	set, err := table.NewSet([]table.Table{
		one(busbarTable, "of", "factor", []string{ofSources, "1.25"}, []string{ofBothEnds, "1.2"}),
		one(tripTable, "curve", "multiple", []string{"B", "5"}),
		one(tripTableRecalled, "curve", "multiple", []string{"C", "10"}, []string{"D", "20"}),
		one(residualTable, "device", "multiple", []string{residualDevice, "5"}),
	})
	require.NoError(t, err)
	return set
}

func of(t testing.TB, f quantity.Function, in ...quantity.Argument) (quantity.Quantity, error) {
	t.Helper()
	require.Len(t, in, len(f.Parameters), f.Name)
	return f.Of(in, nil)
}

// Each case with its result in base units, or what is named as absent, or part of
// the reason for refusing.
func TestCases(t *testing.T) {
	s := tables(t)
	const yes, no = quantity.Yes, quantity.No
	for _, c := range []struct {
		name   string
		f      quantity.Function
		in     []quantity.Argument
		want   float64
		absent int // place of the input from 1; 0 for none
		reason string
	}{
		{name: "datasheet above the record", f: OutputCurrent(), in: []quantity.Argument{known("24 A", "A"), known("26 A", "A")}, want: 26},
		{name: "record above the datasheet", f: OutputCurrent(), in: []quantity.Argument{known("30 A", "A"), known("26 A", "A")}, want: 30},
		{name: "datasheet alone", f: OutputCurrent(), in: []quantity.Argument{unknown, known("26 A", "A")}, want: 26},
		{name: "no current at all", f: OutputCurrent(), in: []quantity.Argument{unknown, unknown}, absent: 1},
		{name: "inverter of no current", f: OutputCurrent(), in: []quantity.Argument{known("0 A", "A"), unknown}, reason: "above zero"},

		{name: "generation", f: GenerationCurrent(), in: []quantity.Argument{known("33 A", "A"), word(yes), word(no)}, want: 33},
		{name: "behind an inverter", f: GenerationCurrent(), in: []quantity.Argument{unknown, unknown, word(yes)}, want: 0},
		{name: "never in parallel", f: GenerationCurrent(), in: []quantity.Argument{known("33 A", "A"), word(no), unknown}, want: 0},
		{name: "not known where it feeds", f: GenerationCurrent(), in: []quantity.Argument{unknown, unknown, unknown}, absent: 1},

		{name: "another busbar", f: BusbarCurrent(), in: []quantity.Argument{unknown, word(no)}, want: 0},
		{name: "perhaps another busbar", f: BusbarCurrent(), in: []quantity.Argument{known("26 A", "A"), unknown}, want: 26},
		{name: "this busbar, current not known", f: BusbarCurrent(), in: []quantity.Argument{unknown, word(yes)}, absent: 1},

		{name: "never charges from the grid", f: ChargingCurrent(), in: []quantity.Argument{known("0 A", "A"), known("25 A", "A"), known("26 A", "A")}, want: 0},
		{name: "charging by the datasheet", f: ChargingCurrent(), in: []quantity.Argument{unknown, known("25 A", "A"), known("26 A", "A")}, want: 25},
		{name: "charging not known", f: ChargingCurrent(), in: []quantity.Argument{unknown, unknown, unknown}, absent: 1},

		{name: "no sources", f: BusbarSum(s), in: []quantity.Argument{known("0 A", "A"), known("200 A", "A")}, want: 200},
		{name: "sources below zero", f: BusbarSum(s), in: []quantity.Argument{known("-1 A", "A"), known("200 A", "A")}, reason: "below zero"},
		{name: "no factors", f: BusbarSum(&table.Set{}), in: []quantity.Argument{known("1 A", "A"), known("200 A", "A")}, reason: "there is no table"},
		{name: "no devices", f: NeededRating(s), in: []quantity.Argument{known("280 A", "A"), known("0 A", "A"), known("64 A", "A")}, reason: "above zero"},
		{name: "devices above", f: NeededRating(s), in: []quantity.Argument{known("280 A", "A"), known("300 A", "A"), known("64 A", "A")}, want: 280},
		{name: "devices below", f: NeededRating(s), in: []quantity.Argument{known("280 A", "A"), known("190 A", "A"), known("64 A", "A")}, want: 190},
		{name: "devices of the sources alone", f: NeededRating(s), in: []quantity.Argument{known("280 A", "A"), known("80 A", "A"), known("64 A", "A")}, want: 80},
		{name: "devices less than those of the sources", f: NeededRating(s), in: []quantity.Argument{known("280 A", "A"), known("79.9 A", "A"), known("64 A", "A")}, reason: "less than the devices of the sources"},
		{name: "table of curves missing", f: TripCurrent(&table.Set{}), in: []quantity.Argument{word(circuitBreaker), unknown, word("C"), known("32 A", "A"), unknown}, reason: "there is no table \"" + tripTable},
		{name: "energy behind an inverter that stops", f: IslandEnergy(), in: []quantity.Argument{unknown, word(no)}, want: 0},
		{name: "energy of the island not known", f: IslandEnergy(), in: []quantity.Argument{unknown, word(yes)}, absent: 1},

		{name: "curve B", f: TripCurrent(s), in: []quantity.Argument{word(circuitBreaker), unknown, word("B"), known("32 A", "A"), unknown}, want: 160},
		{name: "curve D", f: TripCurrent(s), in: []quantity.Argument{word(circuitBreaker), unknown, word("D"), known("32 A", "A"), unknown}, want: 640},
		{name: "curve not known", f: TripCurrent(s), in: []quantity.Argument{word(circuitBreaker), unknown, unknown, known("32 A", "A"), unknown}, absent: 3},
		{name: "rating not known", f: TripCurrent(s), in: []quantity.Argument{word(circuitBreaker), unknown, word("C"), unknown, known("30 mA", "A")}, absent: 4},
		{name: "residual current not known", f: TripCurrent(s), in: []quantity.Argument{word(residualDevice), unknown, word("B"), known("32 A", "A"), unknown}, absent: 5},
		{name: "fuse by its rating", f: TripCurrent(s), in: []quantity.Argument{word(fuse), unknown, word("gG"), known("32 A", "A"), unknown}, absent: 2},
		{name: "surge arrester", f: TripCurrent(s), in: []quantity.Argument{word("surge arrester"), known("3 A", "A"), unknown, unknown, unknown}, reason: "cuts off no fault"},

		{name: "all phases alike", f: PhaseImbalance(), in: []quantity.Argument{known("9 A", "A"), known("9 A", "A"), known("9 A", "A"), known("230 V", "V"), known("0 A", "A")}, want: 0},
		{name: "middle phase counts for nothing", f: PhaseImbalance(), in: []quantity.Argument{known("26 A", "A"), known("20 A", "A"), known("6 A", "A"), known("230 V", "V"), known("9 A", "A")}, want: 4600},

		{name: "single-phase on all phases", f: EvenCurrent(), in: []quantity.Argument{known("9 A", "A"), word(singlePhase)}, reason: "record the one phase"},
		{name: "three-phase", f: EvenCurrent(), in: []quantity.Argument{known("9 A", "A"), word("three-phase")}, want: 9},
		{name: "existing storage that goes", f: ExistingCurrent(), in: []quantity.Argument{unknown, word(no)}, want: 0},
		{name: "existing storage of no known current", f: ExistingCurrent(), in: []quantity.Argument{unknown, word(yes)}, absent: 1},
		{name: "existing storage, perhaps to go", f: ExistingCurrent(), in: []quantity.Argument{known("16 A", "A"), unknown}, want: 16},
		{name: "nothing to add", f: SourcesTogether(), in: []quantity.Argument{known("0 A", "A"), known("0", "count"), known("0", "count"), known("0", "count")}, reason: "no inverters, no generation, no existing storage"},
		{name: "one that feeds nothing", f: ChargingTogether(), in: []quantity.Argument{known("0 A", "A"), known("0", "count"), known("1", "count")}, want: 0},
		{name: "smaller main device", f: ServiceRating(), in: []quantity.Argument{known("100 A", "A"), known("80 A", "A")}, want: 80},
		{name: "smaller main fuse", f: ServiceRating(), in: []quantity.Argument{known("63 A", "A"), known("80 A", "A")}, want: 63},
		{name: "service not known", f: ServiceRating(), in: []quantity.Argument{unknown, unknown}, absent: 1},
		{name: "stops with the grid", f: IslandPower(), in: []quantity.Argument{known("5 kW", "W"), word(no)}, want: 0},
		{name: "island power not known", f: IslandPower(), in: []quantity.Argument{unknown, word(yes)}, absent: 1},
		{name: "no export limit", f: ExportPower(), in: []quantity.Argument{unknown, known("6 kW", "W")}, want: 6000},
		{name: "no power", f: ExportPower(), in: []quantity.Argument{unknown, unknown}, absent: 2},
		{name: "within the limit of the inverter", f: GenerationExport(), in: []quantity.Argument{known("8 kW", "W"), unknown, unknown, word(yes)}, want: 0},
		{name: "perhaps within it", f: GenerationExport(), in: []quantity.Argument{known("8 kW", "W"), unknown, unknown, unknown}, want: 8000},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := of(t, c.f, c.in...)
			switch {
			case c.reason != "":
				assert.ErrorContains(t, err, c.reason)
			case c.absent > 0:
				var absent *quantity.Absent
				require.ErrorAs(t, err, &absent)
				assert.Equal(t, c.absent, absent.Input+1)
			default:
				require.NoError(t, err)
				assert.InDelta(t, c.want, got.Base(), 1e-9)
			}
		})
	}
}

// Whoever reads the calculation sees what was assumed and where a figure is from.
func TestSteps(t *testing.T) {
	steps := &quantity.Steps{}
	_, err := BusbarSum(tables(t)).Of([]quantity.Argument{known("64 A", "A"), known("200 A", "A")}, steps)
	require.NoError(t, err)
	require.Len(t, steps.All(), 2)
	assert.Contains(t, steps.All()[0].From, "d e, c")
	assert.Equal(t, "80 A", steps.All()[1].Value.String())
	steps = &quantity.Steps{}
	_, err = BusbarCurrent().Of([]quantity.Argument{known("26 A", "A"), unknown}, steps)
	require.NoError(t, err)
	require.Len(t, steps.All(), 1)
	assert.Contains(t, steps.All()[0].From, "nothing says that it feeds another busbar")
}

// What is uncertain in an input stays uncertain in a sum.
func TestUncertaintyIsKept(t *testing.T) {
	q, err := of(t, TouchVoltage(), known("100 Ω ± 10 %", "Ω"), known("30 mA", "A"))
	require.NoError(t, err)
	assert.InDelta(t, 0.3, q.BaseUncertainty(), 1e-9)
	q, err = of(t, BusbarSum(tables(t)), known("40 A ± 2 A", "A"), known("200 A", "A"))
	require.NoError(t, err)
	assert.InDelta(t, 2.5, q.BaseUncertainty(), 1e-9)
}
