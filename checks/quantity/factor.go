package quantity

import (
	"fmt"
	"math/big"
	"strings"
)

// constants are the definitions all factors are made of. Source unless said
// otherwise: NIST Special Publication 811 (2008), appendix B.8 and its notes,
// where these figures are exact; the figures were taken from public
// restatements of it, not from the publication itself.
var constants = map[string]string{
	"in":   "0.0254",         // inch, 1959 agreement
	"ft":   "0.3048",         // international foot, 12 in
	"lb":   "0.45359237",     // avoirdupois pound
	"g_n":  "9.80665",        // standard acceleration of free fall, m/s²
	"gal":  "0.003785411784", // US gallon, 231 in³ (NIST Handbook 44, appendix C)
	"btu":  "1055.05585262",  // International Table Btu, J
	"lbf":  "lb*g_n",         // 4.4482216152605 N
	"cmil": "pi/4*in*in/1000000",
	// 62 digits are far beyond what any comparison here can tell apart.
	"pi": "3.1415926535897932384626433832795028841971693993751058209749446",
}

// exactFactor works out a product such as "550*ft*lbf/3600": numbers and
// constants joined by * and /, from left to right.
func exactFactor(expression string) (*big.Rat, error) {
	result := big.NewRat(1, 1)
	divide := false
	for rest := expression; ; {
		cut := strings.IndexAny(rest, "*/")
		token := rest
		if cut >= 0 {
			token = rest[:cut]
		}
		value, err := factorToken(token)
		if err != nil {
			return nil, fmt.Errorf("factor %q: %w", expression, err)
		}
		if divide {
			value.Inv(value)
		}
		result.Mul(result, value)
		if cut < 0 {
			return result, nil
		}
		divide = rest[cut] == '/'
		rest = rest[cut+1:]
	}
}

// factorToken reads one number or constant; the result is the caller's own.
func factorToken(token string) (*big.Rat, error) {
	if definition, ok := constants[token]; ok {
		if strings.ContainsAny(definition, "*/") {
			return exactFactor(definition)
		}
		token = definition
	}
	value, ok := new(big.Rat).SetString(token)
	if !ok || value.Sign() <= 0 {
		return nil, fmt.Errorf("%q is neither a number above zero nor a constant", token)
	}
	return value, nil
}
