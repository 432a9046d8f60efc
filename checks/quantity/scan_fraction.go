package quantity

import "strings"

// numeral is a number as written, before the unit tells what a slash in it
// means: 1/0 is a wire size before AWG, and an impossible fraction elsewhere.
type numeral struct {
	value       Decimal // the number, or the whole part before a fraction
	start, end  int     // where it stands
	numerator   int64
	denominator int64
	fraction    bool // numerator/denominator stands after value, or alone
	mixed       bool // value is a whole part
	negative    bool
}

// number reads a decimal, a fraction "7/8", or both, "1 1/2" and "1-1/2", into
// n, which is empty before.
func (s *scanner) number(n *numeral) (problem *Error) {
	n.start = s.pos
	n.value, problem = s.decimal()
	n.negative = s.negative
	n.end = s.pos
	if problem != nil {
		return problem
	}
	if s.at() == '/' && isDigit(s.ahead(1)) {
		n.fraction = true
		n.numerator = max(n.value.Coef, -n.value.Coef)
		if n.value.Exp != 0 {
			return s.fail(BadFraction, "has a fraction of numbers that are not whole")
		}
		n.value = Decimal{}
		return s.denominator(n)
	}
	// What follows is nearly always a unit; only digits need a closer look.
	hyphen := s.at() == '-' && isDigit(s.ahead(1))
	if hyphen {
		s.pos++
	} else if !s.spaces() {
		return nil
	}
	if isDigit(s.at()) {
		return s.secondNumber(n, hyphen)
	}
	return nil
}

// secondNumber looks at digits that follow a number: the fraction of a mixed
// number, a unit such as 1/h, or something that is refused.
func (s *scanner) secondNumber(n *numeral, hyphen bool) *Error {
	start := s.pos
	var numerator int64
	for ; isDigit(s.at()); s.pos++ {
		numerator = min(10*numerator+int64(s.at()-'0'), 1_000_000)
	}
	if s.at() == '/' {
		if !isDigit(s.ahead(1)) && !hyphen && numerator == 1 {
			s.pos = start // a unit such as 1/h
			return nil
		}
		n.fraction, n.mixed, n.numerator = true, true, numerator
		if isDigit(s.ahead(1)) {
			return s.denominator(n)
		}
	}
	if !hyphen && s.pos-start == 3 {
		return s.spaceGroups(n, start)
	}
	return s.fail(MalformedNumber, "holds more than one number before the unit")
}

// spaceGroups refuses "1 100", which may be 1100 or two numbers.
func (s *scanner) spaceGroups(n *numeral, second int) *Error {
	groups := []string{strings.TrimLeft(s.text[n.start:n.end], "+-"), s.text[second:s.pos]}
	for {
		before := s.pos
		if !s.spaces() || !(isDigit(s.at()) && isDigit(s.ahead(1)) && isDigit(s.ahead(2))) || isDigit(s.ahead(3)) {
			s.pos = before
			break
		}
		groups = append(groups, s.text[s.pos:s.pos+3])
		s.pos += 3
	}
	if n.value.Exp != 0 {
		return s.fail(MalformedNumber, "holds more than one number before the unit")
	}
	readings := []string{s.replaced(n.start, s.pos, strings.Join(groups, ""))}
	if len(groups) == 2 {
		readings = append(readings, s.replaced(n.start, s.pos, s.written(groups[0], groups[1])))
	}
	return s.fail(GroupedNumber, "has a space that may group thousands, which is not guessed", readings...)
}

// denominator reads the slash and what is below it.
func (s *scanner) denominator(n *numeral) *Error {
	s.pos++
	for ; isDigit(s.at()); s.pos++ {
		n.denominator = min(10*n.denominator+int64(s.at()-'0'), 1_000_000)
	}
	n.end = s.pos
	return nil
}

// decimal turns a numeral into the exact number it means before any unit but
// AWG. Fractions of an inch are halves down to sixty-fourths, which are exact
// decimals; other fractions are not, so their author has to round.
func (n *numeral) decimal(s *scanner) (Decimal, *Error) {
	if !n.fraction {
		return n.value, nil
	}
	whole := max(n.value.Coef, -n.value.Coef)
	switch {
	case n.value.Exp != 0 || whole > 1_000_000 || n.numerator >= 1_000_000:
		return Decimal{}, s.fail(BadFraction, "has a fraction that cannot be read; write it as a decimal")
	case n.denominator == 0:
		return Decimal{}, s.fail(BadFraction, "has a fraction with nothing below the line")
	case n.denominator > 64 || n.denominator&(n.denominator-1) != 0:
		return Decimal{}, s.fail(BadFraction, "has a fraction that is not of halves, quarters … sixty-fourths; write it as a decimal")
	case n.mixed && n.numerator >= n.denominator:
		return Decimal{}, s.fail(BadFraction, "has a fraction of one or more behind a whole number")
	}
	result := Decimal{Coef: whole*n.denominator + n.numerator}
	for d := n.denominator; d > 1; d /= 2 { // n/2 is 5n/10
		result.Coef *= 5
		result.Exp--
	}
	for result.Exp < 0 && result.Coef%10 == 0 {
		result.Coef /= 10
		result.Exp++
	}
	if n.negative {
		result.Coef = -result.Coef
	}
	return result, nil
}

// wireNumber turns a numeral into an AWG number: 6, 1/0, or 0 to 0000, which
// are older ways of writing 1/0 to 4/0.
func (n *numeral) wireNumber(s *scanner) (Decimal, *Error) {
	number := n.value
	digits := s.text[n.start:n.end]
	switch {
	case n.fraction && !n.mixed && n.denominator == 0 && strings.HasSuffix(digits, "/0") && n.numerator >= 1:
		number = Decimal{Coef: 1 - n.numerator}
	case !n.fraction && strings.Trim(digits, "0") == "":
		number = Decimal{Coef: 1 - int64(len(digits))}
	case n.fraction || number.Coef < 1:
		return Decimal{}, s.fail(NoSuchSize, "is no AWG size; sizes are 18 to 1 and 1/0 to 4/0")
	}
	if _, ok := sizeByNumber(number); !ok || n.negative {
		return Decimal{}, s.fail(NoSuchSize, "is no AWG size of the table (18 to 1 AWG, 1/0 to 4/0 AWG)",
			neighbourSizes(number.Float64())...)
	}
	return number, nil
}
