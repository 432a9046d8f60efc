package define

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"

	"witnessmark.example/checks/fact"
)

const placed = `package rules

#policy: {
	source: {
		name: "policy"
		title: "T"
	}
	promotes: [
		"a#b",
		"a#c",
	]
	limits: [string]: {grade: "document", why: "1"}
	limits: [=~"^x"]: why: "2"
	limits: one: {measure: "m", when: stacks: wall: material: "brick", why: "own"}
	limits: two: {
		measure: "m"
		examples: {
			within: ["1 mm",
				"2 mm"]
		}
	}
	limits: two: measure: "m"
}
#products: oar: A: title: "T"
#products: oar: A: edition: "1"
#products: oar: B: title: "T"
`

func TestPlaces(t *testing.T) {
	t.Parallel()
	p := NewPlaces(func(file string) ([]byte, error) {
		if file != "r.cue" {
			return nil, errors.New("no such file")
		}
		return []byte(placed), nil
	})
	at := func(line int) fact.Origin { return fact.Origin{File: "r.cue", Line: line} }
	assert.Equal(t, at(6), p.Beside(at(5), "title", "T"))
	assert.Equal(t, at(14), p.Beside(at(14), "why", "own"), "the limit's own, not that for all")
	assert.Equal(t, at(12), p.Beside(at(16), "why", "1"))
	assert.Equal(t, at(13), p.Beside(at(16), "why", "2"), "of several patterns the one that says it")
	assert.Equal(t, at(16), p.Beside(at(16), "clause", ""), "not there: the place of the limit itself")
	assert.Equal(t, []fact.Origin{at(9), at(10)}, p.Items(at(8), "promotes"))
	assert.Equal(t, []fact.Origin{at(18), at(19)}, p.Items(at(16), "examples", "within"))
	assert.Empty(t, p.Items(at(16), "examples", "outside"))
	assert.Empty(t, p.Items(at(14), "examples", "within"))
	assert.Equal(t, []fact.Origin{at(24), at(25)}, p.Revision("r.cue", "oar@A"))
	assert.Equal(t, []fact.Origin{at(26)}, p.Revision("r.cue", "oar@B"))
	assert.Equal(t, [][]fact.Origin{{at(14)}, {at(16), at(22)}}, p.Limits("r.cue"))

	other := fact.Origin{File: "x.cue", Line: 3}
	assert.Equal(t, other, p.Beside(other, "why", ""))
	assert.Empty(t, p.Items(other, "promotes"))
	assert.Empty(t, p.Revision("x.cue", "oar@A"))
	assert.Empty(t, p.Limits("x.cue"))
}
