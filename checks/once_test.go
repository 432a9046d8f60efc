package checks

import (
	"context"
	"os"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/quantity"
)

// readShipped reads what ships with the tool once for all tests of the package:
// under the race detector that takes longer than most of what is then tested, and
// runs that share it show that none of them changes it.
var readShipped = sync.OnceValues(ReadShipped)

func once(t testing.TB) *Shipped {
	t.Helper()
	s, err := readShipped()
	require.NoError(t, err)
	return s
}

// shipped are the tool's own definitions, compiled.
func shipped(t testing.TB) (*fact.Compiled, []*limit.Set) {
	t.Helper()
	s := once(t)
	var sets []*limit.Set
	for _, one := range s.sets {
		require.Empty(t, one.faults)
		sets = append(sets, one.set)
	}
	return s.shape, sets
}

// shippedFunctions are the calculations with the tables that ship.
func shippedFunctions(t testing.TB) []quantity.Function {
	t.Helper()
	return once(t).functions
}

// A run that is given what ships says the same as one that reads it, to the digest
// of the definitions, after other runs have used it too.
func TestSharedDefinitionsChangeNothing(t *testing.T) {
	t.Parallel()
	outcomes := func(s *Shipped) (string, []string) {
		out := newLines()
		run, err := Lint(context.Background(), Options{FS: os.DirFS("../examples"), Paths: []string{"."}, AsOf: asOf, Shipped: s}, out)
		require.NoError(t, err)
		return run.LimitsDigest, out.all
	}
	digest, want := outcomes(nil)
	require.Greater(t, len(want), 100)
	for range 2 {
		again, got := outcomes(once(t))
		assert.Equal(t, digest, again)
		assert.Equal(t, want, got)
	}
}
