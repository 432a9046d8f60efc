package jobgen

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSameSeedSameBytes(t *testing.T) {
	assert.Equal(t, Firm(20, 7), Firm(20, 7))
	assert.NotEqual(t, Job(3, 7), Job(3, 8))
	small, large := Firm(5, 1), Firm(9, 1)
	for name, text := range small {
		assert.Equal(t, text, large[name], "%s depends on the number of jobs", name)
	}
}

func TestJobsAreOfTheSizeOfRealOnes(t *testing.T) {
	bytes, lines, n := 0, 0, 1000
	for i := range n {
		text := Job(i, 1)
		bytes += len(text)
		lines += strings.Count(text, "\n")
	}
	assert.InDelta(t, 6400, bytes/n, 1000, "bytes a job")
	assert.InDelta(t, 100, lines/n, 25, "lines a job")
}

func TestWriteGoesByNameAndStopsAtTheFirstError(t *testing.T) {
	var names []string
	require.NoError(t, Write(Firm(3, 1), func(name string, _ []byte) error {
		names = append(names, name)
		return nil
	}))
	assert.Len(t, names, 8)
	assert.True(t, slices.IsSorted(names))
	full := errors.New("disk full")
	err := Write(Firm(3, 1), func(string, []byte) error { return full })
	assert.ErrorIs(t, err, full)
}
