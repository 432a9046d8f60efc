package report

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unpacked reads a block as html.js does.
func unpacked(t *testing.T, block string) []string {
	t.Helper()
	bytesOf, err := base64.StdEncoding.DecodeString(block)
	require.NoError(t, err)
	text, err := io.ReadAll(flate.NewReader(bytes.NewReader(bytesOf)))
	require.NoError(t, err)
	var lines, out []string
	after, next := map[string]int{}, map[int]int{}
	parts := strings.Split(string(text), string(rune(partMark)))
	for _, part := range parts[:len(parts)-1] {
		var said []string
		place, last := "", -1
		take := func(n int, expected bool) {
			if n >= len(lines) {
				t.Fatalf("line %d of %d", n, len(lines))
			}
			said = append(said, lines[n])
			after[place], next[last] = n, n
			switch {
			case expected:
				place = strconv.Itoa(n)
			case strings.Count(place, "*") == 4:
				place = "*"
			default:
				place += "*"
			}
			last = n
		}
		if part == "" {
			out = append(out, "")
			continue
		}
		for _, line := range strings.Split(strings.TrimSuffix(part, "\n"), "\n") {
			n := 0
			if line != "" && strings.ContainsRune("\x02\x03\x04", rune(line[0])) {
				n, err = strconv.Atoi(line[1:])
				require.NoError(t, err)
			}
			switch {
			case strings.HasPrefix(line, "\x02"):
				for range n {
					expected, ok := after[place]
					if !ok {
						t.Fatalf("nothing is expected at %q", place)
					}
					take(expected, true)
				}
			case strings.HasPrefix(line, "\x04"):
				for range n {
					expected, ok := next[last]
					if !ok {
						t.Fatalf("nothing is expected behind line %d", last)
					}
					take(expected, true)
				}
			case strings.HasPrefix(line, "\x03"):
				take(n, false)
			default:
				lines = append(lines, line)
				take(len(lines)-1, false)
			}
		}
		out = append(out, strings.Join(said, "\n"))
	}
	return out
}

// comesBack packs parts and holds what is unpacked to be the same, each at its place.
func comesBack(t *testing.T, parts []string) *packer {
	t.Helper()
	p := new(packer)
	var at []packedPlace
	for _, part := range parts {
		place, err := p.add([]byte(part))
		require.NoError(t, err)
		at = append(at, place)
	}
	require.NoError(t, p.flush())
	require.NoError(t, p.flush(), "nothing is left to flush")
	var blocks [][]string
	for _, b := range p.blocks {
		blocks = append(blocks, unpacked(t, b))
	}
	for i, place := range at {
		require.Equal(t, strings.TrimSuffix(parts[i], "\n"), blocks[place.block][place.part])
	}
	return p
}

func TestPackedComesBack(t *testing.T) {
	for name, parts := range map[string][]string{
		"none":               nil,
		"one":                {"a\nb\n"},
		"the same":           {"a\nb\nc\n", "a\nb\nc\n", "a\nb\nc\n"},
		"empty between":      {"a\nb\n", "", "a\nb\nc\n", "", "b\nc\n"},
		"no end of line":     {"a\nb", "a\nb", "b\na"},
		"lines that repeat":  {"a\na\na\nb\na\na\n", "a\na\nb\n"},
		"one line differs":   {"a\n1\nb\nc\n", "a\n2\nb\nc\n", "a\n3\nb\nc\n"},
		"another order":      {"a\nb\nc\nd\n", "d\nc\nb\na\n", "b\na\nd\nc\n"},
		"empty lines":        {"\n\na\n\n", "a\n\n\n"},
		"many that differ":   {"a\n1\n2\n3\n4\n5\n6\n7\nb\n", "a\n8\n9\n10\n11\n12\n13\n14\nb\n"},
		"more than one line": {strings.Repeat("x\n", 500), strings.Repeat("x\ny\n", 500)},
	} {
		t.Run(name, func(t *testing.T) { comesBack(t, parts) })
	}
}

// Parts as jobs are: mostly alike, with lines changed, left out, put in and moved, over
// several blocks.
func TestPackedJobsComeBack(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	form := make([]string, 300)
	for i := range form {
		form[i] = fmt.Sprintf("<li>line %d %s</li>\n", i, strings.Repeat("of the same form ", r.IntN(9)))
	}
	var parts []string
	size := 0
	for range 60 {
		var part strings.Builder
		for i := range form {
			switch r.IntN(12) {
			case 0:
			case 1:
				fmt.Fprintf(&part, "<li>value %d</li>\n", r.IntN(50))
			case 2:
				part.WriteString(form[r.IntN(len(form))])
			default:
				part.WriteString(form[i])
			}
		}
		parts = append(parts, part.String())
		size += part.Len()
	}
	assert.Less(t, comesBack(t, parts).size, size/8)
}

// A block that is full is closed, and places go on in the next.
func TestPackerBlocks(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 12))
	var parts []string
	for range 4 {
		var part strings.Builder
		for part.Len() < packSize/3 {
			fmt.Fprintf(&part, "%x\n", r.Uint64())
		}
		parts = append(parts, part.String(), "", "the same\n")
	}
	p := comesBack(t, parts)
	assert.Len(t, p.blocks, 2)
}

// A block knows nothing of the one before: what was expected there is not expected here.
func TestBlocksStandAlone(t *testing.T) {
	var p packer
	pack := func(parts ...string) {
		for _, part := range parts {
			_, err := p.add([]byte(part))
			require.NoError(t, err)
		}
		require.NoError(t, p.flush())
	}
	pack("a\nb\n", "a\nb\n", "a\nb\n")
	pack("a\n", "b\n", "a\nb\n")
	pack("a\n", "a\n", "b\n", "a\nb\n")
	assert.Equal(t, []string{"a\nb", "a\nb", "a\nb"}, unpacked(t, p.blocks[0]))
	assert.Equal(t, []string{"a", "b", "a\nb"}, unpacked(t, p.blocks[1]))
	assert.Equal(t, []string{"a", "a", "b", "a\nb"}, unpacked(t, p.blocks[2]))
}

func FuzzPacker(f *testing.F) {
	f.Add("a\nb\n|a\nb\n|b\n")
	f.Add("|\n||x\n\n|x")
	f.Fuzz(func(t *testing.T, text string) {
		if strings.ContainsAny(text, "\x00\x02\x03\x04") {
			t.Skip("no text brings these in")
		}
		comesBack(t, strings.Split(text, "|"))
	})
}
