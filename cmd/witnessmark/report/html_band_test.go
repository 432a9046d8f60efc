package report

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// ruled is an outcome of a limit of this name.
func ruled(name string) *judge.Outcome {
	l := &limit.Planned{Compiled: &limit.Compiled{Limit: &limit.Limit{}}}
	l.FullName, l.Clause = name, "clause of "+name
	return &judge.Outcome{Limit: l}
}

// drawn is what the drawing of a band says.
type drawn struct {
	from, to, value    float64 // where the range begins and ends, and where the value is
	arrowLow, arrowTop bool
	spread             bool
	texts              []string
	words              string
	at                 []float64 // every coordinate across
}

var (
	pathOf   = regexp.MustCompile(`<path class="(\w+)" d="([^"]+)"/>`)
	textOf   = regexp.MustCompile(`<text x="([^"]+)" y="\d+"[^>]*>([^<]*)</text>`)
	wordsOf  = regexp.MustCompile(`(?s)<p class="range-words">(.*?)</p>`)
	acrossOf = regexp.MustCompile(`[MH](-?[^ vlHMz]+)`)
)

func drawing(t *testing.T, b *band) drawn {
	t.Helper()
	require.True(t, b.drawable())
	var m markup
	b.draw(&m)
	out := drawn{from: -1, to: -1, value: -1}
	number := func(text string) float64 {
		n, err := strconv.Atoi(text)
		require.NoError(t, err, "%s in %s", text, m.b)
		out.at = append(out.at, float64(n))
		return float64(n)
	}
	for _, p := range pathOf.FindAllStringSubmatch(string(m.b), -1) {
		across := acrossOf.FindAllStringSubmatch(p[2], -1)
		require.NotEmpty(t, across, p[2])
		first := number(across[0][1])
		for _, a := range across[1:] {
			number(a[1])
		}
		switch {
		case p[1] == "range":
			out.from = first
			out.to = number(across[1][1])
		case p[1] == "value":
			out.value = first
		case p[1] == "spread":
			out.spread = true
		case p[1] == "stop" && strings.HasPrefix(p[2], "M14 21l-9"):
			out.arrowLow = true
		case p[1] == "stop" && strings.HasPrefix(p[2], "M406 21l9"):
			out.arrowTop = true
		}
	}
	for _, x := range textOf.FindAllStringSubmatch(string(m.b), -1) {
		number(x[1])
		out.texts = append(out.texts, x[2])
	}
	found := wordsOf.FindStringSubmatch(string(m.b))
	require.NotNil(t, found)
	out.words = strings.Join(strings.Fields(found[1]), " ")
	return out
}

func bandFor(low, high, value, spread float64) *band {
	b := &band{low: low, high: high, value: value, spread: spread, valueText: fmt.Sprint(value), collision: low > high}
	if !math.IsInf(low, 0) {
		b.lowText, b.lowBy = fmt.Sprint(low), ruled("set#low")
	}
	if !math.IsInf(high, 0) {
		b.highText, b.highBy = fmt.Sprint(high), ruled("set#high")
	}
	return b
}

