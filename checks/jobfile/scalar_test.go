package jobfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPlainScalars is the table of what YAML may make of a value without
// quotes, by the core schema of YAML 1.2.2, chapter 10.3, and by what YAML 1.1
// makes of it otherwise.
func TestPlainScalars(t *testing.T) {
	accepted := map[string]ScalarType{
		"0": Integer, "-0": Integer, "7": Integer, "+5": Integer, "-12": Integer, "12345678901234567890": Integer,
		"0.5": Number, ".5": Number, "5.": Number, "-0.0": Number, "1e3": Number, "1.5E-3": Number, "7.20": Number, "0e0": Number,
		"true": Boolean, "True": Boolean, "FALSE": Boolean, "false": Boolean,
		"2026-03-11": Date, "2026-02-30": Date,
		"yes": Text, "no": Text, "on": Text, "off": Text, "y": Text, "N": Text, "tRUE": Text, "nil": Text, "none": Text,
		"2026-014": Text, "2026-3-11": Text, "2026-03-11T10:00:00Z": Text, "1.2.3": Text, "1e": Text, "-": Text, "+": Text, ".": Text,
		"7.2 N·m": Text, "1/0 AWG": Text, "0x": Text, "0 mm": Text, "007 mm": Text, "5,8": Text, "1,000": Text, "--1": Text,
		"12:75": Text, "12:3a": Text, "a_1": Text, "1_a": Text, "0b2": Text, "0o9": Text, "infinity": Text, "inf": Text, "nan": Text,
		"007-3": Text, "<": Text, "1:2:": Text,
	}
	for text, want := range accepted {
		kind, typ, code := resolve(text)
		assert.Equal(t, Scalar, kind, text)
		assert.Equal(t, want, typ, text)
		assert.Empty(t, code, text)
	}
	for _, text := range []string{"", "~", "null", "Null", "NULL"} {
		kind, typ, code := resolve(text)
		assert.Equal(t, Null, kind, text)
		assert.Zero(t, typ)
		assert.Empty(t, code)
	}
	refused := map[string]string{
		"010": CodeLeadingZero, "007": CodeLeadingZero, "-01": CodeLeadingZero, "+00": CodeLeadingZero, "00.5": CodeLeadingZero, "01e2": CodeLeadingZero, "089": CodeLeadingZero,
		"0o17": CodeNumberBase, "0x1F": CodeNumberBase, "-0x1f": CodeNumberBase, "0b101": CodeNumberBase, "0x1_F": CodeNumberBase,
		"1_000": CodeUnderscore, "-1_0.5": CodeUnderscore, "1__0": CodeUnderscore, "1_": CodeUnderscore, "0_1": CodeUnderscore,
		".inf": CodeNotANumber, "-.INF": CodeNotANumber, "+.Inf": CodeNotANumber, ".nan": CodeNotANumber, ".NaN": CodeNotANumber,
		"1:30": CodeBase60, "13:40": CodeBase60, "-1:30": CodeBase60, "08:15:59": CodeBase60, "1:30.5": CodeBase60,
	}
	for text, want := range refused {
		_, _, code := resolve(text)
		assert.Equal(t, want, code, text)
		// In quotes each is text, as the mend says.
		f := read(t, "job.yaml", "a: '"+text+"'\n")
		assert.Equal(t, Text, f.Root.Field("a").Type)
		assert.Equal(t, text, f.Root.Field("a").Text)

		_, problems := Read("job.yaml", []byte("é: [x, "+text+"]\n"), Limits{})
		require.Len(t, problems, 1)
		assert.Equal(t, want, problems[0].Code)
		assert.Equal(t, Position{Line: 1, Column: 8}, problems[0].Pos)
		assert.Contains(t, problems[0].Mend, "'"+text+"'")
	}
}

func TestAuthorsDigitsAreKept(t *testing.T) {
	f := read(t, "job.yaml", "a: 7.20\nb: +5\nc: 1E5\nd: True\n")
	for key, want := range map[string]string{"a": "7.20", "b": "+5", "c": "1E5", "d": "True"} {
		assert.Equal(t, want, f.Root.Field(key).Text)
	}
}

func TestKeysAreNeverTyped(t *testing.T) {
	f := read(t, "job.yaml", "010: a\n1:30: b\ntrue: c\n2026-03-11: d\n\"~\": e\n")
	var keys []string
	for _, k := range f.Root.Fields {
		keys = append(keys, k.Key)
	}
	assert.Equal(t, []string{"010", "1:30", "true", "2026-03-11", "~"}, keys)
}

func TestNamesOfKindsAndTypes(t *testing.T) {
	assert.Equal(t, "mapping list scalar null invalid", Mapping.String()+" "+List.String()+" "+Scalar.String()+" "+Null.String()+" "+NodeKind(0).String())
	assert.Equal(t, "text integer number boolean date none", Text.String()+" "+Integer.String()+" "+Number.String()+" "+Boolean.String()+" "+Date.String()+" "+ScalarType(0).String())
	assert.Equal(t, "2:3: a; b", Problem{Pos: Position{2, 3}, Message: "a", Mend: "b"}.String())
	assert.Equal(t, "2: a", Problem{Pos: Position{Line: 2}, Message: "a"}.String())
	assert.Equal(t, "a", Problem{Message: "a"}.String())
}
