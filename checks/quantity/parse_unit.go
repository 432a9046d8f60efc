package quantity

import (
	"strings"
	"unicode/utf8"
)

// unitText is a unit as written, and where.
type unitText struct {
	text       string
	start, end int
}

// unitText takes the unit that stands here, which may be empty, and the spaces
// behind it. A unit ends at a ±, at a space before a digit, and at the end.
func (s *scanner) unitText() unitText {
	s.spaces()
	start := s.pos
	end := start
	for s.pos < len(s.text) {
		c := s.text[s.pos]
		if c == '+' || c == plusMinusSign[0] && strings.HasPrefix(s.text[s.pos:], plusMinusSign) {
			break
		}
		if c == ' ' || c >= utf8.RuneSelf {
			if s.spaces() {
				if isDigit(s.at()) {
					break
				}
				continue
			}
			_, size := utf8.DecodeRuneInString(s.text[s.pos:])
			s.pos += size
		} else {
			s.pos++
		}
		end = s.pos
		// 3'6" has no space before the inches.
		if isDigit(s.at()) && isFootMark(s.text[start:end]) {
			break
		}
	}
	return unitText{text: s.text[start:end], start: start, end: end}
}

func isFootMark(text string) bool { return text == "'" || text == "\u2032" || text == "\u2019" }

// resolve finds the unit and sees to it that it is of the wanted kind. As the
// unit of a ± part any kind is let through, to be judged with the value.
func (s *scanner) resolve(t unitText, want Unit, band bool) (Unit, *Error) {
	if t.text == "" {
		return Unit{}, nil
	}
	if band {
		s.lastUnit = t
	}
	if t.text == want.Symbol() {
		return want, nil // most are written in the field's own unit
	}
	u, ok := UnitOf(t.text)
	if !ok {
		return Unit{}, s.unknownUnit(t, want)
	}
	// A dot may end a unit ("22 in."); other joining signs belong between parts.
	if strings.ContainsAny(t.text[:1], ".-*^") || strings.ContainsAny(t.text[len(t.text)-1:], "-*^") {
		if isDigit(s.at()) {
			return Unit{}, s.fail(MalformedNumber, "holds more than one value")
		}
		return Unit{}, s.fail(UnknownUnit, "has a stray sign beside the unit", s.replaced(t.start, t.end, u.Symbol()))
	}
	if band {
		return u.forKind(want.Kind()), nil
	}
	return s.ofKind(t, u, want)
}

// ofKind sees to it that a unit is of the wanted kind.
func (s *scanner) ofKind(t unitText, u, want Unit) (Unit, *Error) {
	kind := want.Kind()
	u = u.forKind(kind)
	if kind == None || u.Kind() == kind {
		return u, nil
	}
	return u, s.wrongKind(t, u, want)
}

// wrongKind says what the unit measures and what is expected.
func (s *scanner) wrongKind(t unitText, u, want Unit) *Error {
	if other, ok := otherCase(t.text, want.Kind()); ok {
		return s.wrongCase(t, other)
	}
	offer := func(unit string) string { return s.replaced(t.start, t.end, unit) }
	switch {
	case u.Kind() == Temperature && want.Kind() == TemperatureDifference:
		if u.Symbol() == fahrenheitSymbol {
			return s.fail(PlainTemperature, "is a temperature, where a difference is expected", offer(deltaFSymbol))
		}
		return s.fail(PlainTemperature, "is a temperature, where a difference is expected", offer(kelvinSymbol), offer("Δ°C"))
	case u.Kind() == TemperatureDifference && want.Kind() == Temperature:
		symbol := celsiusSymbol
		if u.Symbol() == deltaFSymbol {
			symbol = fahrenheitSymbol
		}
		return s.fail(WrongKind, "is a temperature difference, where a temperature is expected", offer(symbol))
	case u.Symbol() == "F" && want.Kind() == Temperature:
		return s.fail(UnknownUnit, "has no degree sign", offer(fahrenheitSymbol))
	}
	return s.fail(WrongKind, "is "+describe(u)+", where "+want.Kind().withArticle()+" is expected")
}

// unknownUnit offers the right case, or the nearest spelling of the wanted kind.
func (s *scanner) unknownUnit(t unitText, want Unit) *Error {
	kind := want.Kind()
	detail := "has a unit that is not known, " + quoted(t.text)
	if (t.text == "C" || t.text == "c") && (kind == Temperature || kind == TemperatureDifference || kind == None) {
		symbol := celsiusSymbol
		if kind == TemperatureDifference {
			symbol = kelvinSymbol
		}
		return s.fail(UnknownUnit, detail, s.replaced(t.start, t.end, symbol))
	}
	u, ok := otherCase(t.text, kind)
	if ok {
		return s.wrongCase(t, u)
	}
	if u, ok = nearestUnit(t.text, kind); !ok {
		return s.fail(UnknownUnit, detail)
	}
	return s.fail(UnknownUnit, detail, s.replaced(t.start, t.end, u.Symbol()))
}

func (s *scanner) wrongCase(t unitText, u Unit) *Error {
	return s.fail(WrongCase, "has a unit in the wrong case, "+quoted(t.text), s.replaced(t.start, t.end, u.Symbol()))
}

// missingUnit offers the field's own unit.
func (s *scanner) missingUnit(n *numeral, want Unit) *Error {
	if want.IsZero() {
		return s.fail(MissingUnit, "has no unit")
	}
	return s.fail(MissingUnit, "has no unit", s.replaced(n.end, n.end, " "+want.Symbol()))
}

// describe names a unit with its kind: "a mass (kg)".
func describe(u Unit) string { return u.Kind().withArticle() + " (" + u.Symbol() + ")" }
