package quantity

// Options say how a repository writes its numbers. The zero value is the
// decimal point.
type Options struct {
	// DecimalComma reads "5,8" as five point eight. A point is then read as
	// decimal sign too, unless exactly three digits follow it.
	DecimalComma bool
}

// Parse reads a quantity. want is the unit the field is stated in: the text
// may use any unit of the same kind. want also decides whether K is a
// temperature or a difference, and lets a bare number stand for a count or a
// plain ratio. With the zero Unit any unit is read. Errors are of type *Error.
//
//	22 mm ± 1 mm    22 ± 1 mm    5.8 N·m ± 4 %    41 °C ± 2 °C
//	7/8 in    1 1/2 in    3 ft 6 1/2 in    6 AWG    1/0 AWG    250 kcmil
//
// A ± in percent is relative, except on ratios, where it is percent points. On
// a temperature the ± part is a difference.
func Parse(text string, want Unit, o Options) (Quantity, error) {
	s := scanner{text: text, comma: o.DecimalComma}
	if problem := s.check(); problem != nil {
		return Quantity{}, problem
	}
	q, problem := s.quantity(want)
	if problem != nil {
		return Quantity{}, problem
	}
	return q, nil
}

// Of is Parse with the wanted unit as text ("" for any) and the decimal point.
func Of(text string, want string) (Quantity, error) {
	var unit Unit
	if want != "" {
		var ok bool
		if unit, ok = UnitOf(want); !ok {
			return Quantity{}, &Error{Text: want, Problem: UnknownUnit, Detail: "is not a unit"}
		}
	}
	return Parse(text, unit, Options{})
}

// MustOf is Of for texts written in a program or a test; it panics on a text
// that cannot be read, which is a broken build.
func MustOf(text string, want string) Quantity {
	q, err := Of(text, want)
	if err != nil {
		panic("quantity: " + err.Error())
	}
	return q
}

// quantity reads the whole text.
func (s *scanner) quantity(want Unit) (Quantity, *Error) {
	s.spaces()
	hash := s.skip("#")
	awgFirst := s.skip(awgSymbol)
	if awgFirst {
		s.spaces()
		s.skip("#")
	}
	var first numeral
	problem := s.number(&first)
	if problem != nil {
		return Quantity{}, problem
	}
	unit := s.unitText()
	if awgFirst && unit.text == "" {
		unit = unitText{text: awgSymbol, start: unit.start, end: unit.end}
	}
	u, problem := s.resolve(unit, want, false)
	if problem != nil {
		return Quantity{}, problem
	}
	if (hash || awgFirst) && !u.OrderReversed() {
		return Quantity{}, s.fail(MalformedNumber, "has a gauge sign without AWG")
	}
	if isDigit(s.at()) {
		return s.feetAndInches(&first, u)
	}
	if s.done() {
		return s.bare(&first, u, want)
	}
	return s.withBand(&first, u, want)
}

// bare finishes a text without a ± part.
func (s *scanner) bare(n *numeral, u, want Unit) (Quantity, *Error) {
	if u.IsZero() {
		if !want.printedWithoutUnit() {
			return Quantity{}, s.missingUnit(n, want)
		}
		u = want
	}
	return s.finish(n, u)
}

// finish makes the quantity of a number and its unit.
func (s *scanner) finish(n *numeral, u Unit) (Quantity, *Error) {
	if u.OrderReversed() {
		number, problem := n.wireNumber(s)
		return New(number, u), problem
	}
	number, problem := n.decimal(s)
	if problem != nil {
		return Quantity{}, problem
	}
	q := New(number, u)
	if q.kind == Temperature && q.base < 0 {
		return Quantity{}, s.fail(BelowAbsoluteZero, "is below absolute zero")
	}
	return q, nil
}

