package checks

import (
	"testing"
)

// The bounds here are common practice, no source: test values only.

func TestModulesInSeries(t *testing.T) {
	t.Parallel()
	f := sheet("farnel", "series", `measure: "stacks.modules", within: >=3 & <=8, unit: "modules"`)
	judgeReadings(t, f, "designed", "stacks:\n  - {id: S, equipment: farnel@A, modules: %s}\n", "equipment/farnel@A#series", "stacks[S].modules", []reading{
		{"2", outside, "1 module"},
		{"3", within, "0 modules"},
		{"4", within, "1 module"},
		{"7", within, "1 module"},
		{"8", within, "0 modules"},
		{"9", outside, "1 module"},
	})
}

// Built decides from installed on: one module more than planned is outside.
func TestModulesInSeriesAsBuilt(t *testing.T) {
	t.Parallel()
	f := sheet("garlo", "series", `measure: "stacks.modules", within: <=8, unit: "modules"`)
	judgeReadings(t, f, "installed", "stacks:\n  - {id: S, equipment: {planned: garlo@A, built: garlo@A}, modules: {planned: 8, built: %s}}\n", "equipment/garlo@A#series", "stacks[S].modules", []reading{
		{"8", within, "0 modules"},
		{"9", outside, "1 module"},
	})
}
