package conductor

import "witnessmark.example/checks/quantity"

// Capacity is the current a conductor carries by the practice its size belongs to:
// the NEC for AWG and kcmil, IEC 60364-5-52 for mm². No size is converted.
//
// Inputs: size; ampacity by the NEC; capacity by IEC 60364-5-52, of which the one
// of its size is needed. Result in A.
func Capacity() quantity.Function {
	return bySystem("conductor.Capacity", "ampacity by the NEC", "capacity by IEC 60364-5-52")
}

// DeviceMost is the largest rating of a device that protects a conductor by the
// practice its size belongs to: 240.4 of the NEC for AWG and kcmil, for mm² its
// capacity by IEC 60364-5-52 (60364-4-43 433.1). No size is converted.
//
// Inputs: size; largest device by the NEC; capacity by IEC 60364-5-52, of which the
// one of its size is needed. Result in A.
func DeviceMost() quantity.Function {
	return bySystem("conductor.DeviceMost", "largest device by the NEC", "capacity by IEC 60364-5-52")
}

// bySystem takes one of two currents by the system that the size belongs to.
func bySystem(name, american, metric string) quantity.Function {
	const size, nec, iec = 0, 1, 2
	return quantity.Function{
		Name: name,
		Parameters: []quantity.Parameter{
			{Name: "size", Kind: quantity.Area},
			{Name: american, Kind: quantity.Current, Optional: true},
			{Name: metric, Kind: quantity.Current, Optional: true},
		},
		Result: quantity.Current,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			by := iec
			if isAmerican(in[size].Quantity) {
				by = nec
			}
			if !in[by].Known {
				return quantity.Quantity{}, &quantity.Absent{Input: by}
			}
			if by == nec {
				steps.Note("an American size: by the NEC")
			} else {
				steps.Note("a metric size: by IEC 60364-5-52")
			}
			return quantity.Calculated(in[by].Quantity.Base(), quantity.MustUnit("A"))
		},
	}
}
