package jobfile

import "strings"

// resolve types a plain scalar by the YAML 1.2 core schema plus the date. The
// code is "" or names the reason why the value is refused, because another
// YAML reader or another edition of YAML takes it for a different value.
func resolve(s string) (kind NodeKind, typ ScalarType, code string) {
	if s == "" {
		return Null, 0, ""
	}
	switch c := s[0]; {
	case c >= '0' && c <= '9', c == '-', c == '+', c == '.':
		typ, code = resolveNumber(s)
		return Scalar, typ, code
	case c == '~', c == 'n', c == 'N':
		if s == "~" || s == "null" || s == "Null" || s == "NULL" {
			return Null, 0, ""
		}
	case c == 't', c == 'T', c == 'f', c == 'F':
		switch s {
		case "true", "True", "TRUE", "false", "False", "FALSE":
			return Scalar, Boolean, ""
		}
	}
	return Scalar, Text, ""
}

// resolveNumber types a plain scalar that begins with a digit, sign or point.
func resolveNumber(s string) (ScalarType, string) {
	if isDate(s) {
		return Date, ""
	}
	body := s
	if s[0] == '-' || s[0] == '+' {
		body = s[1:]
	}
	if body == "" {
		return Text, ""
	}
	whole := digits(body)
	rest := body[whole:]
	switch {
	case rest == "":
		if whole > 1 && body[0] == '0' {
			return Integer, CodeLeadingZero
		}
		return Integer, ""
	case whole == 1 && body[0] == '0' && basePrefix(rest):
		return Text, CodeNumberBase
	case isInfOrNaN(body):
		return Number, CodeNotANumber
	case isBase60(body):
		return Text, CodeBase60
	case isUnderscored(body):
		return Text, CodeUnderscore
	case !isDecimal(body, whole):
		return Text, ""
	case whole > 1 && body[0] == '0':
		return Number, CodeLeadingZero
	}
	return Number, ""
}

// digits counts the decimal digits at the start of s.
func digits(s string) int {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return n
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// isDate matches four, two and two digits with hyphens.
func isDate(s string) bool {
	return len(s) == 10 && s[4] == '-' && s[7] == '-' &&
		digits(s) == 4 && digits(s[5:]) == 2 && digits(s[8:]) == 2
}

// isDecimal matches .5, 5., 5.5 and each with an exponent; whole is the number
// of digits before the point.
func isDecimal(s string, whole int) bool {
	rest, fraction := s[whole:], 0
	if rest != "" && rest[0] == '.' {
		fraction = digits(rest[1:])
		rest = rest[1+fraction:]
	}
	if whole == 0 && fraction == 0 {
		return false
	}
	if rest == "" {
		return true
	}
	if rest[0] != 'e' && rest[0] != 'E' {
		return false
	}
	rest = rest[1:]
	if rest != "" && (rest[0] == '-' || rest[0] == '+') {
		rest = rest[1:]
	}
	return rest != "" && digits(rest) == len(rest)
}

// basePrefix matches what follows the zero in 0o17, 0x1F and 0b101.
func basePrefix(s string) bool {
	if len(s) < 2 {
		return false
	}
	allowed := ""
	switch s[0] {
	case 'o', 'O':
		allowed = "01234567_"
	case 'x', 'X':
		allowed = "0123456789abcdefABCDEF_"
	case 'b', 'B':
		allowed = "01_"
	default:
		return false
	}
	return strings.Trim(s[1:], allowed) == ""
}

func isInfOrNaN(s string) bool {
	switch s {
	case ".inf", ".Inf", ".INF", ".nan", ".NaN", ".NAN":
		return true
	}
	return false
}

// isBase60 matches 1:30 and 1:30:00.5, which YAML 1.1 reads in sixties.
func isBase60(s string) bool {
	whole := digits(s)
	if whole == 0 || whole == len(s) || s[whole] != ':' {
		return false
	}
	rest := s[whole:]
	for rest != "" && rest[0] == ':' {
		n := digits(rest[1:])
		if n == 0 || n > 2 || n == 2 && rest[1] > '5' {
			return false
		}
		rest = rest[1+n:]
	}
	return rest == "" || rest[0] == '.' && digits(rest[1:]) == len(rest)-1
}

// isUnderscored matches a number with underscores between its digits, with
// point and exponent or without.
func isUnderscored(s string) bool {
	if !isDigit(s[0]) || strings.IndexByte(s, '_') < 0 {
		return false
	}
	bare := strings.ReplaceAll(s, "_", "")
	whole := digits(bare)
	return whole == len(bare) || isDecimal(bare, whole)
}

// numberProblem words the refusal of a plain scalar that resolve gave a code.
func numberProblem(code, s string) (message, mend string) {
	inQuotes := "write it in quotes, '" + shown(s) + "', if it is text"
	switch code {
	case CodeLeadingZero:
		return quoted(s) + " is a number with a leading zero, which some readers take as octal",
			inQuotes + "; drop the zero if it is a number"
	case CodeNumberBase:
		return quoted(s) + " is a number in another base to some readers and text to others",
			inQuotes + "; write it in decimal if it is a number"
	case CodeUnderscore:
		return quoted(s) + " is a number to some readers and text to others, because of the underscore",
			inQuotes + "; leave the underscore out if it is a number"
	case CodeBase60:
		return quoted(s) + " is a time to some readers and a number in sixties to others",
			"write it in quotes, '" + shown(s) + "'"
	}
	return quoted(s) + " is infinity or not a number, which no quantity can be",
		inQuotes + "; write the value if it is a number, or leave the field out if it is not known"
}
