package stack

import (
	"errors"
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
)

// The inputs of MostModules and FewestModules.
const (
	wArchitecture = iota
	wModule
	wWindow
	wDatasheet
	wSeries
)

// MostModules is the largest number of modules directly in series whose highest
// voltage the inverter stands: floor(U_max / U_high), with the lower of the two
// voltages that job and datasheet state for the inverter, and not above what the
// datasheet of the storage allows in one stack. Never rounded up: 600 V over
// 55.03 V are 10 modules, not 11. Of a voltage with a tolerance the upper end counts.
//
// Inputs: architecture; charge ceiling of a module; highest DC voltage of the
// inverter by the job and by its datasheet (one of the two is needed); most modules
// in one stack by the datasheet. With converters the number does not depend on the
// voltage: only the datasheet's own figure counts, and without it there is an error.
func MostModules() quantity.Function {
	return modulesBy("stack.MostModules", "charge ceiling of a module", math.Min, atMost, 1)
}

// FewestModules is the smallest number of modules directly in series that keeps the
// inverter running down to their cut-off: ceil(U_min / U_low), with the higher of
// the two voltages stated for the inverter (of a cut-off with a tolerance the lower
// end counts), and not below what the datasheet of the
// storage asks for in one stack. Inputs and errors as MostModules, for the lowest
// voltages and the fewest modules.
func FewestModules() quantity.Function {
	return modulesBy("stack.FewestModules", "cut-off voltage of a module", math.Max, atLeast, -1)
}

// atMost is the largest whole number of modules of voltage u that stays within
// limit. A sum that meets the limit exactly is within: floating point must not lose
// a module, so that 6 · 0.1 V fit into 0.6 V.
func atMost(limit quantity.Quantity, u float64) float64 {
	n := math.Floor(limit.Base() / u)
	if next, err := quantity.Calculated((n+1)*u, limit.Unit()); err == nil && quantity.Compare(next, limit) <= 0 {
		return n + 1
	}
	return n
}

// atLeast is the smallest whole number of modules of voltage u that reaches limit.
func atLeast(limit quantity.Quantity, u float64) float64 {
	n := math.Ceil(limit.Base() / u)
	if last, err := quantity.Calculated((n-1)*u, limit.Unit()); err == nil && quantity.Compare(last, limit) >= 0 {
		return n - 1
	}
	return n
}

// modulesBy makes the two: stricter takes the stricter of two limits, fit divides,
// and edge says which edge of the module's voltage counts, 1 the upper and -1 the
// lower one.
func modulesBy(name, module string, stricter func(a, b float64) float64, fit func(quantity.Quantity, float64) float64, edge float64) quantity.Function {
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "architecture", Kind: quantity.None},
			{Name: module, Kind: quantity.Voltage, Optional: true},
			{Name: "DC voltage of the inverter by the job", Kind: quantity.Voltage, Optional: true},
			{Name: "DC voltage of the inverter by its datasheet", Kind: quantity.Voltage, Optional: true},
			{Name: "modules in a stack by the datasheet", Kind: quantity.Count, Optional: true},
		},
		Result: quantity.Count,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			switch in[wArchitecture].Word {
			case ModulesInSeries:
				n, err := byVoltage(in, module, stricter, fit, edge, steps)
				if err != nil {
					return quantity.Quantity{}, err
				}
				if in[wSeries].Known {
					n = stricter(n, in[wSeries].Quantity.Base())
				} else {
					steps.Note("the datasheet states no number of modules for one stack; the voltage alone decides")
				}
				return calculated(n, 0, "count")
			case ConverterPerModule, ConverterPerStack:
				if !in[wSeries].Known {
					return quantity.Quantity{}, errors.New("with converters the voltage does not depend on the number of modules, and the datasheet states no number for one stack")
				}
				steps.Note("with converters the voltage does not depend on the number of modules; the datasheet's number decides")
				return calculated(in[wSeries].Quantity.Base(), 0, "count")
			}
			return quantity.Quantity{}, unknownArchitecture(in[wArchitecture].Word)
		},
	}
}

// byVoltage is the number that the inverter's window allows.
func byVoltage(in []quantity.Argument, module string, stricter func(a, b float64) float64, fit func(quantity.Quantity, float64) float64, edge float64, steps *quantity.Steps) (float64, error) {
	if err := quantity.Need(in, wModule); err != nil {
		return 0, err
	}
	if !in[wDatasheet].Known {
		if err := quantity.Need(in, wWindow); err != nil {
			return 0, err
		}
	}
	u, err := positive(module, in[wModule])
	if err != nil {
		return 0, err
	}
	if band := in[wModule].Quantity.BaseUncertainty(); band > 0 {
		if u += edge * band; u <= 0 {
			return 0, fmt.Errorf("the %s is %s: its tolerance reaches down to zero", module, in[wModule].Quantity)
		}
		steps.Base("U_module", u, "V", "the careful end of the datasheet's tolerance")
	}
	limit, from := in[wWindow], "DC voltage of the inverter by the job alone, since its datasheet states none"
	switch {
	case !limit.Known:
		limit, from = in[wDatasheet], "DC voltage of the inverter by its datasheet alone, since the job states none"
	case in[wDatasheet].Known:
		from = "the stricter of job and datasheet"
		if d := in[wDatasheet]; stricter(d.Quantity.Base(), limit.Quantity.Base()) == d.Quantity.Base() {
			limit = d
		}
	}
	steps.Value("U_inverter", limit.Quantity, from)
	if steps.Wanted() {
		steps.Note(fmt.Sprintf("%.4g modules before taking the whole number on the safe side", limit.Quantity.Base()/u))
	}
	return fit(limit.Quantity, u), nil
}
