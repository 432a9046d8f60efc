package limit

import (
	"fmt"
	"math"
	"slices"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// printedShare is how far the two values that a source prints may lie apart, as
// a share of the larger one. Codes round: 3 ft and 0.9 m lie 1.6 % apart, 3.5 ft and
// 1.0 m, which the working depths of NFPA 70 print, 6.3 %.
const printedShare = 0.07

// PrintedDiffers tells whether the second printed value is another bound than the
// first: other operators, other facts, or a number more than 7 % away (of
// temperatures also more than 1 °C). How says it in words. A limit with one value
// differs in nothing.
func (l *Compiled) PrintedDiffers() (how string, differs bool) {
	if l.printed == nil {
		return "", false
	}
	return differ(&l.within, l.printed)
}

func differ(a, b *predicate) (how string, differs bool) {
	switch {
	case a.op != b.op || len(a.args) != len(b.args) || (a.way == nil) != (b.way == nil):
		return fmt.Sprintf("%s and %s do not ask the same", a.describe(), b.describe()), true
	case len(a.args) > 0:
		return differInParts(a, b)
	case a.way != nil:
		return fmt.Sprintf("%s and %s are not the same", a.describe(), b.describe()),
			a.way.Text != b.way.Text || !near(a.times.Float64(), b.times.Float64(), 0) || !near(shift(a), shift(b), 0)
	case a.what != fact.Quantity && a.what != fact.Count:
		return fmt.Sprintf("%s and %s are not the same", a.describe(), b.describe()), a.describe() != b.describe()
	}
	unit, slack := a.unit, 0.0
	if unit.Kind() == quantity.Temperature {
		unit, slack = quantity.MustUnit("°C"), 1 // a share of kelvins would be no share of what is read
	}
	return fmt.Sprintf("%s is %s, not %s", a.leaf.Format(a.bound, a.unit), a.leaf.Format(a.bound, b.unit), b.leaf.Format(b.bound, b.unit)),
		!near(a.bound.In(unit), b.bound.In(unit), slack)
}

// differInParts looks for a part of one for each part of the other, in any order.
func differInParts(a, b *predicate) (how string, differs bool) {
	var taken []int
	for i := range a.args {
		found, why := -1, ""
		for k := range b.args {
			if slices.Contains(taken, k) {
				continue
			}
			w, other := differ(&a.args[i], &b.args[k])
			if !other {
				found = k
				break
			}
			if why == "" || a.args[i].op == b.args[k].op {
				why = w
			}
		}
		if found < 0 {
			return why, true
		}
		taken = append(taken, found)
	}
	return "", false
}

// near tells whether two numbers lie within the share of the larger one, or
// within slack.
func near(x, y, slack float64) bool {
	return math.Abs(x-y) <= math.Max(slack, printedShare*math.Max(math.Abs(x), math.Abs(y)))
}

// shift is what is added to a fact, in base units: a difference, also where the
// unit counts from a zero of its own.
func shift(p *predicate) float64 {
	return quantity.New(p.plus, p.unit).Base() - quantity.New(quantity.Decimal{}, p.unit).Base()
}
