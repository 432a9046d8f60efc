package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/judge"
)

// Nothing but what was compared and is within has the colour of a pass.
func TestOnlyWithinHasItsColour(t *testing.T) {
	p := newPalette(true)
	for _, k := range judge.Kinds() {
		assert.Equal(t, k == judge.Within, p.of(k) == p.of(judge.Within), k)
	}
	off := newPalette(false)
	for _, k := range judge.Kinds() {
		assert.Empty(t, off.of(k), k)
	}
}
