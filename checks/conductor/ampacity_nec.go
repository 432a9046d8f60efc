package conductor

import (
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// AmpacityNEC is the current that a conductor may carry all the time by the NEC:
//
//	n · min(I_310.16[insulation column] · F_temp · F_count, I_310.16[terminal column])
//
// The correction begins at the column of the insulation, and the result never
// exceeds that of the terminals (110.14(C), 310.15(A)). Table 310.16 is the one
// for raceway, cable and earth at 30 °C; the larger ampacities in free air
// (310.17) and the tables for 40 °C are not used.
//
// Inputs: size (AWG or kcmil); material; temperature rating of the insulation (60,
// 75 or 90 °C); kind of insulation (optional, for XHHW-2 above a roof); air around
// it; height above a roof in the sun (optional); current-carrying conductors
// together; conductors in parallel (optional); lowest temperature rating of its
// terminals, and how many of them are recorded. Result in A. Errors: a size,
// material, insulation or ambient that the tables do not have; parallel conductors
// too thin for it.
func AmpacityNEC(t *table.Set) quantity.Function {
	return ampacity(t, "conductor.AmpacityNEC", roofTable)
}

// AmpacityNEC2020 is AmpacityNEC by the 2017 and 2020 editions, in which the heat
// of a roof reaches further up.
func AmpacityNEC2020(t *table.Set) quantity.Function {
	return ampacity(t, "conductor.AmpacityNEC2020", roofTable2020)
}

func ampacity(t *table.Set, name, roofs string) quantity.Function {
	const size, material, insulation, kind, ambient, roof, together, parallel, terminal, ends = 0, 1, 2, 3, 4, 5, 6, 7, 8, 9
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "size", Kind: quantity.Area},
			{Name: "material", Kind: quantity.None},
			{Name: "insulation temperature", Kind: quantity.Temperature},
			{Name: "kind of insulation", Kind: quantity.None, Optional: true},
			{Name: "air around it", Kind: quantity.Temperature},
			{Name: "height above a roof", Kind: quantity.Length, Optional: true},
			{Name: "current-carrying conductors together", Kind: quantity.Count},
			{Name: "conductors in parallel", Kind: quantity.Count, Optional: true},
			{Name: "lowest terminal temperature", Kind: quantity.Temperature},
			{Name: "terminals recorded", Kind: quantity.Count},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			run := run{t: t, size: in[size].Quantity, material: in[material].Word, steps: steps}
			if err := run.columns(in[insulation].Quantity, in[terminal].Quantity, in[ends].Quantity); err != nil {
				return quantity.Quantity{}, err
			}
			corrected, err := run.corrected(around{in[ambient].Quantity, in[roof].Quantity, in[kind].Word, roofs}, in[together].Quantity)
			if err != nil {
				return quantity.Quantity{}, err
			}
			atTerminal, err := run.look(run.terminal, "I_terminal")
			if err != nil {
				return quantity.Quantity{}, err
			}
			n, err := parallelConductors(t, in[parallel], run.size, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			return quantity.Calculated(n*math.Min(corrected, atTerminal), quantity.MustUnit("A"))
		},
	}
}

// AmpacityAtTerminalsNEC is the ampacity of a conductor by the column of its
// terminals without correction and adjustment: what the NEC holds 125 % of a
// continuous load against (210.19(A)(1), 215.2(A)(1)), apart from the corrected
// ampacity, which has to carry the load itself. The two are never stacked.
//
// Inputs and errors as far as needed those of AmpacityNEC. Result in A.
func AmpacityAtTerminalsNEC(t *table.Set) quantity.Function {
	const size, material, insulation, parallel, terminal, ends = 0, 1, 2, 3, 4, 5
	return quantity.Function{
		Name: "conductor.AmpacityAtTerminalsNEC",
		Parameters: []quantity.Parameter{
			{Name: "size", Kind: quantity.Area},
			{Name: "material", Kind: quantity.None},
			{Name: "insulation temperature", Kind: quantity.Temperature},
			{Name: "conductors in parallel", Kind: quantity.Count, Optional: true},
			{Name: "lowest terminal temperature", Kind: quantity.Temperature},
			{Name: "terminals recorded", Kind: quantity.Count},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			run := run{t: t, size: in[size].Quantity, material: in[material].Word, steps: steps}
			if err := run.columns(in[insulation].Quantity, in[terminal].Quantity, in[ends].Quantity); err != nil {
				return quantity.Quantity{}, err
			}
			atTerminal, err := run.look(run.terminal, "I_terminal")
			if err != nil {
				return quantity.Quantity{}, err
			}
			n, err := parallelConductors(t, in[parallel], run.size, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			return quantity.Calculated(n*atTerminal, quantity.MustUnit("A"))
		},
	}
}

// run is one run of cable while its ampacity is worked out. The columns are those
// of Table 310.16, as temperatures.
type run struct {
	t                    *table.Set
	size                 quantity.Quantity
	material             string
	insulation, terminal quantity.Quantity
	steps                *quantity.Steps
}

// columns finds the columns for insulation and terminals.
func (r *run) columns(insulation, lowest, ends quantity.Quantity) error {
	if err := positive("size", r.size); err != nil {
		return err
	}
	var err error
	if r.insulation, err = insulationColumn(r.t, insulation); err != nil {
		return err
	}
	if r.terminal, err = terminalColumn(r.t, lowest, ends, r.insulation); err != nil {
		return err
	}
	if r.steps.Wanted() && quantity.Compare(lowest, r.terminal) > 0 && quantity.Compare(r.insulation, r.terminal) > 0 {
		r.steps.Note("the terminals are taken at " + celsius(r.terminal) + ": nothing says that the equipment is listed for more (110.14(C)(1))")
	}
	return nil
}

// look takes the ampacity of one column and says so.
func (r *run) look(column quantity.Quantity, symbol string) (float64, error) {
	q, figures, err := ampacityAt(r.t, r.material, column, r.size)
	if err != nil {
		return 0, err
	}
	if r.steps.Wanted() {
		r.steps.Value(symbol, q, fmt.Sprintf("%s, %s, %s, column %s", figures.Cite(), r.size.Format(r.size.Unit()), r.material, celsius(column)))
	}
	return q.Base(), nil
}

// corrected is the ampacity by the insulation, corrected for the air around it
// and adjusted for the conductors beside it.
func (r *run) corrected(a around, together quantity.Quantity) (float64, error) {
	uncorrected, err := r.look(r.insulation, "I_table")
	if err != nil {
		return 0, err
	}
	air, err := a.air(r.t, r.steps)
	if err != nil {
		return 0, err
	}
	byTemperature, err := temperatureFactor(r.t, air, r.insulation, r.steps)
	if err != nil {
		return 0, err
	}
	byCount, err := countFactor(r.t, together, r.steps)
	if err != nil {
		return 0, err
	}
	return uncorrected * byTemperature * byCount, nil
}
