package redact

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestScrub(t *testing.T) {
	long := "Ada Vesper, tel. 555 0100, rings twice and then waits at the gate"
	w := &Words{}
	for _, one := range []string{"ro", "Ada Vesper", "Mill Lane 4", "say \"hi\"\tto ♞", "line one\nline two", long, "ж", "", " ", "10"} {
		w.Add(one)
	}
	for in, want := range map[string]string{
		"":                                     "",
		"nothing of it":                        "nothing of it",
		"ro may not rule, \"ro\"; (ro)":        "(left out) may not rule, \"(left out)\"; ((left out))",
		"robin, zero, hero":                    "robin, zero, hero",
		"crew[ro].person":                      "crew[(left out)].person",
		"Ada Vesper of Mill Lane 4.":           "(left out) of (left out).",
		"Ada Vesperine":                        "Ada Vesperine",
		`takes a date, not "say \"hi\"\tto ♞"`: `takes a date, not "(left out)"`,
		"line two":                             "(left out)",
		"cut: \"" + long[:24] + "…\"":          "cut: \"(left out)…\"",
		long + long:                            "(left out)(left out)",
		"ж, but not жж":                        "(left out), but not жж",
		"10 mm, 100 mm, 1.10":                  "(left out) mm, 100 mm, 1.(left out)",
		"\xff ro \xff":                         "\xff (left out) \xff",
		LeftOut:                                LeftOut,
	} {
		assert.Equal(t, want, w.Scrub(in))
		assert.Equal(t, want, w.Scrub(want), "once is enough")
	}
}

// A value that begins like another is taken whole, from whichever set it comes.
func TestScrubTakesTheLongest(t *testing.T) {
	under := &Words{}
	under.Add("Mill Lane")
	w := Over(under)
	w.Add("Mill")
	assert.Equal(t, "(left out) and (left out)", w.Scrub("Mill Lane and Mill"))
	all := &Words{}
	all.AddAll(w)
	assert.Equal(t, "(left out) Lane", all.Scrub("Mill Lane"), "only its own")
	assert.Equal(t, "Mill Lane", (&Words{}).Scrub("Mill Lane"))
}

func FuzzScrub(f *testing.F) {
	f.Add("ro", "tove", "by ro and tove, not robin")
	f.Add("a\nb", "\xff", "a b \xff")
	f.Add("ab", "abc", "abcab")
	f.Fuzz(func(t *testing.T, one, other, text string) {
		w := &Words{}
		w.Add(one)
		w.Add(other)
		got := w.Scrub(text)
		if one = strings.TrimSpace(one); one != "" && !strings.Contains(LeftOut, one) {
			assert.NotContains(t, " "+got+" ", " "+one+" ")
		}
	})
}

// What is added to a result later is scrubbed unless somebody says otherwise.
func TestTexts(t *testing.T) {
	w := &Words{}
	w.Add("ro")
	x := struct {
		Reason, File string
		Notes        []string
		Number       int
		hidden       string
	}{"by ro", "ro.yaml", []string{"ro", "x"}, 1, "ro"}
	w.Texts(&x, "File")
	assert.Equal(t, "by (left out)", x.Reason)
	assert.Equal(t, []string{"(left out)", "x"}, x.Notes)
	assert.Equal(t, "ro.yaml", x.File)
	assert.Equal(t, "ro", x.hidden, "what cannot be read from outside is told by nobody")
}
