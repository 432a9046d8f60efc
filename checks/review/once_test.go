package review_test

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// readShipped reads what ships with the tool once for all tests of the package:
// under the race detector that takes as long as the review that follows.
var readShipped = sync.OnceValues(checks.ReadShipped)

func shipped(t testing.TB) *checks.Shipped {
	t.Helper()
	s, err := readShipped()
	require.NoError(t, err)
	return s
}
