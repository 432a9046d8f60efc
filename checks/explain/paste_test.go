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

// notPasted lists the limits whose examples do not come out as they say by
// themselves, each with the reason. A limit that no longer needs its line is an
// error.
var notPasted = func() map[string]string {
	const calculated, sheet = "the voltage or energy of the stack is calculated from its datasheet", "the figure stands in the datasheet, not in the job"
	out := map[string]string{
		"us/nec-2017#torque-tool":                   "what the tool is stands in the register, not in the job",
		"us/nec-2020#storage-listed":                calculated,
		"us/nec-2023#storage-listed":                calculated,
		"us/nec-2023#standby-disconnect-accessible": calculated,
		"us/nec-2023#standby-disconnect-in-sight":   calculated,
	}
	for _, edition := range []string{"us/nec-2017#", "us/nec-2020#", "us/nec-2023#"} {
		for _, name := range []string{"working-width-of-stack", "ways-in-and-out", "dc-device-breaking-capacity"} {
			out[edition+name] = sheet
		}
		for _, name := range []string{"dc-device-voltage", "dc-system-grounded", "live-parts-guarded"} {
			out[edition+name] = calculated
		}
		for _, voltages := range []string{"0-150", "151-600", "601-1000"} {
			for condition := 1; condition <= 3; condition++ {
				out[fmt.Sprintf("%sworking-depth-%s-condition-%d", edition, voltages, condition)] = calculated
			}
		}
	}
	for _, name := range []string{
		"disconnection-dc-tn-120-230", "disconnection-dc-tn-230-400", "disconnection-dc-tn-above-400", "disconnection-dc-tn-distribution", "disconnection-dc-tn-final-above-32",
		"disconnection-dc-tt-120-230", "disconnection-dc-tt-230-400", "disconnection-dc-tt-above-400", "disconnection-dc-tt-distribution", "disconnection-dc-tt-final-above-32",
		"insulation-resistance-dc-up-to-500", "insulation-test-voltage-dc-up-to-500", "insulation-resistance-dc-above-500", "insulation-test-voltage-dc-above-500",
	} {
		out["iec/60364#"+name] = "the voltage of the stack is calculated from its datasheet"
	}
	for _, kind := range []string{"a", "f", "b"} {
		out["iec/60364#rcd-type-"+kind] = "the type that is asked for stands in the datasheet of the inverter"
		out["uk/bs-7671-2018#rcd-type-"+kind] = "the type that is asked for stands in the datasheet of the inverter"
	}
	for _, volts := range []string{"750", "1500"} {
		out["iec/60903-2014#gloves-above-"+volts] = "the voltage of the stack is calculated from its datasheet"
	}
	return out
}()

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
	needed := map[string]bool{}
	for _, c := range claims {
		got := seen[c.file+" "+c.limit]
		if further, ok := strings.CutPrefix(got, c.title+" "); ok && !strings.Contains(further, "side") && !strings.Contains(further, "within") {
			got = c.title // entries that are there only because the first needs them say nothing of their own
		}
		if reason, ok := notPasted[c.limit]; ok {
			needed[c.limit] = needed[c.limit] || got != c.title
			assert.Regexp(t, "^(with|where) ", c.note, "%s: the example does not say what else must be so (%s)", c.limit, reason)
			continue
		}
		assert.Equal(t, c.title, got, "%s\n%s", c.limit, c.text)
	}
	for name := range notPasted {
		assert.True(t, needed[name], "%s needs no exception", name)
	}
}
