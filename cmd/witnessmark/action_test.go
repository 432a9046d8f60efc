package main

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
)

// step is one step of an action or of a job.
type step struct {
	ID, If, Uses, Run, Shell string
	With, Env                map[string]string
}

type action struct {
	Name, Description string
	Inputs            map[string]struct{ Description, Default string }
	Outputs           map[string]struct{ Description, Value string }
	Runs              struct {
		Using string
		Steps []step
	}
}

type workflow struct {
	Name string
	On   struct {
		Call struct {
			Inputs  map[string]struct{ Description, Type, Default, Required string }
			Outputs map[string]struct{ Description, Value string }
		} `yaml:"workflow_call"`
	}
	Permissions map[string]string
	Jobs        map[string]struct {
		RunsOn  string `yaml:"runs-on"`
		Timeout int    `yaml:"timeout-minutes"`
		Outputs map[string]string
		Steps   []step
	}
}

func readYAML(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile("../../" + name)
	require.NoError(t, err)
	require.NoError(t, yaml.Load(data, into, yaml.WithKnownFields()), name)
}

// trusted are the actions of others that ours may start: those of the project's own
// checks, and the host's own for handing on SARIF.
func trusted(t *testing.T) []string {
	text, err := os.ReadFile("../../.github/workflows/check.yml")
	require.NoError(t, err)
	var out []string
	for _, m := range regexp.MustCompile(`uses: (\S+)`).FindAllStringSubmatch(string(text), -1) {
		out = append(out, m[1])
	}
	require.NotEmpty(t, out)
	return append(out, uploadSARIF)
}

const uploadSARIF = "github/codeql-action/upload-sarif@v3"

// holdsNoInput fails where anything from outside is put into a script: it would be run.
func holdsNoInput(t *testing.T, steps []step) {
	t.Helper()
	for _, s := range steps {
		assert.NotContains(t, s.Run, "${{", "what comes from outside goes through the environment")
		if s.Run != "" {
			assert.Equal(t, "bash", s.Shell)
			assert.NotContains(t, strings.TrimSpace(s.Run), "\n", "more than a call stands in run.sh, where tests can run it")
		}
	}
}

// The action hands every input to the script by the environment, and the last of its
// steps is the one that fails.
func TestAction(t *testing.T) {
	var a action
	readYAML(t, ".github/actions/lint/action.yml", &a)
	assert.Equal(t, "composite", a.Runs.Using)
	holdsNoInput(t, a.Runs.Steps)
	script, err := os.ReadFile("../../.github/actions/lint/run.sh")
	require.NoError(t, err)
	handed, calls := map[string]string{}, []string{}
	for _, s := range a.Runs.Steps {
		if s.Uses != "" {
			assert.Contains(t, trusted(t), s.Uses)
			continue
		}
		calls = append(calls, s.Run[strings.LastIndex(s.Run, " ")+1:])
		for name, value := range s.Env {
			handed[name] = value
			if name != "WITNESSMARK_ACTION" {
				assert.Contains(t, string(script), "${"+name+":", "the script reads what it is handed")
			}
		}
	}
	assert.Equal(t, []string{"get", "lint", "verdict"}, calls)
	// The host gets the file before the step that fails, and only where it was asked for.
	upload := a.Runs.Steps[len(a.Runs.Steps)-2]
	assert.Equal(t, uploadSARIF, upload.Uses)
	assert.Equal(t, "inputs.upload-sarif == 'true' && steps.lint.outputs.sarif != ''", upload.If)
	assert.Equal(t, "${{ steps.lint.outputs.sarif }}", upload.With["sarif_file"])
	assert.Equal(t, "false", a.Inputs["upload-sarif"].Default)
	for name, in := range a.Inputs {
		assert.NotEmpty(t, in.Description)
		if name == "upload-sarif" {
			continue // for the step before, not for the script
		}
		assert.Equal(t, "${{ inputs."+name+" }}", handed["WITNESSMARK_"+strings.ToUpper(strings.ReplaceAll(name, "-", "_"))], name)
	}
	for name, out := range a.Outputs {
		assert.Equal(t, "${{ steps.lint.outputs."+name+" }}", out.Value)
		assert.Contains(t, string(script), "output "+name+" ")
	}
	assert.Equal(t, "${{ steps.lint.outputs.status }}", handed["WITNESSMARK_STATUS"])
}

// The workflow may read and nothing more, and its inputs are those of the action.
func TestWorkflow(t *testing.T) {
	var w workflow
	var a action
	readYAML(t, ".github/workflows/lint.yml", &w)
	readYAML(t, ".github/actions/lint/action.yml", &a)
	assert.Equal(t, map[string]string{"contents": "read"}, w.Permissions)
	require.Len(t, w.Jobs, 1)
	job := w.Jobs["lint"]
	holdsNoInput(t, job.Steps)
	for _, s := range job.Steps[:len(job.Steps)-1] {
		assert.Contains(t, trusted(t), s.Uses)
		assert.Equal(t, "false", s.With["persist-credentials"])
	}
	last := job.Steps[len(job.Steps)-1]
	assert.Equal(t, "./tool/.github/actions/lint", last.Uses)
	for name, value := range last.With {
		assert.Contains(t, a.Inputs, name)
		if name != "folder" {
			assert.Equal(t, "${{ inputs."+name+" }}", value)
			assert.Contains(t, w.On.Call.Inputs, name)
		}
	}
	for name := range w.On.Call.Inputs {
		if !slices.Contains([]string{"tool", "tool-commit"}, name) {
			assert.Contains(t, last.With, name)
		}
	}
	assert.Equal(t, "${{ steps.lint.outputs.status }}", job.Outputs["status"])
}
