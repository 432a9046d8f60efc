package checks

import (
	"testing"
)

// The bounds here are common practice, no source: test values only.

// The base from the wall, in mm and as a US tape shows it: 3/4 in is 19.05 mm,
// which a rule of thumb takes for 19 mm; 15/32 in is 11.9 mm.
func TestBaseFromTheWall(t *testing.T) {
	t.Parallel()
	f := sheet("ellam", "wall", `measure: "stacks.wall_gap", within: >=12 & <=19, unit: "mm"`)
	judgeReadings(t, f, "designed", "stacks:\n  - {id: S, equipment: ellam@A, wall_gap: %s}\n", "equipment/ellam@A#wall", "stacks[S].wall_gap", []reading{
		{"11.9 mm", outside, "0.1 mm"},
		{"12 mm", within, "0 mm"},
		{"12.1 mm", within, "0.1 mm"},
		{"18.9 mm", within, "0.1 mm"},
		{"19 mm", within, "0 mm"},
		{"19.1 mm", outside, "0.1 mm"},
		{"15/32 in", outside, ""},
		{"1/2 in", within, ""},
		{"0.472 in", outside, ""},
		{"0.473 in", within, ""},
		{"0.748 in", within, ""},
		{"0.749 in", outside, ""},
		{"3/4 in", outside, "0.1 mm"},
		{"47/64 in", within, ""},
		{"1.9 cm", within, "0 mm"},
		{"18.5 mm ± 1 mm", tooClose, ""},
		{"18 mm ± 1 mm", within, "1 mm"},
	})
}
