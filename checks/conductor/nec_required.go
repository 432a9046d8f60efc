package conductor

import (
	"math"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

const continuousTable = "us/nec-2023/210.20-continuous"

// ContinuousNEC is the current that device and uncorrected ampacity of a circuit
// are held to, 1.25 · I_cont + I_noncont. A conductor here carries either the one
// or the other. It goes against the ampacity before correction: stacking the 125 %
// on the correction as well, as some published examples do, asks for a conductor
// that the code does not ask for.
//
// Inputs: current; whether it lasts three hours or more (Article 100). Result in A.
func ContinuousNEC(t *table.Set) quantity.Function {
	return quantity.Function{
		Name: "conductor.ContinuousNEC",
		Parameters: []quantity.Parameter{
			{Name: "current", Kind: quantity.Current},
			{Name: "continuous", Kind: quantity.None},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if err := positive("current", in[0].Quantity); err != nil {
				return quantity.Quantity{}, err
			}
			figures, err := t.Get(continuousTable)
			if err != nil {
				return quantity.Quantity{}, err
			}
			load := "not continuous"
			if in[1].Word == quantity.Yes {
				load = "continuous"
			}
			share, err := figures.At("share", table.Word(load))
			if err != nil {
				return quantity.Quantity{}, err
			}
			steps.Value("F_load", share, figures.Cite())
			return quantity.Calculated(share.Base()*in[0].Quantity.Base(), quantity.MustUnit("A"))
		},
	}
}

// StorageAmpacityNEC is the ampacity that a conductor of a storage system needs,
// 706.30(B) since 2020, 706.20(B) in 2017:
//
//	max(I_max, I_n)
//
// I_max is the nameplate current of the stack, charging or discharging, or the
// design current where that is larger (for the input of an inverter its current at
// rated power and lowest voltage, 706.30(A)); for a run that serves several stacks
// together the sum of theirs. I_n is the rating of the device that protects the
// conductor, or else of the one built into the stack. A typed current alone is not
// enough: it is what is to be held against the nameplate. The 125 % of 706.31(B) is on the device alone and reaches the conductor
// through its rating; it is not asked for a second time here.
//
// Inputs, all optional: charge and discharge current of the datasheet (both needed,
// since the one that is missing may be the larger); design current; rating of the
// protecting device; of the built-in device (one of the two is needed); what the
// conductor serves; the stacks of its inverter together (needed instead of charge and
// discharge where it serves several, and then a device of its own). What it serves is
// needed where that decides. Result in A.
func StorageAmpacityNEC() quantity.Function {
	const charge, discharge, design, rating, builtIn, serves, together = 0, 1, 2, 3, 4, 5, 6
	names := []string{"charge current", "discharge current", "design current", "rating of the device", "rating of the built-in device", "what it serves", "current of the stacks together"}
	return quantity.Function{
		Name: "conductor.StorageAmpacityNEC",
		Parameters: []quantity.Parameter{
			{Name: "charge current", Kind: quantity.Current, Optional: true},
			{Name: "discharge current", Kind: quantity.Current, Optional: true},
			{Name: "design current", Kind: quantity.Current, Optional: true},
			{Name: "rating of the device", Kind: quantity.Current, Optional: true},
			{Name: "rating of the built-in device", Kind: quantity.Current, Optional: true},
			{Name: "what it serves", Kind: quantity.None, Optional: true},
			{Name: "current of the stacks together", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			currents := []int{charge, discharge}
			common := in[serves].Word == "several stacks together"
			if common {
				currents = []int{together}
			}
			if err := quantity.Need(in, currents...); err != nil {
				return quantity.Quantity{}, err
			}
			device := rating
			if !common && !in[rating].Known && in[builtIn].Known {
				device = builtIn
				steps.Note("the device built into the stack, since no other one is recorded")
			}
			if err := quantity.Need(in, device); err != nil {
				return quantity.Quantity{}, err
			}
			var required float64
			for _, i := range append(currents, design, device) {
				if !in[i].Known {
					continue
				}
				if err := positive(names[i], in[i].Quantity); err != nil {
					return quantity.Quantity{}, err
				}
				required = math.Max(required, in[i].Quantity.Base())
			}
			if !in[serves].Known && in[together].Known && in[together].Quantity.Base() > required {
				return quantity.Quantity{}, &quantity.Absent{Input: serves}
			}
			return quantity.Calculated(required, quantity.MustUnit("A"))
		},
	}
}
