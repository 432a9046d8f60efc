package report

import (
	"strings"

	"github.com/rivo/uniseg"
)

// wrapping breaks the line at hand where it is longer than the text may be wide. The
// zero value never breaks one.
type wrapping struct {
	width int // in columns; 0 for any number
	start int // of the line at hand, in the text
	hang  int // columns by which what goes on is indented; 0 to find it from the line
	whole []stretch
}

// stretch is a part of the text in which no line is broken, from and up to an offset.
type stretch struct{ from, to int }

// leastRoom is the least room beside an indentation: where less is left, what goes on
// is indented by little.
const (
	leastRoom   = 24
	smallIndent = 4
)

// begin makes ready for a line that begins at an offset.
func (w *wrapping) begin(start int) { w.start, w.hang, w.whole = start, 0, w.whole[:0] }

// keep keeps what stands from an offset up to another in one piece.
func (w *wrapping) keep(from, to int) {
	if w.width > 0 {
		w.whole = append(w.whole, stretch{from, to})
	}
}

// wrap breaks the line that ends the text, as often as it has to: at blanks, else
// inside a word that is longer than a whole line. What goes on is indented, so that
// only the first part can begin with a place.
func (w *wrapping) wrap(b []byte) []byte {
	if w.width <= 0 {
		return b
	}
	line := string(b[w.start:])
	if columnsOf(line) <= w.width {
		return b
	}
	hang := w.hang
	if hang == 0 {
		hang = len(line) - len(strings.TrimLeft(line, " ")) + 2
	}
	if w.width-hang < leastRoom {
		hang = min(hang, smallIndent)
	}
	b = b[:w.start]
	indent := strings.Repeat(" ", hang)
	at := 0
	for _, p := range w.pieces(line) {
		if at+p.blanks > hang && at+p.blanks+columnsOf(p.word) > w.width {
			b = append(append(b, '\n'), indent...)
			at = hang
		} else {
			b = append(b, strings.Repeat(" ", p.blanks)...)
			at += p.blanks
		}
		b, at = w.word(b, p, at, indent)
	}
	return b
}

// piece is a word of a line with the blanks before it, at which it may be broken.
type piece struct {
	blanks int
	word   string
	whole  bool // the word is never broken
}

// pieces takes a line apart at the blanks at which it may be broken.
func (w *wrapping) pieces(line string) []piece {
	var out []piece
	for at := 0; at < len(line); {
		from := at
		for from < len(line) && line[from] == ' ' {
			from++
		}
		to, whole := from, false
		for to < len(line) && (line[to] != ' ' || w.isWhole(to)) {
			whole = whole || w.isWhole(to)
			to++
		}
		out = append(out, piece{from - at, line[from:to], whole})
		at = to
	}
	return out
}

// isWhole tells whether the byte of a line belongs to a part that stays in one piece.
func (w *wrapping) isWhole(at int) bool {
	for _, s := range w.whole {
		if at+w.start >= s.from && at+w.start < s.to {
			return true
		}
	}
	return false
}

// word appends a word, broken where it is longer than a line has room.
func (w *wrapping) word(b []byte, p piece, at int, indent string) ([]byte, int) {
	n := columnsOf(p.word)
	if p.whole || at+n <= w.width {
		return append(b, p.word...), at + n
	}
	rest, state := p.word, -1
	for rest != "" {
		if n := paintLength(rest); n > 0 {
			b, rest = append(b, rest[:n]...), rest[n:]
			continue
		}
		var cluster string
		var columns int
		cluster, rest, columns, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if at+columns > w.width && at > len(indent) {
			b = append(append(b, '\n'), indent...)
			at = len(indent)
		}
		b = append(b, cluster...)
		at += columns
	}
	return b, at
}

// columnsOf is how many columns of a terminal a text takes; colours take none.
func columnsOf(s string) int {
	if strings.IndexByte(s, '\x1b') < 0 {
		return uniseg.StringWidth(s)
	}
	n := 0
	for s != "" {
		at := strings.IndexByte(s, '\x1b')
		if at < 0 {
			at = len(s)
		}
		n += uniseg.StringWidth(s[:at])
		s = s[at:]
		s = s[paintLength(s):]
	}
	return n
}

// paintLength is the length of the colour sequence that a text begins with; 0 for
// none. An escape character is always one of the report's own.
func paintLength(s string) int {
	if s == "" || s[0] != '\x1b' {
		return 0
	}
	if end := strings.IndexByte(s, 'm'); end > 0 {
		return end + 1
	}
	return 1
}
