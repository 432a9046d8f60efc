package main

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// suggested asks what may be typed in place of the last word.
func suggested(t *testing.T, words ...string) string {
	t.Helper()
	var out, trouble bytes.Buffer
	status := run(context.Background(), append([]string{"witnessmark", "complete", "--"}, words...), surroundings{
		stdout: &out, stderr: &trouble, env: func(string) string { return "" }, now: time.Now, folder: os.Getwd, lint: checks.Lint, shipped: shipped(t),
	})
	require.Zero(t, status, trouble.String())
	return out.String()
}

// bare leaves the meanings of words out.
func bare(text string) string {
	var out []string
	for line := range strings.Lines(text) {
		line, _, _ = strings.Cut(strings.TrimSuffix(line, "\n"), "\t")
		out = append(out, line)
	}
	return strings.Join(out, " ")
}

func TestSuggested(t *testing.T) {
	t.Chdir("../../examples")
	for _, c := range []struct {
		want  string
		words []string
	}{
		{":words lint limits", []string{"l"}},
		{":words", []string{"no-command", ""}},
		{":words --version --help", []string{"--"}},
		{":words --output --outcomes", []string{"lint", "jobs", "--o"}},
		{":words --quiet", []string{"lint", "--color", "always", "--q"}},
		{":words outside outside-blocking", []string{"lint", "--fail-on", "o"}},
		{":words outside,missing", []string{"lint", "--fail-on", "outside,m"}},
		{":words --fail-on= --fail-on=outside,missing", []string{"lint", "--fail-on=outside,m"}},
		{":words auto always", []string{"lint", "jobs", "--color", "a"}},
		{":words json", []string{"lint", "--output", "js"}},
		{":files json:", []string{"lint", "--output", "json:re"}},
		{":files --output=json:", []string{"lint", "--output=json:re"}},
		{":files", []string{"lint", "--color", "always", ""}},
		{":files", []string{"lint", "--", "--"}},
		{":words", []string{"lint", "--as-of", ""}},
		{":words --no-option=", []string{"lint", "--no-option="}},
		{":folders", []string{"lint", "--root", ""}},
		{":folders", []string{"schema", "--cue", ""}},
		{":words check", []string{"limits", ""}},
		{":words table text", []string{"limits", "--output", "t"}},
		{":words text json", []string{"limits", "--color", "never", "check", "--output", ""}},
		{":files", []string{"limits", "check", "check"}},
		{":files", []string{"limits", "--for", ""}},
		{":words us/irc-2021", []string{"limits", "--rule-set", "us/i"}},
		{":words equipment/orrelin@B", []string{"limits", "--rule-set", "equipment/orrelin@B"}},
		{":words uk us", []string{"limits", "--region", "u"}},
		{":words memory", []string{"limits", "--grade", "m"}},
		{":words energise energised", []string{"limits", "--stage", "energis"}},
		{":words stacks.wall_gap", []string{"limits", "--measure", "stacks.wall_g"}},
		{":words us/irc-2021#unit-spacing", []string{"explain", "us/irc-2021#unit-s"}},
		{":words", []string{"explain", "stacks", ""}},
		{":words units.energy", []string{"calculate", "units.energ"}},
		{":words bash", []string{"completion", "b"}},
		{":words", []string{"man", ""}},
	} {
		assert.Equal(t, c.want, bare(suggested(t, c.words...)), c.words)
	}
	assert.Equal(t, ":words\nlimits\tlist the limits there are, those on one job, or check their definitions\n", suggested(t, "lim"))
	assert.NotContains(t, suggested(t), "complete\t", "what only scripts ask is not suggested")
}

// Names that a firm made up reach a shell only where they mean nothing to it.
func TestSuggestedNamesArePlain(t *testing.T) {
	s := suggestion{words: asWords([]string{"us/nec-2023", "a b", "$(x)", "a\x1b[m", "a;b", "a\tb", "`x`", "equipment/a@B#c"})}
	assert.Equal(t, asWords([]string{"us/nec-2023", "equipment/a@B#c"}), s.fitting("").words)
}

func TestCompletionScripts(t *testing.T) {
	for shell, want := range map[string]string{"bash": "complete -F _witnessmark witnessmark", "zsh": "#compdef witnessmark", "fish": "complete -c witnessmark"} {
		status, out, _ := new(trial).witnessmark(t, "completion", shell)
		assert.Zero(t, status)
		assert.Contains(t, out, want)
		assert.NotContains(t, out, "eval ")
	}
	for _, args := range [][]string{{"completion"}, {"completion", "bash", "zsh"}, {"completion", "bsh"}} {
		status, out, trouble := new(trial).witnessmark(t, args...)
		assert.Equal(t, exitTrouble, status)
		assert.Empty(t, out)
		assert.Contains(t, trouble, "bash")
	}
}
