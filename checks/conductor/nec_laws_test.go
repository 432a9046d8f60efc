package conductor_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/conductor"
	"witnessmark.example/checks/quantity"
)

// The sizes of Table 310.16, from thin to thick.
var sizes = []string{"14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG", "1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG", "250 kcmil", "300 kcmil", "350 kcmil", "400 kcmil", "500 kcmil"}

// every calls do with every combination of material, insulation and terminal of
// the tables, and a function that gives the ampacity of a size there: 0 where the
// conductor has none.
func every(t *testing.T, do func(name string, ampacity func(size string, air, together int) float64, terminal func(size string) float64)) {
	tables := necTables(t)
	f, at := conductor.AmpacityNEC(tables), conductor.AmpacityAtTerminalsNEC(tables)
	for _, material := range []string{"copper", "aluminium"} {
		for _, insulation := range []string{"60 °C", "75 °C", "90 °C"} {
			for _, end := range []string{"60 °C", "70 °C", "90 °C"} {
				value := func(q quantity.Quantity, err error) float64 {
					if err != nil {
						return 0
					}
					return q.Base()
				}
				do(material+" "+insulation+" "+end, func(size string, air, together int) float64 {
					return value(f.Of(in(t, f, size, material, insulation, "", fmt.Sprintf("%d °C", air), "", fmt.Sprint(together), "", end, "2"), nil))
				}, func(size string) float64 {
					return value(at.Of(in(t, at, size, material, insulation, "", end, "2"), nil))
				})
			}
		}
	}
}

// Hotter air never gives more, nor do more conductors together; a larger size
// never gives less; and nothing ever exceeds the column of the terminals.
func TestLawsOfAmpacity(t *testing.T) {
	rows := 0
	every(t, func(name string, ampacity func(string, int, int) float64, terminal func(string) float64) {
		thinner := 0.0
		for _, size := range sizes {
			hottest := math.Inf(1)
			for air := -5; air <= 95; air++ {
				now := ampacity(size, air, 2)
				assert.LessOrEqual(t, now, hottest, "%s, %s at %d °C", name, size, air)
				assert.LessOrEqual(t, now, terminal(size), "%s, %s at %d °C", name, size, air)
				hottest = now
			}
			assert.Zero(t, hottest, "%s, %s carries nothing at 95 °C", name, size)
			most := math.Inf(1)
			for together := 1; together <= 45; together++ {
				now := ampacity(size, 30, together)
				assert.LessOrEqual(t, now, most, "%s, %s, %d together", name, size, together)
				most = now
			}
			now := ampacity(size, 30, 2)
			assert.GreaterOrEqual(t, now, thinner, "%s, %s", name, size)
			if now > 0 {
				rows++
			}
			thinner = now
		}
	})
	assert.Equal(t, 9*(len(sizes)+len(sizes)-1), rows, "every row of the table is reached, 14 AWG in copper only")
}

// A larger ampacity never has a smaller device, whatever the edition and the
// circuit; below 800 A the device is never below the ampacity, and on a circuit of
// several socket outlets never above it.
func TestLawsOfTheDevice(t *testing.T) {
	tables := necTables(t)
	for _, f := range []quantity.Function{conductor.DeviceMostNEC2023(tables), conductor.DeviceMostNEC2020(tables)} {
		for _, kind := range []string{"fuse", "circuit-breaker"} {
			for _, outlets := range []string{"true", "false"} {
				smaller := 0.0
				for a := 16; a < 7000; a++ {
					q, err := f.Of(in(t, f, fmt.Sprintf("%d A", a), kind, "ac", outlets, "4 AWG", "copper"), nil)
					require.NoError(t, err)
					assert.GreaterOrEqual(t, q.Base(), smaller, "%s, %s, %d A", f.Name, kind, a)
					if smaller = q.Base(); outlets == "true" || a > 800 {
						assert.LessOrEqual(t, q.Base(), float64(a), "%s, %s, %d A", f.Name, kind, a)
					} else {
						assert.GreaterOrEqual(t, q.Base(), float64(a), "%s, %s, %d A", f.Name, kind, a)
					}
				}
			}
		}
	}
}

