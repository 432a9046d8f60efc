package jobgen

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// SpikeJob returns the text of the i-th job for the synthetic definitions: one
// or two entries in every list, most of their fields written.
func SpikeJob(i int, seed uint64) string {
	s := &spiker{Rand: rand.New(rand.NewPCG(seed, uint64(i)))}
	fmt.Fprintf(s, "job: S-%d\nstage: designed\nsite:\n", i+1)
	for n := range SpikeFields - SpikeLists*perList - 2 {
		fmt.Fprintf(s, "  w%02d: %s\n", n, spikeWords[s.IntN(4)])
	}
	for list := range SpikeLists - 2 {
		fmt.Fprintf(s, "%s:\n", listName(list))
		for e := range 1 + s.IntN(2) {
			s.entry(list, e, "  ")
			if list < 2 && e == 0 {
				inner := list + SpikeLists - 2
				name := listName(inner)
				fmt.Fprintf(s, "    %s:\n", name[strings.LastIndexByte(name, '.')+1:])
				s.entry(inner, 0, "      ")
			}
		}
	}
	return s.String()
}

type spiker struct {
	strings.Builder
	*rand.Rand
}

// entry writes one entry, a third of its quantities left out. Only the first
// entry of a list links to the next list, so that no entry is listed twice.
func (s *spiker) entry(list, e int, indent string) {
	fmt.Fprintf(s, "%s- f%02d: k%d\n", indent, keyField, e)
	line := func(n int, format string, args ...any) {
		fmt.Fprintf(s, "%s  f%02d: %s\n", indent, n, fmt.Sprintf(format, args...))
	}
	if e == 0 {
		line(linkField, "k0")
	}
	line(wordField, "%s", spikeWords[s.IntN(4)])
	line(truthField, "%v", s.IntN(3) > 0)
	line(countField, "%d", 1+s.IntN(9))
	for n := firstSize; n < perList; n++ {
		switch {
		case s.IntN(3) == 0:
		case n >= firstForce:
			line(n, "%d.%d kWh", 1+s.IntN(9), s.IntN(10))
		case s.IntN(4) == 0:
			line(n, "%d 1/4 in", 1+s.IntN(15))
		default:
			line(n, "%d mm ± 1 mm", 10+s.IntN(400))
		}
	}
}
