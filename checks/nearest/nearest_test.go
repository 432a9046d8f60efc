package nearest

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearest(t *testing.T) {
	names := []string{"wall_gap", "wall.material", "modules", "equipment", "stacks.wall_gap"}
	for word, want := range map[string][]string{
		"wall_gapp": {"wall_gap"}, "Modules": {"modules"}, "equipmnet": {"equipment"}, "completely different": nil, "": nil,
	} {
		assert.Equal(t, want, Of(word, names), word)
	}
	many := Of("ab", []string{"abc", "abd", "abe", "ab", "abf"})
	assert.Len(t, many, 3, "three at the most")
	assert.Equal(t, "ab", many[0], "the nearest first")
}

func TestHint(t *testing.T) {
	assert.Empty(t, Hint(nil))
	assert.Equal(t, `; did you mean "a"?`, Hint([]string{"a"}))
	assert.Equal(t, `; did you mean "a" or "b"?`, Hint([]string{"a", "b"}))
}