// A larger device never has a smaller grounding conductor, nor does a circuit that
// was enlarged further; and it is never larger than the circuit conductors.
func TestLawsOfGrounding(t *testing.T) {
	tables := necTables(t)
	for _, f := range []quantity.Function{conductor.EquipmentGroundingNEC2023(tables), conductor.EquipmentGroundingNEC2017(tables)} {
		area := func(rating int, laid, needed string) float64 {
			q, err := f.Of(in(t, f, "copper", fmt.Sprintf("%d A", rating), laid, needed, "copper", ""), nil)
			require.NoError(t, err)
			return q.Base()
		}
		for i, needed := range sizes {
			smaller := 0.0
			for _, laid := range sizes[i:] {
				now := area(40, laid, needed)
				assert.GreaterOrEqual(t, now, smaller, "%s, %s for %s", f.Name, laid, needed)
				assert.LessOrEqual(t, now, quantity.MustOf(laid, "mm²").Base(), "%s, %s for %s", f.Name, laid, needed)
				smaller = now
			}
		}
		smaller := 0.0
		for rating := 1; rating <= 6000; rating += 7 {
			now := area(rating, "500 kcmil", "500 kcmil")
			assert.GreaterOrEqual(t, now, smaller, "%s, %d A", f.Name, rating)
			smaller = now
		}
	}
}

// A thicker conductor supplied never has a thinner electrode conductor, and what is
// enough at an electrode never asks for more.
func TestLawsOfTheElectrodeConductor(t *testing.T) {
	f := conductor.ElectrodeConductorNEC(necTables(t))
	for _, material := range []string{"copper", "aluminium"} {
		smaller := map[string]float64{}
		for _, size := range sizes {
			for _, electrode := range []string{"", "rod", "pipe", "plate", "concrete-encased", "ring", "foundation", "none"} {
				q, err := f.Of(in(t, f, material, size, electrode), nil)
				require.NoError(t, err)
				assert.GreaterOrEqual(t, q.Base(), smaller[electrode], "%s %s %s", material, size, electrode)
				smaller[electrode] = q.Base()
				assert.LessOrEqual(t, q.Base(), smaller[""], "%s %s %s", material, size, electrode)
			}
		}
	}
}

// Whatever is written, no calculation panics or lets NaN and infinities out.
func FuzzNEC(f *testing.F) {
	tables := necTables(f)
	functions := []quantity.Function{
		conductor.AmpacityNEC(tables), conductor.AmpacityAtTerminalsNEC(tables), conductor.ContinuousNEC(tables), conductor.StorageAmpacityNEC(),
		conductor.DeviceMostNEC2023(tables), conductor.DeviceMostNEC2020(tables), conductor.StandardRatingNEC2023(tables), conductor.StandardRatingNEC2020(tables),
		conductor.EquipmentGroundingNEC2023(tables), conductor.EquipmentGroundingNEC2017(tables), conductor.ElectrodeConductorNEC(tables),
	}
	words := []string{"copper", "aluminium", "copper-clad aluminium", "fuse", "circuit-breaker", "dc", "ac", "true", "false", "rod", "XHHW-2", ""}
	for _, seed := range []float64{0, 1, -1, 1e300, 1e-300, 300.15, 323.15, 348.15, 2.08e-6, 5.26e-6, 63} {
		f.Add(seed, seed, uint8(0), uint16(0))
		f.Add(seed, 348.15, uint8(3), uint16(0xffff))
	}
	f.Fuzz(func(t *testing.T, a, b float64, word uint8, known uint16) {
		for _, function := range functions {
			args := make([]quantity.Argument, len(function.Parameters))
			for i, p := range function.Parameters {
				if p.Optional && known&(1<<i) == 0 {
					continue
				}
				args[i] = quantity.Argument{Known: true, Word: words[(int(word)+i)%len(words)]}
				if p.Kind != quantity.None {
					q, err := quantity.Calculated([]float64{a, b}[i%2], p.Kind.BaseUnit())
					if err != nil {
						return
					}
					args[i] = quantity.Argument{Known: true, Quantity: q}
				}
			}
			q, err := function.Of(args, &quantity.Steps{})
			if err != nil {
				assert.NotEmpty(t, err.Error())
				continue
			}
			assert.False(t, math.IsNaN(q.Base()) || math.IsInf(q.Base(), 0), "%s gives %v", function.Name, q)
			assert.Positive(t, q.Base(), function.Name)
		}
	})
}
