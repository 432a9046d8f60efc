package table_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/table"
)

// The rating at or below a current, for each kind of device by itself; below the
// first there is none, and nothing is extrapolated.
func TestPrecedingOf(t *testing.T) {
	f, err := table.New(&table.Table{
		Name: "x", Document: "D", Edition: "1", Clause: "T",
		Columns: []table.Column{{Name: "rating", Unit: "A", Key: true}, {Name: "device"}},
		Rows:    []table.Row{{Cells: []string{"6", "fuse"}}, {Cells: []string{"10", "fuse and breaker"}}, {Cells: []string{"16", "fuse"}}},
	})
	require.NoError(t, err)
	for _, c := range []struct{ word, at, want string }{
		{"fuse", "6 A", "6 A"}, {"fuse", "9.99 A", "6 A"}, {"fuse", "10 A", "10 A"}, {"fuse", "100 A", "16 A"},
		{"breaker", "10 A", "10 A"}, {"breaker", "100 A", "10 A"},
	} {
		q, err := f.PrecedingOf("device", c.word, table.Quantity(quantity.MustOf(c.at, "A")))
		require.NoError(t, err, "%s at %s", c.word, c.at)
		assert.Equal(t, c.want, q.String(), "%s at %s", c.word, c.at)
	}
	for _, c := range []struct {
		column, word, at string
		want             table.Reason
	}{
		{"device", "breaker", "9.99 A", table.Beyond}, {"device", "switch", "100 A", table.Beyond}, {"kind", "fuse", "100 A", table.NoColumn}, {"rating", "fuse", "100 A", table.NoColumn},
	} {
		_, err := f.PrecedingOf(c.column, c.word, table.Quantity(quantity.MustOf(c.at, "A")))
		var no *table.Error
		require.True(t, errors.As(err, &no), "%s of %s at %s", c.column, c.word, c.at)
		assert.Equal(t, c.want, no.Reason)
	}
}
