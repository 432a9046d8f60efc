package quantity

import "strings"

// decimal reads one number with its sign and exponent. Separators that may
// group thousands, and commas, are handed to separated.
func (s *scanner) decimal() (Decimal, *Error) {
	start := s.pos
	s.negative = s.minus()
	first := s.pos
	var coef int64
	digits, significant, places := 0, 0, -1 // places is -1 before the point
	for ; s.pos < len(s.text); s.pos++ {
		c := s.text[s.pos]
		if c == '.' && places < 0 {
			places = 0
			continue
		}
		if !isDigit(c) {
			break
		}
		digits++
		if places >= 0 {
			places++
		}
		if coef != 0 || c != '0' {
			significant++
		}
		if significant <= maxDigits {
			coef = coef*10 + int64(c-'0')
		}
	}
	if s.startsGroup(first, places, coef) {
		return s.separated(first)
	}
	switch {
	case digits == 0:
		return Decimal{}, s.noNumber(start, first)
	case places == 0:
		return Decimal{}, s.fail(MalformedNumber, "has no digit after the decimal point")
	case significant > maxDigits:
		return Decimal{}, s.fail(TooManyDigits, "has more than 18 digits")
	}
	exponent, problem := s.exponent()
	if problem != nil {
		return Decimal{}, problem
	}
	exponent -= int32(max(0, places))
	if exponent < -maxExponent {
		return Decimal{}, s.absurdExponent()
	}
	if s.negative {
		coef = -coef
	}
	return Decimal{Coef: coef, Exp: exponent}, nil
}

// exponent reads "e3" or "e-3" if it stands here; else it is 0.
func (s *scanner) exponent() (int32, *Error) {
	if s.at()|0x20 != 'e' {
		return 0, nil
	}
	at := 1
	signed := s.ahead(1) == '-' || s.ahead(1) == '+'
	if signed {
		at = 2
	}
	if !isDigit(s.ahead(at)) {
		return 0, nil
	}
	negative := s.ahead(1) == '-'
	s.pos += at
	var exponent int32
	for ; isDigit(s.at()); s.pos++ {
		exponent = min(10*exponent+int32(s.at()-'0'), 1000)
	}
	if exponent > maxExponent {
		return 0, s.absurdExponent()
	}
	if negative {
		return -exponent, nil
	}
	return exponent, nil
}

func (s *scanner) absurdExponent() *Error {
	return s.fail(AbsurdExponent, "has an absurd exponent (beyond 30)")
}

// noNumber says why no number stands at start; afterSign is behind its sign.
func (s *scanner) noNumber(start, afterSign int) *Error {
	word := strings.ToLower(strings.TrimPrefix(s.text[afterSign:], "."))
	if strings.HasPrefix(word, "nan") || strings.HasPrefix(word, "inf") || strings.HasPrefix(word, "\u221e") {
		return s.fail(NotFinite, "is not a finite number")
	}
	if strings.TrimLeft(s.text[:start], " ") == "" {
		return s.fail(MalformedNumber, "does not start with a number")
	}
	return s.fail(MalformedNumber, "has no number where one belongs")
}

// startsGroup tells whether the number just scanned, from its first digit,
// goes on with a comma, a second point or an apostrophe, or in comma mode has
// a point that may group thousands.
func (s *scanner) startsGroup(first, places int, coef int64) bool {
	switch s.at() {
	case ',':
		return true
	case '.':
		return isDigit(s.ahead(1))
	case '\'':
		return isDigit(s.ahead(1)) && isDigit(s.ahead(2)) && isDigit(s.ahead(3)) && !isDigit(s.ahead(4))
	}
	return s.comma && places == 3 && strings.Trim(s.text[first:s.pos-4], "0") != ""
}

// separated reads a number with separators, whose first digit is at first: in
// comma mode a decimal comma is read. Whatever may group thousands is never
// guessed but refused with both readings.
func (s *scanner) separated(first int) (Decimal, *Error) {
	s.pos = first
	for isDigit(s.at()) || isSeparator(s.at()) && isDigit(s.ahead(1)) {
		s.pos++
	}
	token := s.text[first:s.pos]
	groups := strings.FieldsFunc(token, func(r rune) bool { return r < '0' || r > '9' })
	separators := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return -1
		}
		return r
	}, token)
	switch {
	case len(groups) == 0 || len(separators) != len(groups)-1 || isSeparator(s.at()):
		return Decimal{}, s.fail(MalformedNumber, "is not a number that can be read")
	case separators == "," && (len(groups[1]) != 3 || strings.Trim(groups[0], "0") == ""):
		return s.decimalComma(first, groups[0], groups[1])
	case !grouped(groups, separators):
		return Decimal{}, s.fail(MalformedNumber, "is not a number that can be read")
	}
	return Decimal{}, s.groupedNumber(first, groups, separators)
}

// grouped tells whether the separators may group thousands, perhaps with
// another one before the decimals.
func grouped(groups []string, separators string) bool {
	last := len(separators)
	if last > 1 && separators[last-1] != separators[0] {
		last-- // the last one may start the decimals
	}
	for i := range last {
		if separators[i] != separators[0] || len(groups[i+1]) != 3 {
			return false
		}
	}
	return true
}

// groupedNumber offers the readings of a number whose separators may group
// thousands.
func (s *scanner) groupedNumber(first int, groups []string, separators string) *Error {
	end := s.pos
	var readings []string
	last := len(groups) - 1
	if len(separators) > 1 && separators[last-1] != separators[0] {
		readings = append(readings, s.written(strings.Join(groups[:last], ""), groups[last]))
	} else {
		readings = append(readings, strings.Join(groups, ""))
	}
	// Only one separator of a sort can also be the decimal sign.
	if separators[0] != '\'' && strings.Count(separators, separators[:1]) == 1 {
		readings = append(readings, s.written(groups[0], strings.Join(groups[1:], "")))
	}
	for i, reading := range readings {
		readings[i] = s.replaced(first, end, reading)
	}
	return s.fail(GroupedNumber, "has a separator that may group thousands or start the decimals, which is not guessed", readings...)
}

// written gives a number as the mode reads it without doubt. In comma mode
// three decimals get a fourth, because three could be a group.
func (s *scanner) written(whole, decimals string) string {
	if !s.comma {
		return whole + "." + decimals
	}
	if len(decimals) == 3 && strings.Trim(whole, "0") != "" {
		decimals += "0"
	}
	return whole + "," + decimals
}

// decimalComma reads "5,8" in comma mode and refuses it otherwise.
func (s *scanner) decimalComma(first int, whole, decimals string) (Decimal, *Error) {
	end := s.pos
	if !s.comma {
		readings := []string{s.replaced(first, end, whole+"."+decimals)}
		if strings.Trim(whole, "0") != "" {
			readings = append(readings, s.replaced(first, end, whole+decimals))
		}
		return Decimal{}, s.fail(DecimalComma,
			"has a comma, which is not guessed (the root file can declare comma decimals)", readings...)
	}
	exponent := ""
	if _, problem := s.exponent(); problem != nil {
		return Decimal{}, problem
	}
	exponent = s.text[end:s.pos]
	inner := scanner{text: whole + "." + decimals + exponent}
	number, problem := inner.decimal()
	if problem != nil {
		problem.Text = s.text
		return Decimal{}, problem
	}
	if s.negative {
		number.Coef = -number.Coef
	}
	return number, nil
}

func isSeparator(c byte) bool { return c == ',' || c == '.' || c == '\'' }
