package explain_test

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
)

// open tells whether an outcome says neither within nor outside: what else must be
// so, which the note of an example says, is calculated or stands in a datasheet or a
// register, and a fragment of a job has none of that.
func open(outcome string) bool {
	for _, kind := range strings.Fields(outcome) {
		if kind != "not_checked" && kind != "not_applicable" && kind != "not_due" {
			return false
		}
	}
	return true
}

// outcomes keeps how each limit came out in each job.
type outcomes map[string]string

func (o outcomes) Begin(*checks.Run) error { return nil }
func (o outcomes) Job([]byte) error        { return nil }
func (o outcomes) End(*checks.Run) error   { return nil }

// Render notes the outcomes of a job; of one limit in several entries all of them.
func (o outcomes) Render(dst []byte, j *checks.Job) []byte {
	for i := range j.Result.Outcomes {
		x := &j.Result.Outcomes[i]
		key := j.File + " " + x.Name()
		o[key] = strings.TrimPrefix(o[key]+" "+x.Kind.String(), " ")
	}
	return dst
}

// pasted is a minimal job with an example in it.
func pasted(number int, ruleSet, example string) string {
	job := fmt.Sprintf("job: J-%d\nrule_sets: [%s]\n", number, ruleSet)
	if !strings.HasPrefix(example, "stage: ") && !strings.Contains(example, "\nstage: ") {
		job += "stage: designed\n"
	}
	premises := fmt.Sprintf("premises:\n  id: p-%d\n", number)
	if strings.Contains(example, "premises:\n") {
		return job + strings.Replace(example, "premises:\n", premises, 1)
	}
	return job + premises + example
}

// The example of every limit comes out as it claims, pasted as it is into a
// minimal job that names the rule set.
func TestLimitExamplesComeOutAsTheySay(t *testing.T) {
	files := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(os.DirFS("../../examples"), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(name, "jobs/") {
			return err
		}
		text, err := os.ReadFile("../../examples/" + name)
		files[name] = &fstest.MapFile{Data: text}
		return err
	}))
	library, err := checks.OpenLibrary(checks.Options{FS: files})
	require.NoError(t, err)
	book := library.Explainer()
	type claim struct{ file, limit, title, text, note string }
	var claims []claim
	for _, set := range book.Sets {
		for _, l := range set.Limits {
			e, err := book.Explain(l.FullName)
			require.NoError(t, err)
			for _, x := range e.Examples {
				if x.Text == "" {
					assert.NotNil(t, l.Way.Leaf.Calculation, "%s: only of a calculated measure nothing is written", l.FullName)
					continue
				}
				ruleSet := set.Source.Name
				if set.Source.Always || set.Product != "" {
					ruleSet = ""
				}
				c := claim{fmt.Sprintf("jobs/%d.yaml", len(claims)), l.FullName, x.Title, pasted(len(claims), ruleSet, x.Text), x.Note}
				files[c.file] = &fstest.MapFile{Data: []byte(c.text)}
				claims = append(claims, c)
			}
		}
	}
	require.Greater(t, len(claims), 100)
	seen := outcomes{}
	_, err = checks.Lint(context.Background(), checks.Options{FS: files, Workers: 1, AsOf: checks.AsOf{Instant: time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC), Date: fact.NoDay}}, seen)
	require.NoError(t, err)
	whole := 0
	for _, c := range claims {
		got := seen[c.file+" "+c.limit]
		if further, ok := strings.CutPrefix(got, c.title+" "); ok && !strings.Contains(further, "side") && !strings.Contains(further, "within") {
			got = c.title // entries that are there only because the first needs them say nothing of their own
		}
		if open(got) && (strings.HasPrefix(c.note, "with ") || strings.HasPrefix(c.note, "where ")) {
			continue
		}
		whole++
		assert.Equal(t, c.title, got, "%s\n%s", c.limit, c.text)
	}
	assert.Greater(t, whole, 250, "examples that come out as they are pasted")
}
