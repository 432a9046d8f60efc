package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rows of a shipped table that are out of order or stand twice, and its review
// when it is due, are remarks at their lines; a table that is not whole does not
// load at all, and says where.
func TestTablesAreLookedAt(t *testing.T) {
	if raced {
		t.Skip("in full without the race detector: it has nothing to do with goroutines")
	}
	const file = "tables/nec_240_6.cue"
	change := func(old, with string) func(string) string {
		return func(s string) string {
			require.Equal(t, 1, strings.Count(s, old), old)
			return strings.Replace(s, old, with, 1)
		}
	}
	lineOf := func(own map[string]string, text string) int {
		return 1 + strings.Count(own[file][:strings.Index(own[file], text)], "\n")
	}
	for _, c := range []struct{ name, old, with, at, code, message string }{
		{"twice", `[20, "fuse and breaker"],`, `[15, "fuse and breaker"],` + "\n\t\t" + `[20, "fuse and breaker"],`, "", "table-row-twice", "rating 15"},
		{"out of order", `[601, "fuse"],`, `[599, "fuse"],`, `[599, "fuse"]`, "table-order", "rating 599"},
		{"review", `reviewed:  "2026-11-25"`, `reviewed:  "2026-12-01"`, `reviewed:  `, "reviewed-in-future", "table us/nec-2023/240.6"},
	} {
		t.Run(c.name, func(t *testing.T) {
			own := edited(t, map[string]func(string) string{file: change(c.old, c.with)})
			r, err := OpenReview(Options{FS: firm{"witnessmark.cue": rootFile}.fs(), Schema: own, AsOf: asOf})
			require.NoError(t, err)
			texts := map[string]string{file: string(own[file].Data)}
			var found []string
			for _, x := range r.Remarks {
				if x.At.File == "schema/"+file {
					found = append(found, x.Code)
					assert.Contains(t, x.Message, c.message)
					if c.at != "" {
						assert.Equal(t, lineOf(texts, c.at), x.At.Line)
					} else {
						assert.Equal(t, 1+lineOf(texts, `[15, "fuse and breaker"],`), x.At.Line, "the second of the two")
					}
				}
			}
			assert.Equal(t, []string{c.code}, found)
		})
	}
	for _, c := range []struct{ name, old, with, message string }{
		{"a cell too few", `[601, "fuse"],`, `[601],`, "has 1 cells, the table 2 columns"},
		{"no quantity", `[601, "fuse"],`, `["6 bar", "fuse"],`, "rating"},
		{"no key", `, key: true`, ``, "it has no key"},
		{"no such unit", `unit: "A"`, `unit: "Amp"`, `"Amp" is no unit`},
		{"an empty key", `[601, "fuse"],`, `[null, "fuse"],`, "which is a key"},
	} {
		t.Run(c.name, func(t *testing.T) {
			own := edited(t, map[string]func(string) string{file: change(c.old, c.with)})
			_, err := OpenReview(Options{FS: firm{"witnessmark.cue": rootFile}.fs(), Schema: own, AsOf: asOf})
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.message)
			assert.Contains(t, err.Error(), "nec_240_6.cue:")
		})
	}
}
