package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The inputs of CapacityIEC.
const (
	cPhases = iota // what it carries; the phases of run, inverter and supply
	_
	_
	_
	cSize
	cMaterial
	cMethod
	cType
	cInsulation
	cTerminal
	cEnds
	cAmbient
	cGrouped
	cLayer
	cParallel
)

// The tables of current-carrying capacities.
const (
	capacityIECTable   = "iec/60364-5-52/capacity"
	ambientIEC         = "iec/60364-5-52/ambient"
	insulationIECTable = "iec/60364-5-52/52.1"
)

// CapacityIEC is the current a conductor carries by IEC 60364-5-52:
// I_z = I_table · k_T · k_G · p.
//
// Inputs: what it carries, and the phases of the run, its inverter, the supply,
// which tell two loaded conductors from three; size; material; installation
// method; kind and temperature of the insulation, of which one is enough; the
// lowest temperature rating of its terminals, and how many of them are recorded; air around it, taken at the hot end
// of its uncertainty; circuits grouped, and how they lie; conductors in parallel,
// each set of which counts as a circuit. Result in A.
//
// The 90 °C column needs both terminals recorded to take 90 °C (523.1);
// otherwise the conductor may only be as warm as PVC, and is taken from there. A
// size, method, material, insulation or temperature outside of the tables is an
// error. Nothing is extrapolated.
func CapacityIEC(t *table.Set) quantity.Function {
	return quantity.Function{
		Name: "conductor.CapacityIEC",
		Parameters: append(phases(cPhases).parameters(),
			quantity.Parameter{Name: "size", Kind: quantity.Area},
			quantity.Parameter{Name: "material", Kind: quantity.None},
			quantity.Parameter{Name: "installation method", Kind: quantity.None},
			quantity.Parameter{Name: "kind of insulation", Kind: quantity.None, Optional: true},
			quantity.Parameter{Name: "insulation temperature", Kind: quantity.Temperature, Optional: true},
			quantity.Parameter{Name: "terminal temperature", Kind: quantity.Temperature, Optional: true},
			quantity.Parameter{Name: "terminals recorded", Kind: quantity.Count, Optional: true},
			quantity.Parameter{Name: "ambient temperature", Kind: quantity.Temperature},
			quantity.Parameter{Name: "circuits grouped", Kind: quantity.Count},
			quantity.Parameter{Name: "how they lie", Kind: quantity.None, Optional: true},
			quantity.Parameter{Name: "conductors in parallel", Kind: quantity.Count, Optional: true},
		),
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			carried, err := capacityIEC(t, in, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			return quantity.Calculated(carried, quantity.MustUnit("A"))
		},
	}
}

func capacityIEC(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	if err := inTables(in); err != nil {
		return 0, err
	}
	column, hottest, err := columnIEC(t, in, steps)
	if err != nil {
		return 0, err
	}
	loaded, err := phases(cPhases).loaded(in, steps)
	if err != nil {
		return 0, err
	}
	n := quantity.New(quantity.Decimal{Coef: loaded}, quantity.Count.BaseUnit())
	current, err := figure(t, capacityIECTable, in[cMethod].Word, "I_table", steps, table.Word(column), table.Quantity(n), table.Quantity(in[cSize].Quantity))
	if err != nil {
		return 0, err
	}
	ambient, err := ambientFactor(t, in, column, hottest, steps)
	if err != nil {
		return 0, err
	}
	parallel, err := sideBySide(in[cParallel], steps)
	if err != nil {
		return 0, err
	}
	group, err := groupFactor(t, in, parallel, steps)
	if err != nil {
		return 0, err
	}
	return current.Base() * ambient * group * parallel, nil
}

// inTables says what the tables that are held do not cover, and what to do.
func inTables(in []quantity.Argument) error {
	switch method := in[cMethod].Word; {
	case isAmerican(in[cSize].Quantity):
		return fmt.Errorf("%s is an American size and the tables of IEC 60364-5-52 are metric; no size is converted: go by the NEC, or state the size in mm²", written(in[cSize].Quantity))
	case in[cMaterial].Word != Copper:
		return fmt.Errorf("the tables of IEC 60364-5-52 that are held are those of copper, not of %s", in[cMaterial].Word)
	case method == "" || method[0] > 'C':
		return fmt.Errorf("no table of IEC 60364-5-52 is held for installation method %s: A1, A2, B1, B2 and C are", method)
	}
	return nil
}

// ambientFactor is k_T at the hot end of the air's uncertainty.
func ambientFactor(t *table.Set, in []quantity.Argument, column string, hottest quantity.Quantity, steps *quantity.Steps) (float64, error) {
	air := in[cAmbient].Quantity
	if quantity.CompareUpper(air, hottest) >= 0 {
		return 0, fmt.Errorf("the air at %s is as hot as the conductor may be, %s: it carries nothing", written(air), written(hottest))
	}
	if air.HasUncertainty() {
		upper, err := quantity.Calculated(air.Base()+air.BaseUncertainty(), quantity.MustUnit("°C"))
		if err != nil {
			return 0, err
		}
		air = upper
		steps.Value("T_a", air, "the hot end of what was measured")
	}
	k, err := upTo(t, ambientIEC, "factor", "k_T", steps, table.Word(column), table.Quantity(air))
	return k.Base(), err
}
