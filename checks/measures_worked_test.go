package checks

import (
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/quantity"
)

// A worked example of a calculated measure is a file of testdata/measures: a head
// of "name: value" lines, then the files of a firm. The head says
//
//	measure  the measure, by its full name
//	entry    the entry of the job it belongs to, "conductors[c]"; none for the job itself
//	gives    the published result, with the tolerance it was published to: "21 A ± 0.05 A"
//	refuses  instead of a result: part of the reason why there is none
//	source   where the result was published; address and grade of that
//	tool     a general tool that calculated the result, with its version and call
//
// The grade "arithmetic" marks a source that is good for checking arithmetic and
// not to be cited, or the result of a tool that knows nothing of the project: what
// it was given and what it printed stand in files below outside/, and no test needs
// it. Each example is judged in five cases; see TestMeasures.
type worked struct {
	file                    string
	measure, entry, refuses string
	gives                   quantity.Quantity
	grade                   string
	files                   firm
}

func readWorked(t *testing.T, name string, shape *fact.Compiled) worked {
	t.Helper()
	archive, err := txtar.ParseFile(name)
	require.NoError(t, err)
	head := map[string]string{}
	for _, line := range strings.Split(strings.TrimSpace(string(archive.Comment)), "\n") {
		key, value, ok := strings.Cut(line, ": ")
		require.True(t, ok || line == "", "%s: head: %q", name, line)
		head[key] = value
	}
	w := worked{file: name, measure: head["measure"], entry: head["entry"], refuses: head["refuses"], grade: head["grade"], files: firm{"witnessmark.cue": rootFile}}
	require.NotNil(t, shape.Leaf(w.measure), "%s: there is no measure %q", name, w.measure)
	require.NotEmpty(t, head["source"], "%s: source", name)
	require.Contains(t, []string{"document", "copy", "official", "secondary", "memory", "practice", "arithmetic"}, head["grade"], "%s: grade", name)
	if head["grade"] == "arithmetic" {
		require.Empty(t, head["address"], "%s: an address of that kind is not carried over", name)
	}
	if w.refuses == "" {
		w.gives, err = quantity.Parse(head["gives"], shape.Leaf(w.measure).Of, quantity.Options{})
		require.NoError(t, err, "%s: gives", name)
		require.True(t, w.gives.HasUncertainty() || shape.Leaf(w.measure).Type == fact.Count || w.gives.Unit().OrderReversed(), "%s: gives no tolerance", name)
	}
	outside := firm{}
	for _, f := range archive.Files {
		if strings.HasPrefix(f.Name, "outside/") {
			outside[f.Name] = string(f.Data)
			continue
		}
		w.files[f.Name] = string(f.Data)
	}
	require.Contains(t, w.files, workedJob, name)
	if head["tool"] != "" || len(outside) > 0 {
		w.byTool(t, head["tool"], outside)
	}
	return w
}
