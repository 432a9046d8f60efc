package checks

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobgen"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
	"witnessmark.example/checks/propose"
	"witnessmark.example/checks/quantity"
)

// kindOfLimit is how one limit came out for one value.
type kindOfLimit struct{ limit, fact string }

func kindsOf(r *judge.Result) map[kindOfLimit]judge.Kind {
	out := map[kindOfLimit]judge.Kind{}
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.Limit != nil {
			out[kindOfLimit{o.Name(), o.Fact()}] = o.Kind
		}
	}
	return out
}

// inText is the first writing of a fact in a generated job.
var inText = map[string]*regexp.Regexp{
	"stacks.modules":    regexp.MustCompile(`modules: (\{[^}]*\}|\d+)`),
	"conductors.size":   regexp.MustCompile(`size: (\{[^}]*\}|[^,]+)`),
	"protection.rating": regexp.MustCompile(`rating: (\{[^}]*\}|[^,]+)`),
}

// A supposed value is judged by a part of the limits after a part of the measures:
// that comes to the same as writing the value into the file, every limit that is
// left out comes out as before, and afterwards nothing has changed.
func TestSupposedIsAsIfWritten(t *testing.T) {
	t.Parallel()
	const jobs = 12
	o := Options{FS: firm(jobgen.Firm(jobs, benchSeed)).fs(), AsOf: asOf, Shipped: once(t)}
	where, err := locate(o)
	require.NoError(t, err)
	e, _, _, err := prepare(o, where)
	require.NoError(t, err)
	changed := 0
	for i := range jobs {
		for path, value := range map[string]string{"stacks.modules": "7", "conductors.size": "2 AWG", "protection.rating": "35 A"} {
			text := jobgen.Job(i, benchSeed)
			at := inText[path].FindStringIndex(text)
			name := path[strings.LastIndexByte(path, '.')+1:]
			written := text[:at[0]] + name + ": {planned: " + value + ", built: " + value + "}" + text[at[1]:]
			before, part, after := supposed(t, newWorker(e), text, path, value)
			whole := kindsOfText(t, newWorker(e), written)
			require.Equal(t, before, after, "put back")
			for k, kind := range whole {
				if partly, judged := part[k]; judged {
					assert.Equal(t, kind, partly, "job %d, %s: %s on %s", i, path, k.limit, k.fact)
				} else {
					assert.Equal(t, before[k], kind, "job %d, %s: %s on %s is left out and changes", i, path, k.limit, k.fact)
				}
				if before[k] != kind {
					changed++
				}
			}
		}
	}
	assert.Greater(t, changed, 30)
}

// supposed judges a job, then the part of it that another value of the first entry
// may change, then the job again.
func supposed(t *testing.T, w *worker, text, path, value string) (before, part, after map[kindOfLimit]judge.Kind) {
	t.Helper()
	facts, plan := w.ofText(t, text)
	before = kindsOf(w.judging.Job(facts, plan, everyName, fact.NoDay))
	leaf := w.e.shape.Leaf(path)
	q, err := quantity.Parse(value, leaf.Of, quantity.Options{})
	if leaf.Type == fact.Count {
		n, wrong := quantity.ParseDecimal(value)
		q, err = quantity.New(n, leaf.Of), wrong
	}
	require.NoError(t, err)
	effect := propose.NewEffect(w.e.shape, plan, leaf)
	w.decoder.Suppose([]fact.Change{{Of: facts.Entries[leaf.Scope.ID][0], Leaf: leaf, Value: q}}, effect.Measures, func(f *fact.Facts) {
		part = kindsOf(w.trials.Some(f, plan, effect.Limits, everyName, fact.NoDay))
	})
	return before, part, kindsOf(w.trials.Some(facts, plan, plan.ByScope, everyName, fact.NoDay))
}

func kindsOfText(t *testing.T, w *worker, text string) map[kindOfLimit]judge.Kind {
	t.Helper()
	facts, plan := w.ofText(t, text)
	return kindsOf(w.judging.Job(facts, plan, everyName, fact.NoDay))
}

func everyName(string) bool { return true }

func (w *worker) ofText(t *testing.T, text string) (*fact.Facts, *limit.Plan) {
	t.Helper()
	f, problems := w.reader.Read("job.yaml", []byte(text))
	require.Empty(t, problems)
	facts := w.decoder.Decode(f)
	return facts, w.e.book.plan([]string{"us/nec-2023", "us/irc-2021"}, w.products(facts))
}
