package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Decimal is the number an author wrote, exactly: Coef × 10^Exp. Trailing
// zeros are kept ("3.00" is 300 and -2). The zero value is 0.
//
// Values from ParseDecimal have at most 18 digits and an Exp from -30 to 30.
type Decimal struct {
	Coef int64
	Exp  int32
}

const (
	maxDigits   = 18
	maxExponent = 30
	maxCoef     = 999_999_999_999_999_999 // 18 nines
)

// ParseDecimal reads a number with a decimal point, such as "12", "-0.50" or
// "1e3". It reads no unit, no spaces, no fraction and no comma; its errors are
// of type *Error.
func ParseDecimal(text string) (Decimal, error) {
	s := scanner{text: text}
	if problem := s.check(); problem != nil {
		return Decimal{}, problem
	}
	if s.at() == ' ' {
		return Decimal{}, s.fail(MalformedNumber, "starts with a space")
	}
	number, problem := s.decimal()
	if problem != nil {
		return Decimal{}, problem
	}
	if !s.done() {
		return Decimal{}, s.fail(MalformedNumber, "is more than a number")
	}
	return number, nil
}

// Rat gives the exact value; the caller owns it.
func (d Decimal) Rat() *big.Rat {
	result := new(big.Rat).SetInt64(d.Coef)
	power := tenTo(int(max(d.Exp, -d.Exp)))
	if d.Exp >= 0 {
		return result.Mul(result, new(big.Rat).SetInt(power))
	}
	return result.Quo(result, new(big.Rat).SetInt(power))
}

// tenTo gives 10^n for n from 0.
func tenTo(n int) *big.Int {
	return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil)
}

// Float64 gives the value as a float. It is the nearest one for numbers of up
// to 15 digits with an exponent between -22 and 22, else within two units in
// the last place.
func (d Decimal) Float64() float64 {
	if d.Exp < 0 {
		return float64(d.Coef) / math.Pow10(int(-d.Exp))
	}
	return float64(d.Coef) * math.Pow10(int(d.Exp))
}

// Places gives the number of digits after the decimal point; 0 for "1e3".
func (d Decimal) Places() int { return int(max(0, -d.Exp)) }

// String prints the number as ParseDecimal reads it, digits kept: "3.00",
// "-0.5", "1e3".
func (d Decimal) String() string {
	if d.Exp > 0 || d.Exp < -maxDigits {
		return strconv.FormatInt(d.Coef, 10) + "e" + strconv.Itoa(int(d.Exp))
	}
	digits := strconv.FormatInt(d.Coef, 10)
	sign := ""
	if digits[0] == '-' {
		sign, digits = "-", digits[1:]
	}
	places := int(-d.Exp)
	if places == 0 {
		return sign + digits
	}
	if len(digits) <= places {
		digits = strings.Repeat("0", places+1-len(digits)) + digits
	}
	return sign + digits[:len(digits)-places] + "." + digits[len(digits)-places:]
}

// Cmp compares two numbers exactly: -1, 0 or +1.
func (d Decimal) Cmp(e Decimal) int {
	if d.Exp == e.Exp {
		return sign(d.Coef, e.Coef)
	}
	if d.Exp < e.Exp {
		if scaled, ok := e.withExp(d.Exp); ok {
			return sign(d.Coef, scaled)
		}
	} else if scaled, ok := d.withExp(e.Exp); ok {
		return sign(scaled, e.Coef)
	}
	return d.Rat().Cmp(e.Rat())
}

// withExp gives the coefficient of d for a smaller exponent, if it fits.
func (d Decimal) withExp(exp int32) (int64, bool) {
	coef := d.Coef
	for range d.Exp - exp {
		if coef == 0 {
			return 0, true
		}
		if coef > math.MaxInt64/10 || coef < math.MinInt64/10 {
			return 0, false
		}
		coef *= 10
	}
	return coef, true
}

func sign(a, b int64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
