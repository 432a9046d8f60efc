package conductor

import (
	"errors"
	"fmt"
	"math"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The inputs of the adiabatic equation.
const (
	aMaterial   = iota
	aSize       // of the conductor itself: k of thick ones is smaller
	aType       // kind of insulation
	aInsulation // its temperature
	aFault
	aTime
	aLetThrough
	aEnd // inputs of one function only begin here
)

func adiabaticParameters() []quantity.Parameter {
	return []quantity.Parameter{
		{Name: "material", Kind: quantity.None},
		{Name: "size", Kind: quantity.Area},
		{Name: "kind of insulation", Kind: quantity.None},
		{Name: "insulation temperature", Kind: quantity.Temperature, Optional: true},
		{Name: "fault current", Kind: quantity.Current, Optional: true},
		{Name: "clearing time", Kind: quantity.Duration, Optional: true},
		{Name: "let-through energy", Kind: quantity.LetThrough, Optional: true},
	}
}

// FaultSize is the smallest section of a live conductor that stands the fault
// until its device has cleared it: S = I·√t/k (IEC 60364-4-43 434.5.2), k outside
// the root. It holds up to 5 s, within which no heat leaves the conductor; below
// 0.1 s the current is not the steady one, and the energy the device lets through
// takes the place of I²·t.
//
// Inputs: material; size; kind and temperature of the insulation; fault current,
// clearing time and let-through energy of the device that protects it. Result in
// mm². k is that of a core in a cable: a live conductor is at its working
// temperature when the fault comes, wherever it lies.
func FaultSize(t *table.Set) quantity.Function {
	return quantity.Function{
		Name:       "conductor.FaultSize",
		Parameters: adiabaticParameters(),
		Result:     quantity.Area,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if in[aType].Word == bare {
				return quantity.Quantity{}, errors.New("no factor k is held for live conductors without insulation")
			}
			return adiabatic(t, in, fault{in[aFault], in[aTime], in[aLetThrough]}, inCable, steps)
		},
	}
}

// ProtectiveAdiabatic is the same for a protective conductor (IEC 60364-5-54
// 543.1.2). What counts is the device that clears the fault of the live conductor
// it goes with; one that is recorded for the protective conductor itself goes
// before that.
//
// Inputs: as FaultSize, the device being its own; core of the same cable; how it
// lies beside other cables; fault current, clearing time and let-through energy of the
// live conductor's device. A conductor that is not known to lie by itself counts
// as a core in a cable, whose k is the smaller one. Result in mm².
func ProtectiveAdiabatic(t *table.Set) quantity.Function {
	const sameCable, lies, current, time, energy = aEnd, aEnd + 1, aEnd + 2, aEnd + 3, aEnd + 4
	return quantity.Function{
		Name: "conductor.ProtectiveAdiabatic",
		Parameters: append(adiabaticParameters(),
			quantity.Parameter{Name: "core of the same cable", Kind: quantity.None, Optional: true},
			quantity.Parameter{Name: "how it lies", Kind: quantity.None, Optional: true},
			quantity.Parameter{Name: "fault current of the live conductor", Kind: quantity.Current, Optional: true},
			quantity.Parameter{Name: "clearing time of the live conductor", Kind: quantity.Duration, Optional: true},
			quantity.Parameter{Name: "let-through energy of the live conductor", Kind: quantity.LetThrough, Optional: true},
		),
		Result: quantity.Area,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			device := fault{in[aFault], in[aTime], in[aLetThrough]}
			if !device.current.Known && !device.time.Known {
				device = fault{in[current], in[time], in[energy]}
			}
			q, err := adiabatic(t, in, device, installation(in[aType], in[sameCable], in[lies], steps), steps)
			var absent *quantity.Absent
			if errors.As(err, &absent) && !in[aFault].Known && !in[aTime].Known {
				err = &quantity.Absent{Input: absent.Input - aFault + current}
			}
			return q, err
		},
	}
}

// fault is what a conductor has to stand.
type fault struct{ current, time, energy quantity.Argument }

// adiabatic is S = √(I²·t)/k. Of what is absent it names the own device's input.
func adiabatic(t *table.Set, in []quantity.Argument, f fault, installed string, steps *quantity.Steps) (quantity.Quantity, error) {
	energy, err := f.joule(t, steps)
	if err != nil {
		return quantity.Quantity{}, err
	}
	k, err := factorK(t, in, installed, steps)
	if err != nil {
		return quantity.Quantity{}, err
	}
	// k is in A·√s/mm², so the result is a number of mm².
	return quantity.CalculatedIn(math.Sqrt(energy)/k.Base(), quantity.MustUnit("mm²"))
}

// joule is I²·t, or the energy the device lets through where it is faster than the
// equation holds.
func (f fault) joule(t *table.Set, steps *quantity.Steps) (float64, error) {
	switch {
	case !f.time.Known:
		return 0, &quantity.Absent{Input: aTime}
	case !(f.time.Quantity.Base() > 0):
		return 0, fmt.Errorf("a clearing time of %s is none", written(f.time.Quantity))
	}
	longest, err := figure(t, validity, "time", "t_max", steps, table.Word("longest"))
	if err != nil {
		return 0, err
	}
	shortest, err := figure(t, validity, "time", "t_min", steps, table.Word("shortest"))
	if err != nil {
		return 0, err
	}
	switch {
	case quantity.Compare(f.time.Quantity, longest) > 0:
		return 0, fmt.Errorf("the fault lasts %s, and the adiabatic equation holds up to %s: heat leaves the conductor by then", written(f.time.Quantity), written(longest))
	case quantity.Compare(f.time.Quantity, shortest) < 0 && !f.energy.Known:
		return 0, &quantity.Absent{Input: aLetThrough}
	case quantity.Compare(f.time.Quantity, shortest) < 0:
		steps.Note("cleared faster than the equation holds: the energy the device lets through instead of I²·t")
		return aboveZero("let-through energy", f.energy)
	case !f.current.Known:
		return 0, &quantity.Absent{Input: aFault}
	}
	i, err := aboveZero("fault current", f.current)
	return i * i * f.time.Quantity.Base(), err
}
