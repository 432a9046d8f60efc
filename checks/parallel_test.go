package checks

import (
	"testing"
)

// The bounds here are common practice, no source: test values only.

func TestStacksInParallel(t *testing.T) {
	t.Parallel()
	f := sheet("hestin", "parallel", `measure: "units.stack_count", within: <=3, unit: "stacks"`)
	job := `units:
  - {id: U, stacks: %s}
stacks:
  - {id: a, equipment: hestin@A}
  - {id: b, equipment: hestin@A}
  - {id: c, equipment: hestin@A}
  - {id: d, equipment: hestin@A}
`
	judgeReadings(t, f, "designed", job, "equipment/hestin@A#parallel", "units[U].stack_count", []reading{
		{"[a, b]", within, "1 stack"},
		{"[a, b, c]", within, "0 stacks"},
		{"[a, b, c, d]", outside, "1 stack"},
	})
}
