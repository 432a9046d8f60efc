package limit_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/limit"
)

// What is claimed of three limits together is what trying every value shows, and
// of ranges no more is claimed than of every two of them.
func TestContradictionsOfThreeAgreeWithTrying(t *testing.T) {
	t.Parallel()
	c, r := small(t), rand.New(rand.NewPCG(5, 6))
	claimed, beyond := 0, 0
	for range 4000 {
		measure := []string{"gap", "modules", "place"}[r.IntN(3)]
		three, in, ranges := make([]*limit.Compiled, 3), make([]map[string]bool, 3), true
		for i := range three {
			for three[i] == nil || len(three[i].When) > 0 {
				three[i] = random(t, c, r, measure)
			}
			ranges = ranges && three[i].IsRange()
			in[i], _ = accepted(t, three[i])
		}
		none := true
		for _, v := range values(measure) {
			none = none && !(in[0][v] && in[1][v] && in[2][v])
		}
		assert.Equal(t, none, limit.ContradictTogether(three), "%s; %s; %s", three[0].Describe(false), three[1].Describe(false), three[2].Describe(false))
		claimed += count(none)
		pairs := three[0].Contradicts(three[1]) || three[0].Contradicts(three[2]) || three[1].Contradicts(three[2])
		if none && !pairs {
			beyond++
			impossible := !some(in[0]) || !some(in[1]) || !some(in[2])
			assert.True(t, impossible || !ranges, "ranges of which every two meet")
		}
	}
	assert.Greater(t, claimed, 50)
	assert.Greater(t, beyond, 10)
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}
