package quantity

import (
	"strings"
	"unicode/utf8"
)

// maxUnitText bounds a unit's text after evening out; the longest spelling has
// half of that.
const maxUnitText = 48

// normalise evens out what reads alike in a unit: dots, spaces, hyphens and
// asterisks between parts become ".", ² becomes 2, µ becomes u, Ω becomes ohm,
// ° becomes deg; a caret is dropped. Letters keep their case, because the SI
// tells mΩ from MΩ by it. It answers how many bytes of out it filled, and
// false if the text holds a sign no unit has or is too long.
func normalise(out *[maxUnitText]byte, text string) (n int, ok bool) {
	separator := false // a separator waits for the next part
	for i := 0; i < len(text); {
		c := text[i]
		size := 1
		var piece string
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9',
			c == '%', c == '/', c == '(', c == ')', c == '_', c == '"', c == '\'':
			piece = text[i : i+1]
		case c == ' ', c == '.', c == '*', c == '-':
			separator = true
		case c == '^':
		case c < utf8.RuneSelf:
			return 0, false
		default:
			var r rune
			r, size = utf8.DecodeRuneInString(text[i:])
			if piece, ok = asciiFor(r); !ok {
				return 0, false
			}
			if piece == "." {
				separator, piece = true, ""
			}
		}
		i += size
		if piece == "" {
			continue
		}
		if separator && n > 0 && joins(out[n-1]) && joins(piece[0]) {
			if n == len(out) {
				return 0, false
			}
			out[n] = '.'
			n++
		}
		separator = false
		if n+len(piece) > len(out) {
			return 0, false
		}
		n += copy(out[n:], piece)
	}
	return n, true
}

// joins tells whether a separator next to this byte carries meaning.
func joins(c byte) bool { return c != '/' && c != '(' && c != ')' }

// asciiFor gives what a rune outside ASCII stands for in a unit; "." is a
// separator and "" nothing.
func asciiFor(r rune) (string, bool) {
	switch r {
	case '\u00b7', '\u22c5', '\u2022', '\u2219', '\u2027', // middle dots
		'\u2010', '\u2011', '\u2212', '\u207b': // hyphens, minus, superscript minus
		return ".", true
	case '\u00b5', '\u03bc': // micro sign, mu
		return "u", true
	case '\u03a9', '\u2126': // omega, ohm sign
		return "ohm", true
	case '\u00b0', '\u00ba', '\u02da': // degree sign, ordinal sign, ring
		return "deg", true
	case '\u2103':
		return "degC", true
	case '\u2109':
		return "degF", true
	case '\u0394', '\u2206': // delta, increment
		return "delta", true
	case '\u2030':
		return "permil", true
	case '\u00b9':
		return "1", true
	case '\u00b2':
		return "2", true
	case '\u00b3':
		return "3", true
	case '\u2033', '\u201d': // double prime, quotation mark
		return "\"", true
	case '\u2032', '\u2019': // prime, apostrophe
		return "'", true
	case '\u2099': // subscript n
		return "_n", true
	}
	if isSpace(r) {
		return ".", true
	}
	return "", false
}

// isSpace knows the spaces that stand between number and unit: plain,
// no-break, narrow no-break, thin and figure space.
func isSpace(r rune) bool {
	switch r {
	case ' ', '\u00a0', '\u202f', '\u2009', '\u2007':
		return true
	}
	return false
}

// otherCase finds a unit of the wanted kind whose spelling differs from the
// text only in upper and lower case. With want None any kind will do.
func otherCase(text string, want Kind) (Unit, bool) {
	key, ok := foldKey(text)
	if !ok {
		return Unit{}, false
	}
	for _, u := range Units() {
		if want != None && u.Kind() != want {
			continue
		}
		for _, spelling := range u.row().spellings {
			if candidate, _ := foldKey(spelling); candidate == key {
				return u, true
			}
		}
	}
	return Unit{}, false
}

func foldKey(text string) (string, bool) {
	var buffer [maxUnitText]byte
	n, ok := normalise(&buffer, text)
	return strings.ToLower(string(buffer[:n])), ok && n > 0
}

// nearestUnit finds the unit of the wanted kind (any for None) whose spelling
// needs the fewest changes to become the text. It answers false when even the
// nearest shares too little with it to be worth offering.
func nearestUnit(text string, want Kind) (Unit, bool) {
	key := strings.ToLower(text)
	if folded, ok := foldKey(text); ok {
		key = folded
	}
	if len(key) > maxUnitText {
		return Unit{}, false
	}
	var best Unit
	bestDistance := 1 << 30
	for _, u := range Units() {
		if want != None && u.Kind() != want {
			continue
		}
		for _, spelling := range u.row().spellings {
			candidate, _ := foldKey(spelling)
			if d := editDistance(key, candidate); d < bestDistance {
				best, bestDistance = u, d
			}
		}
	}
	return best, bestDistance <= 1+len(key)/3
}

// editDistance counts the single-byte insertions, deletions and replacements
// that turn a into b (Levenshtein's distance).
func editDistance(a, b string) int {
	previous := make([]int, len(b)+1)
	current := make([]int, len(b)+1)
	for j := range previous {
		previous[j] = j
	}
	for i := range len(a) {
		current[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			current[j+1] = min(previous[j]+cost, previous[j+1]+1, current[j]+1)
		}
		previous, current = current, previous
	}
	return previous[len(b)]
}
