package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func BenchmarkParse(b *testing.B) {
	for _, c := range []struct{ name, text, want string }{
		{"plain", "600 mm", "mm"},
		{"band", "22 mm ± 1 mm", "mm"},
		{"torque", "7.2 N·m", "N·m"},
		{"feet", "3 ft 6 1/2 in", "mm"},
		{"temperature", "-6 °C", "°C"},
		{"wire", "1/0 AWG", "mm²"},
	} {
		want := MustUnit(c.want)
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Parse(c.text, want, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkCompare(b *testing.B) {
	for _, c := range []struct{ name, a, b string }{
		{"floats", "22 mm ± 1 mm", "20 mm"},
		{"same unit at the limit", "20.0 mm", "20 mm"},
		{"two units at the limit", "914.4 mm", "3 ft"},
	} {
		x, y := MustOf(c.a, ""), MustOf(c.b, "")
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				CompareLower(x, y)
				Compare(x, y)
			}
		})
	}
}

// The reader parses some 150 quantities a file and the judge compares millions.
func TestHappyPathsDoNotAllocate(t *testing.T) {
	millimetre := MustUnit("mm")
	for _, text := range []string{"22 mm ± 1 mm", "3 ft 6 1/2 in", "7/8 in ± 4 %", "914 mm"} {
		assert.Zero(t, testing.AllocsPerRun(100, func() {
			if _, err := Parse(text, millimetre, Options{}); err != nil {
				t.Error(err)
			}
		}), text)
	}
	a, b, c := MustOf("22 mm ± 1 mm", "mm"), MustOf("20 mm", "mm"), MustOf("22.0 mm", "mm")
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		Compare(a, b)
		CompareUpper(a, b)
		CompareLower(a, b)
		Compare(a, c)
	}))
}
