package jobfile

import (
	"sort"
	"unicode/utf8"
)

// lineTable knows where each line of a file starts.
type lineTable struct {
	data []byte

	// starts holds for each line the byte offset of its first character times
	// two, plus one if the line has characters outside ASCII.
	starts []uint32

	// The last conversion. Values are asked for in the order in which they
	// stand, so counting goes on from here and stays linear in long lines.
	line, column, at int
}

// count is the number of lines.
func (t *lineTable) count() int { return len(t.starts) }

// start returns the offset of the first character of a line counted from 1.
func (t *lineTable) start(line int) int { return int(t.starts[line-1] >> 1) }

// ascii reports whether a line has ASCII characters only.
func (t *lineTable) ascii(line int) bool { return t.starts[line-1]&1 == 0 }

// end returns the offset of a line's line feed, or of the end of the file.
func (t *lineTable) end(line int) int {
	if line < len(t.starts) {
		return t.start(line+1) - 1
	}
	return len(t.data)
}

// text returns a line without its line break.
func (t *lineTable) text(line int) string {
	if line < 1 || line > len(t.starts) {
		return ""
	}
	end := t.end(line)
	if end > t.start(line) && t.data[end-1] == '\r' {
		end--
	}
	return string(t.data[t.start(line):end])
}

// offset returns the byte offset of a position, -1 if it is not in the file.
func (t *lineTable) offset(line, column int) int {
	if line < 1 || line > len(t.starts) || column < 1 {
		return -1
	}
	if t.ascii(line) {
		off := t.start(line) + column - 1
		if off > t.end(line) {
			return -1
		}
		return off
	}
	if line != t.line || column < t.column {
		t.line, t.column, t.at = line, 1, t.start(line)
	}
	end := t.end(line)
	for t.column < column {
		if t.at >= end {
			return -1
		}
		_, size := utf8.DecodeRune(t.data[t.at:])
		t.at += size
		t.column++
	}
	return t.at
}

// position returns the line and column of a byte offset.
func (t *lineTable) position(offset int) Position {
	line := sort.Search(len(t.starts), func(i int) bool { return int(t.starts[i]>>1) > offset })
	if line == 0 { // inside the byte order mark
		return Position{Line: 1, Column: 1}
	}
	from := t.start(line)
	return Position{Line: line, Column: utf8.RuneCount(t.data[from:offset]) + 1}
}
