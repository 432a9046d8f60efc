package checks

import (
	"testing"
)

// The bounds here are common practice, no source: test values only.

func TestLowestHumidityOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("cassow", "damp-low", `measure: "stacks.unit.location.humidity.low", within: >=5, unit: "%"`)
	judgeReadings(t, f, "designed", inPlace("humidity: {low: %s}", "cassow"), "equipment/cassow@A#damp-low", "locations[L].humidity.low", []reading{
		{"5.1 %", within, "0.1 %"},
		{"5 %", within, "0 %"},
		{"4.9 %", outside, "0.1 %"},
		{"50 ‰", within, ""},
		{"49 ‰", outside, ""},
		{"6 % ± 2 %", tooClose, ""}, // percent points
	})
}

func TestHighestHumidityOfOperation(t *testing.T) {
	t.Parallel()
	f := sheet("dorrim", "damp-high", `measure: "stacks.unit.location.humidity.high", within: <=95, unit: "%"`)
	judgeReadings(t, f, "designed", inPlace("humidity: {high: %s}", "dorrim"), "equipment/dorrim@A#damp-high", "locations[L].humidity.high", []reading{
		{"94.9 %", within, "0.1 %"},
		{"95 %", within, "0 %"},
		{"95.1 %", outside, "0.1 %"},
		{"951 ‰", outside, ""},
		{"93 % ± 3 %", tooClose, ""},
	})
}
