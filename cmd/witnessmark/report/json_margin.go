package report

import (
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/quantity"
)

// appendMargin writes the margin of an outcome, where its limit has a number.
// The usual case, a value written in the unit of the limit, is worked out here
// with whole numbers; Outcome.Margin gives the same and covers the rest, at a
// cost that would be most of the time spent on a job.
func appendMargin(b []byte, o *judge.Outcome) []byte {
	if !compared(o.Kind) || o.Limit == nil || o.Bound.IsZero() {
		return b
	}
	room, ok := quickMargin(o.Compared, o.Bound, o.Unit(), o.Signed >= 0 && o.Kind != judge.Outside)
	if !ok {
		var text string
		if text, room = o.Margin(); text == "" {
			return b
		}
	}
	return append(appendKey(b, "margin"), signed(room, outsideOf(o))...)
}

// quickMargin is quantity.Margin for two numbers written in u itself; ok is false
// for everything else. The difference is exact, so that nothing is rounded.
func quickMargin(value, bound quantity.Quantity, u quantity.Unit, within bool) (room quantity.Decimal, ok bool) {
	if value.Unit() != u || bound.Unit() != u || value.IsCalculated() || bound.IsCalculated() || u.OrderReversed() {
		return room, false
	}
	places := max(value.Number().Places(), bound.Number().Places())
	v, fits := scaled(value.Number(), places)
	w, alsoFits := scaled(bound.Number(), places)
	if !fits || !alsoFits {
		return room, false
	}
	steps := max(v-w, w-v)
	if !within {
		steps = max(steps, 1) // an outside margin is never 0
	}
	return quantity.Decimal{Coef: steps, Exp: int32(-places)}, true
}

// scaled gives the number in units of 10^-places, if that fits well.
func scaled(d quantity.Decimal, places int) (int64, bool) {
	const most = 1_000_000_000_000_000
	n := d.Coef
	for range int(d.Exp) + places {
		if n > most || n < -most {
			return 0, false
		}
		n *= 10
	}
	return n, n <= most && n >= -most
}
