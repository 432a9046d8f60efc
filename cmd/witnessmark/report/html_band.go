package report

import (
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// band is what is drawn of a value: the range that the limits on it leave together,
// the value, and its uncertainty. All in one unit.
type band struct {
	unit                quantity.Unit
	low, high           float64 // infinite where nothing bounds that side
	lowText, highText   string
	lowBy, highBy       *judge.Outcome // whose bounds the ends are
	value, spread       float64
	valueText           string
	advisory, collision bool // no blocking limit bounds it; the limits leave nothing
	both                bool // limits that advise bound it too, since one of them is not met
}

// bandOf finds what to draw; ok is false where the value is no number, or no limit
// with a number was compared with it. Where limits block, those that only advise are
// left out, unless what somebody has to look at is that one of them is not met: a value
// must not be drawn well within while the words beside it say that it is outside.
func bandOf(v *valueRow) (b band, ok bool) {
	first := v.decisive()
	if first == nil || v.leaf.Type != fact.Quantity && v.leaf.Type != fact.Count || first.Compared.IsZero() || first.Unit().OrderReversed() {
		return b, false
	}
	b = band{unit: first.Unit(), low: math.Inf(-1), high: math.Inf(1)}
	b.advisory = true
	for _, o := range v.outcomes {
		b.advisory = b.advisory && !(o.Blocking && o.Limit != nil && compared(o.Kind))
	}
	b.both = !b.advisory && !first.Blocking && (first.Kind == judge.Outside || first.Kind == judge.TooClose)
	for _, o := range v.outcomes {
		if o.Limit != nil && compared(o.Kind) && (b.both || o.Blocking != b.advisory) {
			b.narrow(v.leaf, o)
		}
	}
	if math.IsInf(b.low, 0) && math.IsInf(b.high, 0) {
		return b, false
	}
	b.collision = b.low > b.high
	b.value = first.Compared.In(b.unit)
	b.spread = first.Compared.BaseUncertainty()
	if base := first.Compared.Base(); b.spread > 0 {
		b.spread = math.Abs(b.inUnit(base+b.spread) - b.inUnit(base))
	}
	b.valueText = v.leaf.Format(first.Compared, b.unit)
	if first.Compared.IsCalculated() && !first.Compared.HasUncertainty() {
		b.valueText, _, _ = v.leaf.Beside(first.Compared, first.Bound, b.unit)
	}
	return b, b.drawable()
}

// drawable tells whether all that is drawn has a place: numbers too large for their
// difference to be one have none.
func (b *band) drawable() bool {
	s := b.scale()
	for _, v := range []float64{b.value, b.spread, s.from, s.span} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// narrow takes one more limit into the range.
func (b *band) narrow(l *fact.Leaf, o *judge.Outcome) {
	low, high, ok := o.Interval()
	if !ok {
		return
	}
	if low = b.inUnit(low); low > b.low {
		b.low, b.lowText, b.lowBy = low, b.text(l, o, low), o
	}
	if high = b.inUnit(high); high < b.high {
		b.high, b.highText, b.highBy = high, b.text(l, o, high), o
	}
}

// text writes an end of the range: the bound as its limit has it, where it is the one
// that decided.
func (b *band) text(l *fact.Leaf, o *judge.Outcome, end float64) string {
	if !o.Bound.IsZero() && o.Bound.In(b.unit) == end {
		_, bound, _ := l.Beside(o.Compared, o.Bound, b.unit)
		return bound
	}
	q, err := quantity.CalculatedIn(end, b.unit)
	if err != nil {
		return ""
	}
	return l.Format(q, b.unit)
}

// inUnit converts from base units.
func (b *band) inUnit(base float64) float64 {
	if math.IsInf(base, 0) {
		return base
	}
	q, err := quantity.Calculated(base, b.unit)
	if err != nil {
		return math.NaN()
	}
	return q.In(b.unit)
}

// The drawing is so wide, and so much is left at its sides for the numbers.
const (
	bandWidth  = 420
	bandMargin = 90
)

// scale places values on the drawing.
type scale struct{ from, span float64 }

func (s scale) x(v float64) float64 {
	return bandMargin + math.Min(math.Max((v-s.from)/s.span, 0), 1)*(bandWidth-2*bandMargin)
}

func (b *band) scale() scale {
	low, high := b.value-b.spread, b.value+b.spread
	for _, end := range []float64{b.low, b.high} {
		if !math.IsInf(end, 0) {
			low, high = math.Min(low, end), math.Max(high, end)
		}
	}
	span := high - low
	if span == 0 {
		span = math.Max(math.Abs(high)*0.2, 1)
		low -= span / 2
	}
	return scale{low, span}
}

// draw writes the band: an axis, the permitted range as a bar with a stop at each end
// (an arrow where it is open), the uncertainty as a line between two strokes, the
// value as a diamond. Shapes and numbers carry it, colour only helps. Below it the same
// stands in words, with the limits that bound the range.
func (b *band) draw(m *markup) {
	s := b.scale()
	m.own(`<svg class="band" viewBox="0 0 `, strconv.Itoa(bandWidth), ` 52" aria-hidden="true">`, "\n")
	m.own(`<path class="axis" d="M4 27H416"/>`)
	if !b.collision {
		b.range_(m, s)
	}
	m.own("\n")
	at := s.x(b.value)
	if b.spread > 0 {
		m.own(`<path class="spread" d="M`, coordinate(s.x(b.value-b.spread)), ` 27H`, coordinate(s.x(b.value+b.spread)),
			`M`, coordinate(s.x(b.value-b.spread)), ` 22v10M`, coordinate(s.x(b.value+b.spread)), ` 22v10"/>`)
	}
	m.own(`<path class="value" d="M`, coordinate(at), ` 20l5 7-5 7-5-7z"/>`)
	width := labelWidth(b.valueText)
	m.own(`<text x="`, coordinate(inDrawing(at-width/2, width)), `" y="12" class="is">`).text(b.valueText).own(`</text>`)
	m.own("</svg>\n")
	b.words(m)
}

// words says what range is left and which limits bound it.
func (b *band) words(m *markup) {
	m.own(`<p class="range-words">`)
	switch {
	case b.collision && b.advisory:
		m.own(`The limits that advise contradict each other: `)
	case b.collision:
		m.own(`The limits contradict each other: `)
	case b.advisory:
		m.own(`Advised: `)
	case b.both:
		m.own(`Permitted and advised: `)
	default:
		m.own(`Permitted: `)
	}
	if b.lowBy != nil && b.lowBy == b.highBy && b.low == b.high {
		m.own(`exactly `).text(b.lowText)
		b.by(m, b.lowBy)
		m.own("</p>\n")
		return
	}
	if b.lowBy != nil {
		if excludesEnd(b.lowBy, limit.Greater) {
			m.own(`over `)
		} else {
			m.own(`from `)
		}
		m.text(b.lowText)
		b.by(m, b.lowBy)
	}
	if b.lowBy != nil && b.highBy != nil {
		m.own(` `)
	}
	if b.highBy != nil {
		if excludesEnd(b.highBy, limit.Less) {
			m.own(`below `)
		} else {
			m.own(`up to `)
		}
		m.text(b.highText)
		b.by(m, b.highBy)
	}
	m.own("</p>\n")
}

// excludesEnd tells whether a limit leaves its own bound out: one that is written with
// op, alone or among others that hold together.
func excludesEnd(o *judge.Outcome, op limit.Op) bool {
	c := &o.Limit.Within
	if o.Second && o.Limit.Printed != nil {
		c = &o.Limit.Printed.Within
	}
	return c.Op == op || slices.ContainsFunc(c.Args, func(c limit.Constraint) bool { return c.Op == op })
}

func (b *band) by(m *markup, o *judge.Outcome) {
	m.own("\n(").text(o.Limit.FullName).own(`, `).text(o.Limit.Clause).own(`)`)
}

func (b *band) range_(m *markup, s scale) {
	from, to := 10.0, bandWidth-10.0
	if !math.IsInf(b.low, 0) {
		from = s.x(b.low)
	}
	if !math.IsInf(b.high, 0) {
		to = s.x(b.high)
	}
	m.own(`<path class="range" d="M`, coordinate(from), ` 23H`, coordinate(to), `v8H`, coordinate(from), `z"/>`)
	if math.IsInf(b.low, 0) {
		m.own(`<path class="stop" d="M14 21l-9 6 9 6"/>`)
	} else {
		m.own(`<path class="stop" d="M`, coordinate(from), ` 18v18"/>`)
	}
	if math.IsInf(b.high, 0) {
		m.own(`<path class="stop" d="M406 21l9 6-9 6"/>`)
	} else {
		m.own(`<path class="stop" d="M`, coordinate(to), ` 18v18"/>`)
	}
	b.ends(m, from, to)
}

// ends writes the numbers of the ends below their stops: the lower to the left of its
// stop and the upper to the right, so that those of a narrow range do not lie on each
// other, and within the drawing.
func (b *band) ends(m *markup, from, to float64) {
	low, high := labelWidth(b.lowText), labelWidth(b.highText)
	at := func(x float64, text string) {
		m.own(`<text x="`, coordinate(x), `" y="49">`).text(text).own(`</text>`)
	}
	switch {
	case b.low == b.high:
		at(inDrawing(from-low/2, low), b.lowText)
	case math.IsInf(b.high, 0):
		at(inDrawing(from+3-low, low), b.lowText)
	case math.IsInf(b.low, 0):
		at(inDrawing(to-3, high), b.highText)
	default:
		const gap = 8
		x := inDrawing(from+3-low, low)
		y := inDrawing(math.Max(to-3, x+low+gap), high)
		at(math.Max(math.Min(x, y-gap-low), 0), b.lowText)
		at(y, b.highText)
	}
}

// labelWidth is about how wide a text of the drawing is; the browser chooses the font.
func labelWidth(text string) float64 { return 7.6 * float64(utf8.RuneCountInString(text)) }

// inDrawing moves a text so far that it lies in the drawing.
func inDrawing(x, width float64) float64 { return math.Max(math.Min(x, bandWidth-width), 0) }

func coordinate(x float64) string { return strconv.Itoa(int(math.Round(x))) }
