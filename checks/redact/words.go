package redact

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// enough is how many bytes of the beginning of a private value give it away, so
// that a value that a message cuts short is found too.
const enough = 12

// Words are the private values that messages must not quote. The zero value has
// none. It may be read by several goroutines at once while nothing is added.
type Words struct {
	under   *Words // others that hold as well; nil for none
	has     map[string]bool
	byStart map[rune][]string // longest first
}

// Over returns an empty set of words that hold together with others.
func Over(others *Words) *Words { return &Words{under: others} }

// Add enters a private value: as it is, as it reads in quotes, and line by line.
func (w *Words) Add(value string) {
	w.add(value)
	quoted := strconv.Quote(value)
	w.add(quoted[1 : len(quoted)-1])
	if strings.ContainsAny(value, "\r\n") {
		for line := range strings.Lines(value) {
			w.add(line)
		}
	}
}

// AddAll enters the words of others.
func (w *Words) AddAll(others *Words) {
	for one := range others.has {
		w.add(one)
	}
}

func (w *Words) add(one string) {
	one = strings.TrimSpace(one)
	if one == "" || one == LeftOut || w.has[one] {
		return
	}
	if w.has == nil {
		w.has, w.byStart = map[string]bool{}, map[rune][]string{}
	}
	w.has[one] = true
	start, _ := utf8.DecodeRuneInString(one)
	list := w.byStart[start]
	at, _ := slices.BinarySearchFunc(list, one, func(a, b string) int {
		if len(a) != len(b) {
			return len(b) - len(a)
		}
		return strings.Compare(a, b)
	})
	w.byStart[start] = slices.Insert(list, at, one)
}

// Scrub puts LeftOut in place of every private value in a text. A value counts
// where it stands as a word of its own, not as a part of a longer one; a long one
// counts also where only its beginning stands there.
func (w *Words) Scrub(text string) string {
	var out strings.Builder
	kept, inWord := 0, false // inWord: the character before is a letter or digit
	for i := 0; i < len(text); {
		if n := w.match(text, i, inWord); n > 0 {
			out.WriteString(text[kept:i])
			out.WriteString(LeftOut)
			i += n
			kept, inWord = i, false
			continue
		}
		r, size := utf8.DecodeRuneInString(text[i:])
		inWord = isLetter(r)
		i += size
	}
	if kept == 0 {
		return text
	}
	out.WriteString(text[kept:])
	return out.String()
}

// match tells how many bytes of the text at i are a private value.
func (w *Words) match(text string, i int, inWord bool) int {
	start, _ := utf8.DecodeRuneInString(text[i:])
	longest := 0
	for ; w != nil; w = w.under {
		for _, one := range w.byStart[start] {
			if n := begins(text[i:], one); n > longest && (!inWord || !isLetter(start) || n >= enough) {
				longest = n
			}
		}
	}
	return longest
}

// begins tells how many bytes of the text are the value that it begins with.
func begins(text, value string) int {
	n := 0
	for n < len(text) && n < len(value) && text[n] == value[n] {
		n++
	}
	if n == len(value) {
		last, _ := utf8.DecodeLastRuneInString(value)
		next, _ := utf8.DecodeRuneInString(text[n:])
		if n < enough && isLetter(last) && isLetter(next) && n < len(text) {
			return 0
		}
		return n
	}
	for n > 0 && n < len(text) && !utf8.RuneStart(text[n]) {
		n-- // no half of a character
	}
	if n < enough {
		return 0
	}
	return n
}

func isLetter(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
