package checks

import (
	"fmt"
	"testing"
)

// The bounds here are common practice, no source: test values only.

const standing = `locations:
  - {id: L, %s}
units:
  - {id: U, location: L, stacks: [S]}
stacks:
  - {id: S, equipment: %s@A}
`

func inPlace(place, product string) string { return fmt.Sprintf(standing, place, product) }

func TestLowestAirOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("ardel", "air-low", `measure: "stacks.unit.location.air.low", within: >=-10, unit: "°C"`)
	judgeReadings(t, f, "designed", inPlace("air: {low: %s}", "ardel"), "equipment/ardel@A#air-low", "locations[L].air.low", []reading{
		{"-9.9 °C", within, "0.1 K"},
		{"-10 °C", within, "0 K"},
		{"-10.1 °C", outside, "0.1 K"},
		{"14 °F", within, ""},
		{"14.1 °F", within, ""},
		{"13.9 °F", outside, ""},
		{"263.15 K", within, ""},
		{"-9 °C ± 2 °C", tooClose, ""},
		{"-9 °C ± 1 °C", within, "1 K"}, // a band that only touches is within
	})
}

func TestHighestAirOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("bevor", "air-high", `measure: "stacks.unit.location.air.high", within: <=50, unit: "°C"`)
	judgeReadings(t, f, "designed", inPlace("air: {high: %s}", "bevor"), "equipment/bevor@A#air-high", "locations[L].air.high", []reading{
		{"49.9 °C", within, "0.1 K"},
		{"50 °C", within, "0 K"},
		{"50.1 °C", outside, "0.1 K"},
		{"121.9 °F", within, ""},
		{"122 °F", within, "0.0 K"},
		{"122.1 °F", outside, ""},
		{"120 °F ± 3 °F", tooClose, ""},
	})
}