func TestBand(t *testing.T) {
	none := math.Inf(1)
	t.Run("between two", func(t *testing.T) {
		d := drawing(t, bandFor(22, 40, 31, 0))
		assert.Equal(t, []float64{90, 330, 210}, []float64{d.from, d.to, d.value})
		assert.False(t, d.arrowLow || d.arrowTop || d.spread)
		assert.ElementsMatch(t, []string{"22", "40", "31"}, d.texts)
		assert.Equal(t, "Permitted: from 22 (set#low, clause of set#low) up to 40 (set#high, clause of set#high)", d.words)
	})
	t.Run("open above", func(t *testing.T) {
		d := drawing(t, bandFor(22, none, 44, 0))
		assert.True(t, d.arrowTop && !d.arrowLow)
		assert.Equal(t, []float64{90, 410, 330}, []float64{d.from, d.to, d.value})
		assert.Equal(t, "Permitted: from 22 (set#low, clause of set#low)", d.words)
	})
	t.Run("open below", func(t *testing.T) {
		d := drawing(t, bandFor(-none, 22, 44, 0))
		assert.True(t, d.arrowLow && !d.arrowTop)
		assert.Equal(t, []float64{10, 90, 330}, []float64{d.from, d.to, d.value})
		assert.Equal(t, "Permitted: up to 22 (set#high, clause of set#high)", d.words)
	})
	t.Run("ends that are left out", func(t *testing.T) {
		b := bandFor(22, 40, 31, 0)
		b.lowBy.Limit.Within = bound(limit.Greater, "22")
		b.highBy.Limit.Within = limit.Constraint{Op: limit.All, Args: []limit.Constraint{bound(limit.AtLeast, "10"), bound(limit.Less, "40")}}
		assert.Equal(t, "Permitted: over 22 (set#low, clause of set#low) below 40 (set#high, clause of set#high)", drawing(t, b).words)
	})
	t.Run("exactly one value", func(t *testing.T) {
		b := bandFor(22, 22, 22, 0)
		b.highBy = b.lowBy
		d := drawing(t, b)
		assert.Equal(t, d.from, d.to)
		assert.Equal(t, d.from, d.value)
		assert.Equal(t, []string{"22", "22"}, d.texts, "value and bound, the bound once")
		assert.Equal(t, "Permitted: exactly 22 (set#low, clause of set#low)", d.words)
	})
	t.Run("one value from two limits", func(t *testing.T) {
		d := drawing(t, bandFor(22, 22, 30, 0))
		assert.Equal(t, "Permitted: from 22 (set#low, clause of set#low) up to 22 (set#high, clause of set#high)", d.words)
	})
	t.Run("limits that contradict", func(t *testing.T) {
		d := drawing(t, bandFor(40, 22, 30, 0))
		assert.Equal(t, -1.0, d.from, "no range is drawn")
		assert.Contains(t, d.words, "The limits contradict each other: from 40")
		b := bandFor(40, 22, 30, 0)
		b.advisory = true
		assert.Contains(t, drawing(t, b).words, "The limits that advise contradict each other: ")
	})
	t.Run("advice", func(t *testing.T) {
		b := bandFor(22, none, 30, 0)
		b.advisory = true
		assert.Contains(t, drawing(t, b).words, "Advised: from 22")
	})
	t.Run("uncertainty", func(t *testing.T) {
		d := drawing(t, bandFor(22, 40, 40, 6))
		assert.True(t, d.spread)
		assert.Less(t, d.to, 330.0, "the drawing reaches to the end of the uncertainty")
		assert.Equal(t, d.to, d.value)
	})
	t.Run("far outside", func(t *testing.T) {
		d := drawing(t, bandFor(22, 40, 4e9, 0))
		assert.Equal(t, []float64{90, 90, 330}, []float64{d.from, d.to, d.value})
	})
	t.Run("zero", func(t *testing.T) {
		d := drawing(t, bandFor(0, 0, 0, 0))
		assert.Equal(t, 210.0, d.value)
	})
	for _, b := range []*band{bandFor(math.NaN(), 3, math.NaN(), 0), bandFor(-math.MaxFloat64, none, math.MaxFloat64, 0), bandFor(1, 2, none, 0), bandFor(1, 2, 3, math.NaN()), bandFor(1, 2, 3, none)} {
		assert.False(t, b.drawable(), "%+v", b)
	}
}

// Whatever the numbers, everything lies in the drawing, and in the order of the numbers.
func TestBandLiesInTheDrawing(t *testing.T) {
	r := rand.New(rand.NewPCG(2026, 11))
	number := func() float64 {
		v := r.NormFloat64() * math.Pow(10, float64(r.IntN(600)-300))
		switch r.IntN(8) {
		case 0:
			return 0
		case 1:
			return math.Round(v)
		}
		return v
	}
	tried := 0
	for range 4_000 {
		b := bandFor(number(), number(), number(), math.Abs(number())*float64(r.IntN(2)))
		if r.IntN(3) == 0 {
			b = bandFor(math.Inf(-1), b.high, b.value, b.spread)
		} else if r.IntN(3) == 0 {
			b = bandFor(b.low, math.Inf(1), b.value, b.spread)
		}
		if !b.drawable() {
			continue
		}
		tried++
		d := drawing(t, b)
		for _, x := range d.at {
			require.True(t, x >= 0 && x <= bandWidth, "%+v: %v", b, x)
		}
		if d.from < 0 {
			require.Greater(t, b.low, b.high)
			continue
		}
		require.LessOrEqual(t, d.from, d.to, "%+v", b)
		if b.value >= b.low && b.value <= b.high {
			require.True(t, d.value >= d.from && d.value <= d.to, "%+v", b)
		}
		if b.value < b.low {
			require.LessOrEqual(t, d.value, d.from, "%+v", b)
		}
		if b.value > b.high {
			require.GreaterOrEqual(t, d.value, d.to, "%+v", b)
		}
	}
	require.Greater(t, tried, 2_000)
}

// Where a limit that advises is not met, it is drawn beside those that block: the
// drawing must not show a value well within that the words say is outside.
func TestBandOfAdviceNotMet(t *testing.T) {
	job := "job: 1\nstage: designed\nstacks: [{id: A, equipment: morvane@B, wall_gap: % mm}]\n"
	for gap, want := range map[string]string{
		"27": "Permitted and advised: from 30 mm\n(xx/code#gap-hearsay, 4.3)",
		"20": "Permitted: from 25 mm\n(xx/code#gap, 4.2)",
		"40": "Permitted: from 25 mm\n(xx/code#gap, 4.2)",
	} {
		page := htmlOf(t, Settings{}, plainSize, wholeSize, "jobs/a.yaml", strings.Replace(job, "%", gap, 1))
		for _, words := range regexp.MustCompile(`(?s)range-words">(.*?)</p>`).FindAllStringSubmatch(page, -1) {
			assert.Equal(t, want, words[1], gap)
		}
		assert.Contains(t, page, want)
	}
}
