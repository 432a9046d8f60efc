package quantity

import "math/big"

// wireSize is one American Wire Gauge size. Sizes are numbered as the trade
// counts on below 1 AWG: 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3.
type wireSize struct {
	number int64
	name   string
	cmil   int64 // area in circular mils
}

// wireSizes runs from thin to thick. Areas are those of the printed table, not
// of the gauge formula, because installers and inspectors go by the table.
// Source: NEC 2023, chapter 9, table 8, circular mils column, from public
// reprints (https://voltdropcalc.com/nec-chapter-9-table-8/ for 14 to 4/0);
// 18 and 16 AWG from memory.
var wireSizes = [...]wireSize{
	{18, "18", 1620}, {16, "16", 2580}, {14, "14", 4110}, {12, "12", 6530},
	{10, "10", 10380}, {8, "8", 16510}, {6, "6", 26240}, {4, "4", 41740},
	{3, "3", 52620}, {2, "2", 66360}, {1, "1", 83690}, {0, "1/0", 105600},
	{-1, "2/0", 133100}, {-2, "3/0", 167800}, {-3, "4/0", 211600},
}

// sizeByNumber finds a size of the table.
func sizeByNumber(d Decimal) (wireSize, bool) {
	if d.Exp != 0 {
		return wireSize{}, false
	}
	for _, size := range wireSizes {
		if size.number == d.Coef {
			return size, true
		}
	}
	return wireSize{}, false
}

// neighbourSizes names the sizes around a number that is not in the table.
func neighbourSizes(number float64) []string {
	first, last := wireSizes[0], wireSizes[len(wireSizes)-1]
	if number > float64(first.number) {
		return []string{first.name + " AWG"}
	}
	if number < float64(last.number) {
		return []string{last.name + " AWG", "250 kcmil"}
	}
	for i := 1; i < len(wireSizes); i++ {
		if number > float64(wireSizes[i].number) {
			return []string{wireSizes[i].name + " AWG", wireSizes[i-1].name + " AWG"}
		}
	}
	return nil
}

// area gives the size's area in m²; one circular mil is the area of a circle
// one thousandth of an inch across.
func (s wireSize) area() float64 {
	return float64(s.cmil) * table.circularMil.row().factor
}

// exactArea is area as a rational.
func (s wireSize) exactArea() *big.Rat {
	area := new(big.Rat).SetInt64(s.cmil)
	return area.Mul(area, table.circularMil.row().exact)
}
