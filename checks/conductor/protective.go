package conductor

import (
	"fmt"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// ProtectiveTable is the smallest protective conductor by IEC 60364-5-54 Table
// 54.2: as large as the line conductor, a size of its own, or a share of the line,
// by the size of the line. Line conductors in parallel count together.
//
// Inputs: size of the line conductor; its material; conductors in parallel, one
// where not known; material of the protective conductor. Result in mm². Another
// material than the line's and a line in AWG are errors: the calculation by the
// adiabatic equation is open then.
func ProtectiveTable(t *table.Set) quantity.Function {
	const line, lineMaterial, parallel, material = 0, 1, 2, 3
	return quantity.Function{
		Name: "conductor.ProtectiveTable",
		Parameters: []quantity.Parameter{
			{Name: "size of the line conductor", Kind: quantity.Area},
			{Name: "material of the line conductor", Kind: quantity.None},
			{Name: "line conductors in parallel", Kind: quantity.Count, Optional: true},
			{Name: "material", Kind: quantity.None},
		},
		Result: quantity.Area,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			if in[lineMaterial].Word != in[material].Word {
				return quantity.Quantity{}, fmt.Errorf("the line is of %s and the protective conductor of %s: Table 54.2 is for one material", in[lineMaterial].Word, in[material].Word)
			}
			if isAmerican(in[line].Quantity) {
				return quantity.Quantity{}, fmt.Errorf("%s is an American size, and Table 54.2 is in mm²; no size is converted", written(in[line].Quantity))
			}
			area, err := aboveZero("size", in[line])
			if err != nil {
				return quantity.Quantity{}, err
			}
			n, err := sideBySide(in[parallel], steps)
			if err != nil {
				return quantity.Quantity{}, err
			}
			s, err := quantity.Calculated(area*n, quantity.MustUnit("mm²"))
			if err != nil {
				return quantity.Quantity{}, err
			}
			return byLine(t, s, steps)
		},
	}
}

// byLine looks Table 54.2 up: a row has a share of the line or a size.
func byLine(t *table.Set, line quantity.Quantity, steps *quantity.Steps) (quantity.Quantity, error) {
	const name = "iec/60364-5-54/54.2"
	share, err := upTo(t, name, "share of S", "share of S", steps, table.Quantity(line))
	if err != nil {
		return upTo(t, name, "size", "S_PE", steps, table.Quantity(line))
	}
	return quantity.Calculated(share.Base()*line.Base(), quantity.MustUnit("mm²"))
}

// ProtectiveSize is the smallest protective conductor the standard allows: by Table
// 54.2 or by calculation, whichever is smaller, since either is enough (IEC
// 60364-5-54 543.1.1). Where one of them is not known the other one holds.
//
// Inputs: size by the table; size by the adiabatic equation. Result in mm².
func ProtectiveSize() quantity.Function {
	const byTable, calculated = 0, 1
	return quantity.Function{
		Name: "conductor.ProtectiveSize",
		Parameters: []quantity.Parameter{
			{Name: "size by the table", Kind: quantity.Area, Optional: true},
			{Name: "size by the adiabatic equation", Kind: quantity.Area, Optional: true},
		},
		Result: quantity.Area,
		Of: func(in []quantity.Argument, steps *quantity.Steps) (quantity.Quantity, error) {
			a, b := in[byTable], in[calculated]
			switch {
			case !a.Known && !b.Known:
				return quantity.Quantity{}, &quantity.Absent{Input: byTable}
			case a.Known && (!b.Known || quantity.Compare(a.Quantity, b.Quantity) <= 0):
				steps.Note("by Table 54.2; either way is enough")
				return quantity.Calculated(a.Quantity.Base(), quantity.MustUnit("mm²"))
			}
			steps.Note("by the adiabatic equation; either way is enough")
			return quantity.Calculated(b.Quantity.Base(), quantity.MustUnit("mm²"))
		},
	}
}
