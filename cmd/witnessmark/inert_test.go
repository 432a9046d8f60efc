package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/cmd/witnessmark/report"
	"witnessmark.example/cmd/witnessmark/report/inert"
)

func TestEveryFormatHasAnInvariant(t *testing.T) {
	for _, f := range report.Formats() {
		assert.NotNil(t, inert.Formats[f.Name], "say in inert.Formats what keeps the format %q from being steered", f.Name)
	}
	assert.Len(t, inert.Formats, len(report.Formats()))
}

// requireInert holds every report to its invariant.
func requireInert(t testing.TB, got map[string][]byte, plain ...map[string][]byte) {
	t.Helper()
	for _, f := range report.Formats() {
		require.NotNil(t, inert.Formats[f.Name], f.Name)
		var others [][]byte
		for _, one := range plain {
			others = append(others, one[f.Name])
		}
		require.NoError(t, inert.Formats[f.Name](got[f.Name], others...), f.Name)
	}
}
