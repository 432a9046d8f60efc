package jobfile

import (
	"bytes"
	"fmt"
)

// foreignEncoding names the encoding of a file that is in UTF-16 or UTF-32,
// "" if it is in neither. Without a byte order mark it goes by where the zero
// bytes stand: ASCII characters leave them at every other place.
func foreignEncoding(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe, 0, 0}), bytes.HasPrefix(data, []byte{0, 0, 0xfe, 0xff}):
		return "UTF-32"
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return "UTF-16"
	}
	head := data[:min(len(data), 64)]
	if len(head) < 4 || bytes.IndexByte(head, 0) < 0 {
		return ""
	}
	zeros := [2]int{}
	for i, c := range head {
		if c == 0 {
			zeros[i&1]++
		}
	}
	all := zeros[0] + zeros[1]
	switch {
	case all*10 >= len(head)*7 && all < len(head):
		return "UTF-32"
	case all*10 >= len(head)*4 && (zeros[0] == 0 || zeros[1] == 0):
		return "UTF-16"
	}
	return ""
}

// binary replaces the many small problems of a file that is no text by one.
// A few control characters may be an accident, and letters of an old 8-bit
// encoding come without control characters.
func (s *scanner) binary() bool {
	if s.controls < 4 || s.controls+s.invalid < 16 {
		return false
	}
	if (s.controls+s.invalid)*50 < len(s.data) {
		return false
	}
	*s.probs = problems{}
	s.probs.add(Position{}, CodeBinary,
		fmt.Sprintf("this is not a text file: %d of its %d bytes are no text", s.controls+s.invalid, len(s.data)),
		"a job file is text in UTF-8; keep photographs and documents elsewhere and name them in the job file")
	return true
}
