package report

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

func TestCodeQuality(t *testing.T) {
	out := newTestRun(t).write(t, "code-quality", Settings{}, "jobs/a.yaml", eventful, "jobs/b.yaml", "job: [", "jobs/c.yaml", cleanJob)
	var all []struct {
		Description, Severity, Fingerprint string
		CheckName                          string `json:"check_name"`
		Location                           struct {
			Path  string
			Lines struct{ Begin int }
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &all))
	severities := map[string]string{}
	for _, i := range all {
		severities[i.CheckName] = i.Severity
		assert.NotEmpty(t, i.Description)
		assert.Regexp(t, "^[0-9a-f]{32}$", i.Fingerprint)
		assert.Positive(t, i.Location.Lines.Begin)
		assert.Contains(t, []string{"jobs/a.yaml", "jobs/b.yaml"}, i.Location.Path)
	}
	assert.Equal(t, "critical", severities["xx/code#gap"])
	assert.Equal(t, "critical", severities["record#recorded"])
	assert.Equal(t, "major", severities["policy#torque"])
	assert.Equal(t, "blocker", severities["problem/missing-value"])
	assert.Equal(t, "minor", (&Open{Kind: judge.Outside}).severityWord())
	assert.Equal(t, "info", (&Open{Kind: judge.Accepted, Blocking: true}).severityWord())
}

// A run without findings writes an empty list; one that judged nothing does not.
func TestCodeQualityOfNothing(t *testing.T) {
	assert.Equal(t, "[]\n", newTestRun(t).write(t, "code-quality", Settings{}, "jobs/c.yaml", cleanJob))
	assert.Contains(t, newTestRun(t).write(t, "code-quality", Settings{}), `"problem: Nothing was checked: no value was compared with a limit","check_name":"problem/nothing-checked","fingerprint":"4d8e062080984c3a6cc9271ac0cae181","severity":"blocker","location":{"path":"witnessmark.cue","lines":{"begin":1}}}]`)
	assert.Contains(t, newTestRun(t).write(t, "code-quality", Settings{}, "jobs/a.yaml", bareJob), "Nothing was checked")
}
