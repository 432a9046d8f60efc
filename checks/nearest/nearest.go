// Package nearest finds the names a misspelt one was probably meant to be.
package nearest

import (
	"sort"
	"strings"

	"github.com/xrash/smetrics"
)

// most is how many names are offered at the most.
const most = 3

// Of returns the names nearest to the word, best first: at most three, none that
// differs in more than a third of its letters (at least two), and none that
// differs in much more than the best.
func Of(word string, names []string) []string {
	type candidate struct {
		name     string
		distance int
	}
	var found []candidate
	lower := strings.ToLower(word)
	for _, n := range names {
		allowed := max(min(2, len(n)-1, len(word)-1), len(n)/3) // of a word of two letters one has to agree
		if d := len(n) - len(word); d > allowed || -d > allowed {
			continue
		}
		if d := smetrics.WagnerFischer(lower, strings.ToLower(n), 1, 1, 1); d <= allowed {
			found = append(found, candidate{n, d})
		}
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].distance < found[j].distance })
	var out []string
	for _, f := range found[:min(most, len(found))] {
		if f.distance > found[0].distance+1 {
			break
		}
		out = append(out, f.name)
	}
	return out
}

// Hint writes the names as the end of a message: `; did you mean "a" or "b"?`,
// or nothing where there are none.
func Hint(names []string) string {
	if len(names) == 0 {
		return ""
	}
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = `"` + n + `"`
	}
	return "; did you mean " + strings.Join(quoted, " or ") + "?"
}
