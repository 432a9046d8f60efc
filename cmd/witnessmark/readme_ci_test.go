package main

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v4"
)

// readmeYAML are the blocks of YAML in a section of the README, each read into a value
// of its own.
func readmeYAML(t *testing.T, section string, into any) {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(readme), "\n### "+section+"\n")
	require.True(t, found, section)
	_, rest, found = strings.Cut(rest, "```yaml\n")
	require.True(t, found, section)
	block, _, _ := strings.Cut(rest, "```")
	require.NoError(t, yaml.Load([]byte(block), into), section)
}

// What the README tells a firm to write for CI names inputs, outputs, options, formats
// and hooks that there are.
func TestReadmeInCI(t *testing.T) {
	var a action
	readYAML(t, ".github/actions/lint/action.yml", &a)
	var w struct {
		Jobs map[string]struct{ Steps []step }
	}
	readmeYAML(t, "In a workflow", &w)
	steps := w.Jobs["lint"].Steps
	require.Len(t, steps, 2)
	assert.Contains(t, trusted(t), steps[0].Uses)
	assert.Contains(t, steps[1].Uses, "/.github/actions/lint@")
	for name := range steps[1].With {
		assert.Contains(t, a.Inputs, name)
	}

	var other struct {
		Lint struct {
			Script    []string
			Artifacts struct {
				Paths   []string
				Reports map[string]string
			}
		}
	}
	readmeYAML(t, "On another host", &other)
	written := map[string]string{}
	for _, line := range other.Lint.Script {
		words := strings.Fields(line)
		if strings.Join(words[:2], " ") != "witnessmark lint" {
			continue
		}
		options, arguments, err := sortOut(words[2:], lintCommand(surroundings{}, new(int)).Flags)
		require.NoError(t, err)
		assert.Empty(t, arguments)
		for i, o := range options {
			if o == "--output" {
				format, file, _ := strings.Cut(options[i+1], ":")
				assert.Contains(t, reportsOfAction(t, "../../.github/actions/lint/run.sh"), format)
				written[file] = format
			}
		}
	}
	assert.Equal(t, "junit", written[other.Lint.Artifacts.Reports["junit"]])
	assert.Equal(t, "code-quality", written[other.Lint.Artifacts.Reports["codequality"]])
	for _, file := range other.Lint.Artifacts.Paths {
		assert.Contains(t, written, file)
	}

	type hooks []struct{ ID string }
	var there hooks
	data, err := os.ReadFile("../../.pre-commit-hooks.yaml")
	require.NoError(t, err)
	require.NoError(t, yaml.Load(data, &there))
	var named struct{ Repos []struct{ Hooks hooks } }
	readmeYAML(t, "Before a commit", &named)
	require.Len(t, named.Repos, 1)
	assert.Equal(t, there, named.Repos[0].Hooks)
}
