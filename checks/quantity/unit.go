package quantity

import (
	"fmt"
	"math/big"
	"strings"
)

// Unit is one unit of the table: a small value, comparable with ==. The zero
// value means no unit.
type Unit struct{ id uint8 }

// row is one unit ready for use. The rationals are shared and only read.
type row struct {
	symbol      string
	kind        Kind
	system      System
	factor      float64  // base units in one of this unit
	over, under float64  // factor as over/under where both are exact floats, else factor/1
	offset      float64  // added to the number before the factor; °C and °F only
	exact       *big.Rat // factor, exactly
	exactOffset *big.Rat // offset, exactly; nil for none
	spellings   []string
}

// unitTable is built once from definitions and not changed afterwards.
type unitTable struct {
	rows  []row // rows[0] is the zero Unit
	index map[string]Unit
	base  [kindEnd]Unit

	// units the code treats by name
	inch, foot, circularMil, squareMillimetre, percent, deltaF, poundForce, gravity Unit
}

var table = buildTable()

// Offsets by symbol: NIST SP 811 (2008), appendix B.8: T/K = t/°C + 273.15 and
// T/K = (t/°F + 459.67)/1.8.
const (
	celsiusOffset    = "273.15"
	fahrenheitOffset = "459.67"
)

// Symbols that the code treats by name.
const (
	awgSymbol        = "AWG"
	celsiusSymbol    = "°C"
	fahrenheitSymbol = "°F"
	deltaFSymbol     = "Δ°F"
	kelvinSymbol     = "K"
)

// buildTable prepares the table. A malformed definition is a broken build,
// which every test of this package shows, so it panics.
func buildTable() *unitTable {
	t := &unitTable{rows: make([]row, 1, len(definitions)+1), index: make(map[string]Unit, 3*len(definitions))}
	if len(definitions) > 255 {
		panic("quantity: more units than a Unit can number")
	}
	for _, d := range definitions {
		exact, err := exactFactor(d.factor)
		if err != nil {
			panic("quantity: unit " + d.symbol + ": " + err.Error())
		}
		u := Unit{uint8(len(t.rows))}
		r := row{symbol: d.symbol, kind: d.kind, system: d.system, exact: exact}
		r.factor, _ = exact.Float64()
		r.over, r.under = floatRatio(exact)
		switch d.symbol {
		case celsiusSymbol:
			r.exactOffset, _ = new(big.Rat).SetString(celsiusOffset)
		case fahrenheitSymbol:
			r.exactOffset, _ = new(big.Rat).SetString(fahrenheitOffset)
		}
		if r.exactOffset != nil {
			r.offset, _ = r.exactOffset.Float64()
		}
		r.spellings = append(r.spellings, d.symbol)
		if d.spellings != "" {
			r.spellings = append(r.spellings, strings.Split(d.spellings, "|")...)
		}
		if t.base[d.kind] == (Unit{}) {
			t.base[d.kind] = u
		}
		t.rows = append(t.rows, r)
		t.addSpellings(u)
	}
	t.nameUnits()
	return t
}

// nameUnits looks up the units the code treats by name.
func (t *unitTable) nameUnits() {
	for key, u := range map[string]*Unit{
		"in": &t.inch, "ft": &t.foot, "cmil": &t.circularMil, "mm2": &t.squareMillimetre,
		"%": &t.percent, "deltadegF": &t.deltaF, "lbf": &t.poundForce, "g_n": &t.gravity,
	} {
		if *u = t.index[key]; u.id == 0 {
			panic("quantity: no unit " + key)
		}
	}
}

// floatRatio splits a factor so that the common ones, such as 1/1000, cost no
// rounding of their own: 35 % is then 0.35 and not 0.35000000000000003.
func floatRatio(factor *big.Rat) (over, under float64) {
	const exactBits = 53
	if factor.Num().BitLen() > exactBits || factor.Denom().BitLen() > exactBits {
		nearest, _ := factor.Float64()
		return nearest, 1
	}
	over, _ = new(big.Float).SetInt(factor.Num()).Float64()
	under, _ = new(big.Float).SetInt(factor.Denom()).Float64()
	return over, under
}

// toBase turns a number of this unit into base units, as a difference: the
// offset plays no part.
func (r *row) toBase(number float64) float64 { return number * r.over / r.under }

