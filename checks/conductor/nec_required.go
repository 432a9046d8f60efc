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
// design current where that is larger or nothing else is known (for the input of an
// inverter its current at rated power and lowest voltage, 706.30(A)); I_n the rating
// of the device that protects the conductor, or else of the one built into the
// stack. The 125 % of 706.31(B) is on the device alone and reaches the conductor
// through its rating; it is not asked for a second time here.
//
// Inputs, all optional but for one current and one rating: charge and discharge
// current of the datasheet (both or neither: the one that is missing may be the
// larger); design current; rating of the protecting device; of the built-in device.
// Result in A.
func StorageAmpacityNEC() quantity.Function {
	const charge, discharge, design, rating, builtIn = 0, 1, 2, 3, 4
	return quantity.Function{
		Name: "conductor.StorageAmpacityNEC",
		Parameters: []quantity.Parameter{
			{Name: "charge current", Kind: quantity.Current, Optional: true},
			{Name: "discharge current", Kind: quantity.Current, Optional: true},
			{Name: "design current", Kind: quantity.Current, Optional: true},
			{Name: "rating of the device", Kind: quantity.Current, Optional: true},
			{Name: "rating of the built-in device", Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if !in[charge].Known && !in[discharge].Known {
				if err := need(in, design); err != nil {
					return quantity.Quantity{}, err
				}
			} else if err := need(in, charge, discharge); err != nil {
				return quantity.Quantity{}, err
			}
			device := rating
			if !in[rating].Known && in[builtIn].Known {
				device = builtIn
				steps.Note("the device built into the stack, since no other one is recorded")
			}
			if err := need(in, device); err != nil {
				return quantity.Quantity{}, err
			}
			var required float64
			for _, i := range []int{charge, discharge, design, device} {
				if !in[i].Known {
					continue
				}
				if err := positive([]string{"charge current", "discharge current", "design current", "rating of the device", "rating of the built-in device"}[i], in[i].Quantity); err != nil {
					return quantity.Quantity{}, err
				}
				required = math.Max(required, in[i].Quantity.Base())
			}
			return quantity.Calculated(required, quantity.MustUnit("A"))
		},
	}
}
