package explain

import (
	"regexp/syntax"
	"strings"
)

// matching makes a text that a pattern matches, for fields without an example of
// their own; empty where the pattern is beyond it.
func matching(pattern string) string {
	re, err := syntax.Parse(pattern, syntax.Perl)
	if err != nil {
		return ""
	}
	var b strings.Builder
	if !write(&b, re) {
		return ""
	}
	return b.String()
}

// mostRepeats keeps a pattern from asking for a text that nobody would read.
const mostRepeats = 200

func write(b *strings.Builder, re *syntax.Regexp) bool {
	times := 1
	switch re.Op {
	case syntax.OpEmptyMatch, syntax.OpBeginText, syntax.OpEndText, syntax.OpBeginLine, syntax.OpEndLine:
		return true
	case syntax.OpLiteral:
		b.WriteString(string(re.Rune))
		return true
	case syntax.OpCharClass:
		if len(re.Rune) == 0 {
			return false
		}
		b.WriteRune(re.Rune[0])
		return true
	case syntax.OpAnyChar, syntax.OpAnyCharNotNL:
		b.WriteByte('x')
		return true
	case syntax.OpAlternate:
		return write(b, re.Sub[0])
	case syntax.OpStar, syntax.OpQuest:
		return true // none is enough
	case syntax.OpRepeat:
		times = re.Min
	case syntax.OpPlus, syntax.OpCapture, syntax.OpConcat:
	default:
		return false // word borders and the like
	}
	if times > mostRepeats {
		return false
	}
	for range times {
		for _, sub := range re.Sub {
			if !write(b, sub) {
				return false
			}
		}
	}
	return true
}
