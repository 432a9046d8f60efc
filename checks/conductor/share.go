package conductor

import (
	"errors"
	"math"

	"witnessmark.example/checks/quantity"
)

// The inputs of DropShare.
const (
	sPhases = iota // what it carries; the phases of run, inverter and supply
	_
	_
	sSupplyPhases
	sDrop
	sVoltage
	sStack
	sSupply
)

// DropShare is the drop of one run as a share of the voltage of its circuit: dU/U.
// For direct current that is the lowest voltage of the stack, where the same power
// takes the most current and the share is the largest; of the voltage recorded for
// the run it takes the lower of the two. For alternating current it is the voltage
// recorded for the run, otherwise that of the supply, which for a single-phase run
// of a three-phase supply is taken between line and neutral (U/√3), and of a
// split-phase one as half: the careful side.
//
// Inputs: what it carries; phases of the run, its inverter, the supply; drop;
// voltage of the run; lowest voltage of the stack; voltage of the supply. Result
// in %.
func DropShare() quantity.Function {
	return quantity.Function{
		Name: "conductor.DropShare",
		Parameters: append(phases(sPhases).parameters(),
			quantity.Parameter{Name: "drop", Kind: quantity.Voltage},
			quantity.Parameter{Name: "voltage of the run", Kind: quantity.Voltage, Optional: true},
			quantity.Parameter{Name: "lowest voltage of the stack", Kind: quantity.Voltage, Optional: true},
			quantity.Parameter{Name: "voltage of the supply", Kind: quantity.Voltage, Optional: true},
		),
		Result: quantity.Ratio,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			word, err := phases(sPhases).of(in, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			u, err := circuitVoltage(word, in, steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Base("U", u, "V", "voltage the drop is a share of")
			return quantity.Calculated(in[sDrop].Quantity.Base()/u, quantity.MustUnit("%"))
		},
	}
}

func circuitVoltage(word string, in []quantity.Argument, steps *quantity.Steps) (float64, error) {
	own, stack := in[sVoltage], in[sStack]
	switch {
	case word == direct && stack.Known:
		u, err := aboveZero("voltage", stack)
		if err != nil || !own.Known {
			return u, err
		}
		v, err := aboveZero("voltage", own)
		return math.Min(u, v), err
	case own.Known:
		return aboveZero("voltage", own)
	case word == direct:
		return 0, &quantity.Absent{Input: sStack}
	case !in[sSupply].Known:
		return 0, &quantity.Absent{Input: sSupply}
	}
	u, err := aboveZero("voltage", in[sSupply])
	if err != nil {
		return 0, err
	}
	return betweenConductors(u, word, in[sSupplyPhases], steps)
}

// betweenConductors is the voltage of a circuit with fewer phases than its supply.
func betweenConductors(u float64, word string, supply quantity.Argument, steps *quantity.Steps) (float64, error) {
	switch {
	case !supply.Known:
		return 0, &quantity.Absent{Input: sSupplyPhases}
	case supply.Word == word:
		return u, nil
	case supply.Word == threePhase && word == singlePhase:
		steps.Note("single-phase on a three-phase supply: between line and neutral, U/√3, since no voltage of the run is recorded")
		return u / math.Sqrt(3), nil
	case supply.Word == splitPhase && word == singlePhase:
		steps.Note("single-phase on a split-phase supply: half of its voltage, since no voltage of the run is recorded")
		return u / 2, nil
	}
	return 0, &quantity.Absent{Input: sVoltage}
}

// Together is the drop of all runs of one kind end to end: their shares added up.
// With no run recorded there is none, rather than a drop of nothing.
//
// Inputs: the shares added up; number of runs. Result in %.
func Together() quantity.Function {
	return quantity.Function{
		Name:       "conductor.Together",
		Parameters: []quantity.Parameter{{Name: "sum of the shares", Kind: quantity.Ratio}, {Name: "runs", Kind: quantity.Count}},
		Result:     quantity.Ratio,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			if !(in[1].Quantity.Base() > 0) {
				return quantity.Quantity{}, errors.New("no run of cable of that kind is recorded for it, so what is lost in them is not known")
			}
			return quantity.Calculated(in[0].Quantity.Base(), quantity.MustUnit("%"))
		},
	}
}

// CommonShare is the drop of DC cables that serve several stacks as a share of the
// lowest voltage of these, where the same power takes the most current: dU / U.
//
// Inputs: drop of the cables; lowest voltage of the stacks, above zero. Result in %.
func CommonShare() quantity.Function {
	return quantity.Function{
		Name:       "conductor.CommonShare",
		Parameters: []quantity.Parameter{{Name: "drop", Kind: quantity.Voltage}, {Name: "lowest voltage of the stacks", Kind: quantity.Voltage}},
		Result:     quantity.Ratio,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			u, err := aboveZero("lowest voltage of the stacks", in[1])
			if err != nil {
				return quantity.Quantity{}, err
			}
			return quantity.Calculated(in[0].Quantity.Base()/u, quantity.MustUnit("%"))
		},
	}
}

// EndToEnd is what is lost in all cables between storage and supply: the shares of the
// DC and the AC side added up (drops in series add up; common practice, no source).
//
// Inputs: largest share of a stack's own DC cables; share of the DC cables of several
// stacks; share of the AC cables. Result in %.
func EndToEnd() quantity.Function {
	share := func(name string) quantity.Parameter { return quantity.Parameter{Name: name, Kind: quantity.Ratio} }
	return quantity.Function{
		Name:       "conductor.EndToEnd",
		Parameters: []quantity.Parameter{share("share of the stack's DC cables"), share("share of common DC cables"), share("share of the AC cables")},
		Result:     quantity.Ratio,
		Of: func(in []quantity.Argument, _ *quantity.Steps) (quantity.Quantity, error) {
			return quantity.Calculated(in[0].Quantity.Base()+in[1].Quantity.Base()+in[2].Quantity.Base(), quantity.MustUnit("%"))
		},
	}
}
