package quantity

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The traps: what is refused, what the message says, and what it offers.
func TestTraps(t *testing.T) {
	for _, c := range []struct {
		text, want string
		problem    Problem
		says       string
		offered    []string
	}{
		{"", "mm", Empty, "empty", nil},
		{" \u00a0", "mm", Empty, "empty", nil},
		{"22", "mm", MissingUnit, "no unit", []string{"22 mm"}},
		{"22 ± 1", "mm", MissingUnit, "no unit", []string{"22 mm ± 1"}},
		{"22 ± 5 %", "mm", MissingUnit, "no unit", []string{"22 mm ± 5 %"}},
		{"35", "%", MissingUnit, "no unit", []string{"35 %"}},
		{"22", "", MissingUnit, "no unit", nil},
		{"5 foo", "mm", UnknownUnit, `"foo"`, nil},
		{"5 qqqqqqqqqqqqqqqq", "mm", UnknownUnit, "not known", nil},
		{"5 milimeter", "mm", UnknownUnit, "not known", nil},
		{"5 Nmm", "N·m", UnknownUnit, "not known", []string{"5 N·m"}},
		{"5 kPaa", "kPa", UnknownUnit, "not known", []string{"5 kPa"}},
		{"5 C", "°C", UnknownUnit, "not known", []string{"5 °C"}},
		{"5 C", "K", UnknownUnit, "not known", []string{"5 K"}},
		{"25 F", "°C", UnknownUnit, "degree sign", []string{"25 °F"}},
		{"5 mm -", "mm", UnknownUnit, "stray sign", []string{"5 mm"}},
		{"5 mM", "mm", WrongCase, "wrong case", []string{"5 mm"}},
		{"7 KWH", "kWh", WrongCase, "wrong case", []string{"7 kWh"}},
		{"5 nm", "N·m", WrongCase, "wrong case", []string{"5 N·m"}},
		{"10 MA", "A", WrongCase, "wrong case", []string{"10 mA"}},
		{"10 KA", "A", WrongCase, "wrong case", []string{"10 kA"}},
		{"6 awg", "mm²", WrongCase, "wrong case", []string{"6 AWG"}},
		{"22 mm ± 1 MM", "mm", WrongCase, "wrong case", []string{"22 mm ± 1 mm"}},
		{"2 H", "h", WrongCase, "wrong case", []string{"2 h"}},
		{"22 kg", "mm", WrongKind, "a mass (kg), where a length is expected", nil},
		{"5 J", "N·m", WrongKind, "an energy (J), where a torque is expected", nil},
		{"5 kVA", "kW", WrongKind, "an apparent power (kVA), where a power is expected", nil},
		{"5 Hz", "1/s", WrongKind, "a frequency (Hz), where a rate is expected", nil},
		{"22 mm ± 1 kg", "mm", WrongKind, "a mass (kg) after ±", nil},
		{"22 ± 1 kg", "mm", WrongKind, "a mass (kg), where a length", nil},
		{"5 °C", "K", PlainTemperature, "where a difference is expected", []string{"5 K", "5 Δ°C"}},
		{"5 ± 1 °C", "K", PlainTemperature, "where a difference is expected", []string{"5 ± 1 K", "5 ± 1 Δ°C"}},
		{"9 °F", "K", PlainTemperature, "where a difference is expected", []string{"9 Δ°F"}},
		{"5 Δ°C", "°C", WrongKind, "where a temperature is expected", []string{"5 °C"}},
		{"9 Δ°F", "°C", WrongKind, "where a temperature is expected", []string{"9 °F"}},
		{"NaN mm", "mm", NotFinite, "not a finite number", nil},
		{".nan", "mm", NotFinite, "not a finite number", nil},
		{"-Infinity mm", "mm", NotFinite, "not a finite number", nil},
		{"\u221e mm", "mm", NotFinite, "not a finite number", nil},
		{"22 mm ± inf mm", "mm", NotFinite, "not a finite number", nil},
		{"1e31 mm", "mm", AbsurdExponent, "absurd exponent", nil},
		{"1e-999999999999 mm", "mm", AbsurdExponent, "absurd exponent", nil},
		{"1234567890123456789 mm", "mm", TooManyDigits, "more than 18 digits", nil},
		{"0.1234567890123456789 mm", "mm", TooManyDigits, "more than 18 digits", nil},
		{"22 mm ± -1 mm", "mm", BadUncertainty, "negative", nil},
		{"22 mm ± \u22121 mm", "mm", BadUncertainty, "negative", nil},
		{"41 °C ± 2 %", "°C", BadUncertainty, "relative", nil},
		{"60 dB ± 2 %", "dB", BadUncertainty, "relative", nil},
		{"1.25 ± 4 %", "ratio", BadUncertainty, "both parts", nil},
		{"22 mm ±", "mm", MalformedNumber, "no number", nil},
		{"22 mm ± 1 mm ± 2 mm", "mm", MalformedNumber, "goes on", nil},
		{"22 mm 3", "mm", MalformedNumber, "more than one value", nil},
		{"2 mm - 3 mm", "mm", MalformedNumber, "more than one value", nil},
		{"2-3 mm", "mm", MalformedNumber, "more than one number", nil},
		{"22 33 mm", "mm", MalformedNumber, "more than one number", nil},
		{"1.5 100 mm", "mm", MalformedNumber, "more than one number", nil},
		{"22 mm + 3 mm", "mm", MalformedNumber, "goes on", nil},
		{">= 22 mm", "mm", MalformedNumber, "does not start with a number", nil},
		{"about 22 mm", "mm", MalformedNumber, "does not start with a number", nil},
		{"mm", "mm", MalformedNumber, "does not start with a number", nil},
		{"22. mm", "mm", MalformedNumber, "decimal point", nil},
		{"3 ft 6", "mm", MalformedNumber, "feet and inches", nil},
		{"3 ft 12 in", "mm", MalformedNumber, "less than 12 inches", nil},
		{"3.5 ft 6 in", "mm", MalformedNumber, "whole feet", nil},
		{"2 lb 3 oz", "kg", MalformedNumber, "more than one value", nil},
		{"1/3 in", "mm", BadFraction, "write it as a decimal", nil},
		{"1/128 in", "mm", BadFraction, "write it as a decimal", nil},
		{"1.5/8 in", "mm", BadFraction, "not whole", nil},
		{"1 9/8 in", "mm", BadFraction, "one or more", nil},
		{"1/0 in", "mm", BadFraction, "nothing below the line", nil},
		{"-1 K", "°C", BelowAbsoluteZero, "absolute zero", nil},
		{"-273.16 °C", "°C", BelowAbsoluteZero, "absolute zero", nil},
		{"-459.68 °F", "°C", BelowAbsoluteZero, "absolute zero", nil},
		{"22\tmm", "mm", ControlCharacter, "control character", nil},
		{"22 mm\x1b[31m", "mm", ControlCharacter, "control character", nil},
		{"22 \u202emm", "mm", ControlCharacter, "invisible", nil},
		{"2\u200b2 mm", "mm", ControlCharacter, "invisible", nil},
		{"22\u00admm", "mm", ControlCharacter, "invisible", nil},
		{"22 \xffmm", "mm", ControlCharacter, "UTF-8", nil},
		{strings.Repeat("9", 300), "mm", TooLong, "too long", nil},
	} {
		problem := requireFails(t, c.text, c.want, c.problem)
		assert.Equal(t, c.text, problem.Text)
		assert.Contains(t, problem.Error(), c.says, c.text)
		if c.offered != nil {
			assert.Equal(t, c.offered, problem.Suggestions, c.text)
			for _, offered := range c.offered {
				assert.Contains(t, problem.Error(), offered)
			}
		}
	}
	assert.Equal(t, "-273.15 °C", MustOf("-273.15 °C", "°C").String())
	assert.Equal(t, "-459.67 °F", MustOf("-459.67 °F", "°C").String())
}

// A message is one line of printable text whatever the file says.
func TestErrorsAreSafeToPrint(t *testing.T) {
	for _, text := range []string{"22\n::error::mm", "\x1b[2J", "22 \u202e mm", "\xff\xfe", strings.Repeat("é", 90), "5 \u0085"} {
		_, err := Of(text, "mm")
		message := requireProblem(t, err, err.(*Error).Problem, text).Error()
		for _, r := range message {
			assert.True(t, r >= ' ' && harmless(r), "%q in %q", r, message)
		}
		assert.NotContains(t, message, "\n")
		assert.Less(t, len(message), 500)
	}
}

func TestProblemNames(t *testing.T) {
	seen := map[string]bool{}
	for p := Problem(1); p < problemEnd; p++ {
		assert.False(t, seen[p.String()], p.String())
		assert.NotEmpty(t, p.String())
		seen[p.String()] = true
	}
	assert.Equal(t, "no problem", Problem(0).String())
	requireFails(t, "", "mm", Empty)
	_, err := Of("1 mm", "furlong")
	requireProblem(t, err, UnknownUnit, "furlong")
}
