package checks

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Progress is told once what there is to read, and then of every file that was read,
// whether or not it was asked for or could be read; the run knows how many were asked
// for.
func TestProgress(t *testing.T) {
	t.Parallel()
	f := firm{"witnessmark.cue": "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {name: \"Test\"}\n", "jobs/no.yaml": "job: ["}
	for i := range 9 {
		f[fmt.Sprintf("jobs/%d.yaml", i)] = fmt.Sprintf("job: %d\nstage: surveyed\n", i)
	}
	for _, c := range []struct {
		path  string
		asked int
	}{{".", 10}, {"jobs/3.yaml", 1}} {
		var told []string
		run, err := Lint(context.Background(), Options{FS: f.fs(), Paths: []string{c.path}, AsOf: asOf, Shipped: once(t), Workers: 3,
			Progress: func(read, files int) { told = append(told, fmt.Sprintf("%d/%d", read, files)) }}, newLines())
		require.NoError(t, err)
		assert.Equal(t, []string{"0/10", "1/10", "2/10", "3/10", "4/10", "5/10", "6/10", "7/10", "8/10", "9/10", "10/10"}, told)
		assert.Equal(t, c.asked, run.Files)
	}
}