// feetAndInches reads on after "3 ft": "6 in" or "6 1/2 in", perhaps with ±.
// The result is in inches.
func (s *scanner) feetAndInches(feet *numeral, u Unit) (Quantity, *Error) {
	inch := table.inch
	if u != table.foot {
		return Quantity{}, s.fail(MalformedNumber, "holds more than one value")
	}
	var inches numeral
	problem := s.number(&inches)
	if problem != nil {
		return Quantity{}, problem
	}
	unit := s.unitText()
	if second, _ := UnitOf(unit.text); second != inch {
		return Quantity{}, s.fail(MalformedNumber, "holds more than one value; only feet and inches go together")
	}
	part, problem := inches.decimal(s)
	if problem != nil {
		return Quantity{}, problem
	}
	whole := max(feet.value.Coef, -feet.value.Coef)
	if feet.fraction || feet.value.Exp != 0 || whole > 1_000_000 || inches.negative || part.Cmp(Decimal{Coef: 12}) >= 0 {
		return Quantity{}, s.fail(MalformedNumber, "needs whole feet and less than 12 inches")
	}
	added, ok := Decimal{Coef: 12 * whole}.withExp(min(0, part.Exp))
	if !ok || part.Exp > 0 || added > maxCoef {
		return Quantity{}, s.fail(TooManyDigits, "has more than 18 digits")
	}
	total := Decimal{Coef: added + part.Coef, Exp: part.Exp}
	if feet.negative {
		total.Coef = -total.Coef
	}
	sum := numeral{value: total, start: feet.start, end: inches.end, negative: feet.negative}
	if s.done() {
		return s.finish(&sum, inch)
	}
	return s.withBand(&sum, inch, inch)
}

// withBand reads the ± part and finishes.
func (s *scanner) withBand(n *numeral, u, want Unit) (Quantity, *Error) {
	if !s.plusMinus() {
		return Quantity{}, s.fail(MalformedNumber, "goes on after the unit with what cannot be read")
	}
	s.spaces()
	var band numeral
	problem := s.number(&band)
	if problem != nil {
		return Quantity{}, problem
	}
	if band.negative {
		return Quantity{}, s.fail(BadUncertainty, "has a negative part after ±")
	}
	bandUnit, problem := s.resolve(s.unitText(), want, true)
	if problem != nil {
		return Quantity{}, problem
	}
	if !s.done() {
		return Quantity{}, s.fail(MalformedNumber, "goes on after the ± part with what cannot be read")
	}
	if u, bandUnit, problem = s.sharedUnit(n, u, bandUnit, want); problem != nil {
		return Quantity{}, problem
	}
	half, problem := band.decimal(s)
	if problem != nil {
		return Quantity{}, problem
	}
	q, problem := s.finish(n, u)
	if problem != nil {
		return Quantity{}, problem
	}
	if bandUnit, problem = s.checkBand(u, bandUnit); problem != nil {
		return Quantity{}, problem
	}
	q.setUncertainty(half, bandUnit)
	return q, nil
}

// sharedUnit lets one unit stand for both parts: "22 ± 1 mm", "22 mm ± 1".
func (s *scanner) sharedUnit(n *numeral, u, band, want Unit) (Unit, Unit, *Error) {
	switch {
	case u.IsZero() && band.IsZero():
		if !want.printedWithoutUnit() {
			return u, band, s.missingUnit(n, want)
		}
		return want, want, nil
	case band.IsZero():
		return u, u, nil
	case !u.IsZero():
		return u, band, nil
	case band.Kind() == Ratio && want.Kind() != Ratio && want.Kind() != None:
		return u, band, s.missingUnit(n, want)
	case band.Kind() == Ratio && want.printedWithoutUnit():
		return u, band, s.fail(BadUncertainty, "does not say whether its unit is that of both parts")
	}
	// The unit was read as that of a ± part; as that of the value it has to
	// be of the wanted kind too.
	u, problem := s.ofKind(s.lastUnit, band, want)
	return u, u, problem
}

// checkBand tells whether a ± part in this unit can belong to a value in u,
// and gives the unit it is kept in.
func (s *scanner) checkBand(u, band Unit) (Unit, *Error) {
	kind := u.Kind()
	if kind == Temperature || kind == TemperatureDifference {
		band = band.forKind(TemperatureDifference)
		if band.Kind() == Temperature {
			return band, nil // "± 2 °C" is a difference, whatever its sign says
		}
	}
	switch {
	case u.OrderReversed() || band.OrderReversed():
		return band, s.fail(BadUncertainty, "gives a wire size a ± part")
	case kind.FitsAsUncertainty(band):
		return band, nil
	case band.Kind() == Ratio:
		return band, s.fail(BadUncertainty, "has a relative ± part, which "+kind.withArticle()+" cannot have; write it in the unit of the value")
	}
	return band, s.fail(WrongKind, "has "+describe(band)+" after ±, where "+kind.withArticle()+" is expected")
}
