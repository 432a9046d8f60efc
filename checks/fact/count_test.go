package fact_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/fact"
)

// One of a thing is written without its plural.
func TestCountOf(t *testing.T) {
	for many, one := range map[string]string{
		"modules": "module", "addresses": "address", "entries": "entry", "devices": "device", "calendar days": "calendar day",
	} {
		assert.Equal(t, "1 "+one, fact.CountOf("1", many))
		assert.Equal(t, "2 "+many, fact.CountOf("2", many))
	}
}
