package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/cmd/witnessmark/report"
)

// explained runs `witnessmark explain` in a folder.
func explained(t *testing.T, folder string, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, trouble bytes.Buffer
	status = run(context.Background(), append([]string{"witnessmark", "explain"}, args...), surroundings{
		stdout: &out, stderr: &trouble, env: func(string) string { return "" }, now: time.Now,
		folder: func() (string, error) { return folder, nil }, version: "1.2.3", shipped: shipped(t),
	})
	return status, out.String(), trouble.String()
}

// Every name of the examples comes out as JSON that fits the schema, and as text
// without an empty line end or a character that steers.
func TestExplainEveryName(t *testing.T) {
	notRaced(t)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(report.ExplainSchema))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("explain.schema.json", doc))
	schema, err := c.Compile("explain.schema.json")
	require.NoError(t, err)
	library, err := checks.OpenLibrary(checks.Options{FS: os.DirFS("../../examples"), Shipped: shipped(t)})
	require.NoError(t, err)
	book := library.Explainer()
	for _, name := range book.Names() {
		e, err := book.Explain(name)
		require.NoError(t, err)
		out, err := report.ExplainJSON(e)
		require.NoError(t, err)
		back, err := jsonschema.UnmarshalJSON(bytes.NewReader(out))
		require.NoError(t, err, name)
		require.NoError(t, schema.Validate(back), name)
		again, err := json.Marshal(e)
		require.NoError(t, err)
		assert.JSONEq(t, string(again), string(out), name)
		text := string(report.ExplainText(e, report.Settings{}))
		for line := range strings.Lines(text) {
			trimmed := strings.TrimRight(line, "\n")
			assert.Equal(t, strings.TrimRight(trimmed, " "), trimmed, name)
			assert.NotContains(t, trimmed, "::", name)
		}
	}
}

// What a firm's definitions say cannot steer the terminal, in either output.
func TestExplainEscapes(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	write("witnessmark.cue", "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {name: \"Test\"}\n")
	write("rules/policy.cue", `package rules

import "witnessmark.example/schema/limit"

#policy: limit.#RuleSet & {
	source: {name: "policy", title: "How\u001b[31m we", edition: "##[error]1", kind: "policy", decision: "guarded", always: true, decided_by: "::error::\u202e"}
	limits: gap: {measure: "stacks.wall_gap", within: >=20, unit: "mm", clause: "\u0007", grade: "document", reviewed: "2026-01-01", review_by: "2027-01-01", why: "a\nb"}
}
`)
	for _, output := range []string{"text", "json"} {
		status, out, trouble := explained(t, dir, "policy#gap", "--output", output)
		require.Equal(t, 0, status, trouble)
		assert.Empty(t, trouble)
		for _, bad := range []string{"\x1b", "\x07", "\u202e", "##[", "a\nb"} {
			assert.NotContains(t, out, bad, output)
		}
		assert.Contains(t, out, `\u001b[31m we`)
	}
	_, out, _ := explained(t, dir, "policy#gap", "--color", "always")
	assert.Contains(t, out, "\x1b[1m"+"policy#gap")
}

func TestExplainUsage(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "name one thing to explain"},
		{[]string{"stacks", "units"}, "name one thing to explain"},
		{[]string{""}, "there is no limit"},
		{[]string{"stacks", "--output", "jsn"}, `--output: "jsn" is not known; did you mean "json"?`},
		{[]string{"stacks", "--color", "yes"}, `--color: "yes" is not known`},
		{[]string{"stacks", "--root", "nowhere"}, "nowhere"},
		{[]string{"bad\x1b[31m"}, `\x1b[31m`},
	} {
		status, out, trouble := explained(t, t.TempDir(), c.args...)
		assert.Equal(t, 2, status, c.args)
		assert.Empty(t, out, c.args)
		assert.Contains(t, trouble, c.want, c.args)
		assert.Equal(t, 1, strings.Count(trouble, "\n"), "%q", trouble)
	}
}
