package conductor

import (
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The inputs of Drop and, up to the parallel conductors, of DropPower.
const (
	dPhases = iota // what it carries; the phases of run, inverter and supply
	_
	_
	_
	dCurrent
	dLength
	dResistance
	dParallel
	dSize
	dPower
	dReactance
)

func liveParameters() []quantity.Parameter {
	return append(phases(dPhases).parameters(),
		quantity.Parameter{Name: "current", Kind: quantity.Current},
		quantity.Parameter{Name: "length", Kind: quantity.Length},
		quantity.Parameter{Name: "resistance", Kind: quantity.ResistancePerLength},
		quantity.Parameter{Name: "conductors in parallel", Kind: quantity.Count, Optional: true},
	)
}

// circuit is the one-way drop of a run for each unit of impedance: its current times
// its length, shared by the conductors in parallel.
type circuit struct {
	phases                              string
	current, length, resistance, shared float64
}

func circuitOf(in []quantity.Argument, steps *quantity.Steps) (r circuit, err error) {
	if r.phases, err = phases(dPhases).of(in, steps); err != nil {
		return r, err
	}
	if r.current, err = aboveZero("current", in[dCurrent]); err != nil {
		return r, err
	}
	if r.length, err = aboveZero("length", in[dLength]); err != nil {
		return r, err
	}
	if r.resistance, err = aboveZero("resistance", in[dResistance]); err != nil {
		return r, err
	}
	r.shared, err = sideBySide(in[dParallel], steps)
	return r, err
}

// ways is how often the one-way drop counts between the conductors of the load:
// there and back, or √3 of a balanced three-phase load. In a split-phase circuit it
// is there and back between the two lines.
func (r *circuit) ways() (float64, error) {
	switch r.phases {
	case direct, singlePhase, splitPhase:
		return 2, nil
	case threePhase:
		return math.Sqrt(3), nil
	}
	return 0, fmt.Errorf("the phases %q are not known", r.phases)
}

// Drop is the voltage lost in one run: 2·L·I·R'/p of direct current,
// 2·L·I·(R'·cos φ + X'·sin φ)/p single- and split-phase, √3 instead of 2
// three-phase, between the conductors of the load (formulas of the trade; mV/A/m
// tables already hold the factor 2 or √3). It is the same for either direction of
// the current: from an inverter to the supply it is a rise.
//
// Inputs: what it carries; phases of the run, its inverter, the supply; current;
// length one way; resistance per length; conductors in parallel; size; power
// factor; reactance per length. Result in V.
//
// The reactance is not needed for direct current and not up to the sizes of the
// table practice/reactance, where the resistance alone is taken and the power
// factor lowers nothing: the careful side. With a reactance but no power factor the
// whole impedance is taken, the largest it may be.
func Drop(t *table.Set) quantity.Function {
	return quantity.Function{
		Name: "conductor.Drop",
		Parameters: append(liveParameters(),
			quantity.Parameter{Name: "size", Kind: quantity.Area},
			quantity.Parameter{Name: "power factor", Kind: quantity.Ratio, Optional: true},
			quantity.Parameter{Name: "reactance", Kind: quantity.ResistancePerLength, Optional: true},
		),
		Result: quantity.Voltage,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			r, err := circuitOf(in, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			z, err := r.impedance(t, in, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Base("Z'", z, "Ω/km", "what counts of resistance and reactance")
			n, err := r.ways()
			if err != nil {
				return quantity.Quantity{}, err
			}
			return quantity.Calculated(n*r.length*r.current*z/r.shared, quantity.MustUnit("V"))
		},
	}
}

// impedance is R'·cos φ + X'·sin φ, or what stands for it on the careful side.
func (r *circuit) impedance(t *table.Set, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	if r.phases == direct {
		return r.resistance, nil
	}
	if !in[dReactance].Known {
		return r.resistance, withoutReactance(t, in, steps)
	}
	x := in[dReactance].Quantity.Base()
	if !(x >= 0) {
		return 0, fmt.Errorf("a reactance of %s is none of a cable", written(in[dReactance].Quantity))
	}
	if !in[dPower].Known {
		steps.Note("power factor not recorded: the whole impedance, the largest it may be")
		return math.Hypot(r.resistance, x), nil
	}
	cos := in[dPower].Quantity.Base()
	if !(cos > 0 && cos <= 1) {
		return 0, fmt.Errorf("a power factor of %s is none: it lies above 0 and up to 1", written(in[dPower].Quantity))
	}
	return r.resistance*cos + x*math.Sqrt(1-cos*cos), nil
}

// withoutReactance tells whether a run of this size may do without.
func withoutReactance(t *table.Set, in []quantity.Argument, steps *quantity.Steps) error {
	system := "metric"
	if isAmerican(in[dSize].Quantity) {
		system = "AWG"
	}
	largest, err := figure(t, "practice/reactance", "up to", "S_X", steps, table.Word(system))
	if err != nil {
		return err
	}
	if quantity.Compare(in[dSize].Quantity, largest) > 0 {
		return &quantity.Absent{Input: dReactance}
	}
	steps.Note("reactance not recorded and neglected at this size; the resistance in full, whatever the power factor")
	return nil
}

// DropPower is the heat of one run: 2·L·I²·R'/p of direct current, single- and
// split-phase, 3·L·I²·R'/p three-phase (I²·R of each conductor; a neutral without
// current adds nothing).
//
// Inputs: as Drop, up to the conductors in parallel. Result in W.
func DropPower() quantity.Function {
	return quantity.Function{
		Name:       "conductor.DropPower",
		Parameters: liveParameters(),
		Result:     quantity.Power,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			r, err := circuitOf(in, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			n := float64(2)
			if r.phases == threePhase {
				n = 3
			}
			return quantity.Calculated(n*r.length*r.current*r.current*r.resistance/r.shared, quantity.MustUnit("W"))
		},
	}
}