// fromBase is the way back.
func (r *row) fromBase(base float64) float64 { return base * r.under / r.over }

// addSpellings enters one unit's spellings in the index. The plain K means a
// difference unless a temperature is asked for (see forKind).
func (t *unitTable) addSpellings(u Unit) {
	r := &t.rows[u.id]
	for _, spelling := range r.spellings {
		if r.kind == Temperature && spelling == kelvinSymbol {
			continue
		}
		var buffer [maxUnitText]byte
		n, ok := normalise(&buffer, spelling)
		if !ok {
			panic(fmt.Sprintf("quantity: spelling %q cannot be read", spelling))
		}
		key := string(buffer[:n])
		if other, taken := t.index[key]; taken && other != u {
			panic(fmt.Sprintf("quantity: spelling %q stands for two units", spelling))
		}
		t.index[key] = u
	}
}

// UnitOf finds a unit by any of its spellings. "K" is the difference, "g" the
// gram and "lb" the mass; Parse also reads them as an absolute temperature, as
// standard gravity and as pound-force where the field asks for that.
func UnitOf(text string) (Unit, bool) {
	var buffer [maxUnitText]byte
	n, ok := normalise(&buffer, text)
	if !ok || n == 0 {
		return Unit{}, false
	}
	u, ok := table.index[string(buffer[:n])]
	return u, ok
}

// MustUnit is UnitOf for units written in the program itself; it panics on a
// unit that does not exist, which is a broken build.
func MustUnit(text string) Unit {
	u, ok := UnitOf(text)
	if !ok {
		panic(fmt.Sprintf("quantity: no unit %q", text))
	}
	return u
}

// Units lists every unit, in the order of the table.
func Units() []Unit {
	all := make([]Unit, 0, len(table.rows)-1)
	for id := 1; id < len(table.rows); id++ {
		all = append(all, Unit{uint8(id)})
	}
	return all
}

func (u Unit) row() *row { return &table.rows[u.id] }

// Symbol gives the form the unit is printed in, such as "N·m" or "lbf·in";
// empty for the zero Unit.
func (u Unit) Symbol() string { return u.row().symbol }

// String is Symbol.
func (u Unit) String() string { return u.Symbol() }

// Kind tells what the unit measures; None for the zero Unit.
func (u Unit) Kind() Kind { return u.row().kind }

// IsWire tells whether the unit is one of the American wire sizes, AWG and kcmil.
func (u Unit) IsWire() bool { return u.Kind() == Area && (u.OrderReversed() || u.Symbol() == "kcmil") }

// System tells whether the unit is metric, US, or used by both.
func (u Unit) System() System { return u.row().system }

// Spellings lists the ways of writing the unit, the symbol first. Signs that
// read alike (Nm written N·m, N.m, N m or N-m; ² as 2 or ^2; µ and u) are not
// repeated.
func (u Unit) Spellings() []string {
	return append([]string(nil), u.row().spellings...)
}

// IsZero tells whether there is no unit.
func (u Unit) IsZero() bool { return u.id == 0 }

// OrderReversed tells whether a larger number means a smaller value, as with
// AWG. Such a unit must not be the unit of a limit.
func (u Unit) OrderReversed() bool { return u.id != 0 && u.row().symbol == awgSymbol }

// printedWithoutUnit tells whether only the number is printed and read.
func (u Unit) printedWithoutUnit() bool {
	return u.id != 0 && (u == table.base[Count] || u == table.base[Ratio])
}

// differenceUnit gives the unit a difference of two values in u is printed in:
// K for °C, Δ°F for °F, else u itself.
func (u Unit) differenceUnit() Unit {
	if u.Kind() != Temperature {
		return u
	}
	if u.Symbol() == fahrenheitSymbol {
		return table.deltaF
	}
	return table.base[TemperatureDifference]
}

// forKind gives the meaning of u where a value of kind want is expected, for
// the three spellings that depend on it.
func (u Unit) forKind(want Kind) Unit {
	switch {
	case u.Symbol() == kelvinSymbol && (want == Temperature || want == TemperatureDifference):
		return table.base[want]
	case u.Symbol() == "g" && want == Acceleration:
		return table.gravity
	case u.Symbol() == "lb" && want == Force:
		return table.poundForce
	}
	return u
}
