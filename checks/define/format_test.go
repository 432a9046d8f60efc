package define

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"cuelang.org/go/cue/format"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// CUE files are formatted as `cue fmt` does it. With UPDATE_SCRIPTS set they are
// rewritten.
func TestCUEIsFormatted(t *testing.T) {
	for _, dir := range []string{"../../schema", "../../examples"} {
		found := 0
		require.NoError(t, filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(name) != ".cue" {
				return err
			}
			found++
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			formatted, err := format.Source(data)
			require.NoError(t, err, name)
			if os.Getenv("UPDATE_SCRIPTS") != "" && string(data) != string(formatted) {
				return os.WriteFile(name, formatted, 0o644)
			}
			assert.True(t, string(data) == string(formatted), "%s is not formatted; run UPDATE_SCRIPTS=1 go test -run TestCUEIsFormatted ./checks/define", name)
			return nil
		}))
		assert.Positive(t, found, dir)
	}
}
