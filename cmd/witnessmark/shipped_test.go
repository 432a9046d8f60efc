package main

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// readShipped reads what ships with the tool once for all tests of the package:
// under the race detector that takes longer than most of what is then tested. The
// scripts run the command as it is and read it each time.
var readShipped = sync.OnceValues(checks.ReadShipped)

func shipped(t testing.TB) *checks.Shipped {
	t.Helper()
	s, err := readShipped()
	require.NoError(t, err)
	return s
}
