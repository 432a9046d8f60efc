package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
)

// eventful has outcomes of every kind a job can have by itself.
var eventful = strings.NewReplacer("stage: designed", "stage: installed", "modules: 4", "modules: 5", "setting: garage", "setting: bedroom", "    note: ok\n", "",
	"wall_gap: 40 mm", "torque: 7.9 N·m\n    wall_gap: {planned: 40 mm, built: 2 cm ± 1 mm}", "    clearance: {above: 900 mm}\n", "    slots: [{slot: 1, mass: 26 kg}]\n").Replace(cleanJob)

func report(t *testing.T, s Settings, files ...string) string {
	t.Helper()
	return newTestRun(t).write(t, "json", s, files...)
}

func TestJSONMeetsItsSchema(t *testing.T) {
	for name, files := range map[string][]string{
		"no job":         nil,
		"clean":          {"jobs/a.yaml", cleanJob},
		"eventful":       {"jobs/a.yaml", eventful, "jobs/b.yaml", cleanJob},
		"not read":       {"jobs/a.yaml", "job: ["},
		"cancelled":      {"jobs/a.yaml", "job: 1\nstatus: cancelled\nstage: designed\nstacks: [{id: A}]\n"},
		"unread values":  {"jobs/a.yaml", edited("air: 20 °C", "air: 20", "morvane@B", "morvane@C")},
		"built-in check": {"jobs/a.yaml", edited("premises:", "dates: {handed-over: 2026-01-01}\npremises:")},
		"no product":     {"jobs/a.yaml", edited("morvane@B", "morvane@C")},
		"text with keys": {"jobs/\u202e\".yaml", edited("id: A", `id: "\"\\ é"`, "stacks: [A]", `stacks: ["\"\\ é"]`)},
	} {
		t.Run(name, func(t *testing.T) {
			for _, s := range []Settings{{}, {FindingsOnly: true}} {
				require.NoError(t, validate(t, []byte(report(t, s, files...))))
			}
		})
	}
}

// The schema must refuse reports that are not ours.
func TestSchemaRefuses(t *testing.T) {
	good := report(t, Settings{}, "jobs/a.yaml", eventful)
	for name, pair := range map[string][2]string{
		"unknown outcome":      {`"outcome":"outside"`, `"outcome":"failed"`},
		"outside with room":    {`"margin":-`, `"margin":`},
		"unknown key":          {`"jobs":[`, `"more":1,"jobs":[`},
		"other version":        {`"format_version":1`, `"format_version":2`},
		"missing key":          {`"limits_digest"`, `"digest"`},
		"value without reason": {`"reason":"the value is not recorded",`, ``},
		"check with a limit":   {`{"limit":"record#recorded",`, `{"limit":"record#recorded","within":"yes",`},
		"a gate that is clear": {`"state":"open"`, `"state":"clear"`},
		"list without limits":  {`"without_entry":[]`, `"without_entry":[{"list":"units","limits":0,"blocking":0}]`},
		"line 0":               {`"at":{"line":5`, `"at":{"line":0`},
	} {
		t.Run(name, func(t *testing.T) {
			bad := strings.Replace(good, pair[0], pair[1], 1)
			require.NotEqual(t, good, bad)
			assert.Error(t, validate(t, []byte(bad)))
		})
	}
}

func TestJSONKeysInOrder(t *testing.T) {
	out := report(t, Settings{}, "jobs/a.yaml", eventful)
	assert.Equal(t, "tool format_version as_of limits_digest jobs repository problems limits sources summary", keys(t, out))
	var doc struct {
		Jobs    []json.RawMessage
		Summary json.RawMessage
		Limits  map[string]json.RawMessage
	}
	require.NoError(t, json.Unmarshal([]byte(out), &doc))
	assert.Equal(t, "file digest job premises status stage gates gates_without outcomes calculations proposals without_entry broken_limits premises_sums", keys(t, string(doc.Jobs[0])))
	assert.Equal(t, "jobs unread outcomes blocking by_grade by_rule_set problems judged without_entry notes", keys(t, string(doc.Summary)))
	assert.Equal(t, "measure within unit clause grade blocking why decided_by source file line reviewed review_by", keys(t, string(doc.Limits["xx/code#gap"])))

	assert.Contains(t, report(t, Settings{}, "jobs/a.yaml", "job: ["), `"stage":"","gates":[],"gates_without":[],"outcomes":[],"calculations":[],"proposals":[],"without_entry":[],"broken_limits":[],"unread":true,"premises_sums":`)

	const order = " limit measure fact outcome blocking value unit written within margin strictest decision at calculation reason planned compared waits_on by "
	var job struct{ Outcomes []json.RawMessage }
	require.NoError(t, json.Unmarshal(doc.Jobs[0], &job))
	for _, o := range job.Outcomes {
		last := -1
		for k := range strings.FieldsSeq(keys(t, string(o))) {
			at := strings.Index(order, " "+k+" ")
			require.Greater(t, at, last, "%s in %s", k, o)
			last = at
		}
	}
}

// keys lists the keys of an object in the order they are written.
func keys(t *testing.T, object string) string {
	t.Helper()
	d := json.NewDecoder(strings.NewReader(object))
	var out []string
	depth, isKey := 0, false
	for {
		tok, err := d.Token()
		if err != nil {
			return strings.Join(out, " ")
		}
		switch tok {
		case json.Delim('{'), json.Delim('['):
			depth++
			isKey = depth == 1
			continue
		case json.Delim('}'), json.Delim(']'):
			depth--
			isKey = depth == 1
			continue
		}
		if depth == 1 && isKey {
			out = append(out, tok.(string))
		}
		if depth == 1 {
			isKey = !isKey
		}
	}
}

func TestJSONOutcomes(t *testing.T) {
	out := report(t, Settings{}, "jobs/a.yaml", eventful)
	for name, want := range map[string]string{
		"outside, converted, with plan": `{"limit":"xx/code#gap","measure":"stacks.wall_gap","fact":"stacks[A].wall_gap","outcome":"outside","blocking":true,"value":20,"unit":"mm","written":"2 cm ± 1 mm","within":">= 25 mm","margin":-5,"strictest":true,"decision":"simple","at":{"line":11,"column":39},"planned":"40 mm"}`,
		"advisory beside it":            `{"limit":"xx/code#gap-hearsay","measure":"stacks.wall_gap","fact":"stacks[A].wall_gap","outcome":"outside","blocking":false,"value":20,"unit":"mm","written":"2 cm ± 1 mm","within":">= 30 mm","margin":-10,"strictest":false,"decision":"simple","at":{"line":11,"column":39},"planned":"40 mm"}`,
		"calculated":                    `{"limit":"xx/code#energy","measure":"units.energy","fact":"units[U1].energy","outcome":"outside","blocking":true,"value":12,"unit":"kWh","within":"<= 10 kWh","margin":-2,"strictest":true,"decision":"simple","at":{"line":5,"column":5},"calculation":"units[U1].energy"}`,
		"count":                         `{"limit":"xx/code#modules","measure":"stacks.modules","fact":"stacks[A].modules","outcome":"within","blocking":true,"value":5,"unit":"modules","written":"5","within":"<= 7 modules","margin":2,"strictest":true,"decision":"simple","at":{"line":9,"column":14}}`,
		"word":                          `"fact":"stacks[A].setting","outcome":"outside","blocking":true,"value":"bedroom","written":"bedroom","within":"not \"bedroom\"","strictest":true,"decision":"simple"`,
		"too close":                     `"fact":"stacks[A].torque","outcome":"too_close","blocking":true,"value":7.9,"unit":"N·m","written":"7.9 N·m","within":"<= 8 N·m","margin":0.1,"strictest":true,"decision":"guarded"`,
		"not checked":                   `"fact":"stacks[A].note","outcome":"not_checked","blocking":true,"within":"\"ok\"","decision":"simple","at":{"line":7,"column":5},"reason":"the value is not recorded","waits_on":["stacks[A].note"]}`,
		"missing":                       `{"limit":"record#recorded","measure":"stacks.clearance.above","fact":"stacks[A].clearance.above","outcome":"missing","blocking":true,"unit":"mm","at":{"line":7,"column":5},"reason":"due designed"}`,
		"not applicable":                `"fact":"stacks[A].marked","outcome":"not_applicable","blocking":true,"within":"yes","decision":"simple","at":{"line":7,"column":5},"reason":"its condition is not met"}`,
		"function":                      `{"fact":"stacks[A].energy","measure":"stacks.energy","formula":"n · E","inputs":[{"symbol":"n","fact":"stacks[A].modules","value":5,"unit":"modules","at":{"line":9,"column":14}},{"symbol":"E","fact":"morvane@B.module.energy","value":2.4,"unit":"kWh","file":"equipment/morvane.cue","line":12}],"result":12,"unit":"kWh","steps":[],"source":""}`,
		"sum":                           `{"fact":"units[U1].energy","measure":"units.energy","formula":"sum of the stacks' energies","inputs":[{"fact":"stacks[A].energy","value":12,"unit":"kWh"}],"result":12,"unit":"kWh","steps":[],"source":""}`,
		"count of entries":              `"formula":"number of stacks","inputs":[{"fact":"stacks[A]","at":{"line":7,"column":5}}],"result":1,"unit":"stacks","steps":[],"source":""}`,
		"gate":                          `{"gate":"start-work","state":"passed with open points","open":[{"fact":"stacks[A].clearance.above","limit":"policy#above","outcome":"not_checked"},{"fact":"stacks[A].clearance.above","limit":"record#recorded","outcome":"missing"}]}`,
		"open fact":                     `{"fact":"stacks[A].marked"}]}`,
		"limit":                         `"xx/code#gap":{"measure":"stacks.wall_gap","within":">= 25 mm","unit":"mm","clause":"4.2","grade":"document","blocking":true,"why":"It is so.","decided_by":"The harbour office decides.","source":"xx/code","file":"rules/test.cue","line":10,"reviewed":"2026-01-01","review_by":"2027-01-01"}`,
		"source":                        `"policy":{"title":"How we work","edition":"3","kind":"policy","decision":"guarded","decided_by":"We do.","file":"rules/test.cue","line":2}`,
		"head":                          `{"tool":{"name":"witnessmark","version":"1.2.3"},"format_version":1,"as_of":"2026-03-11","limits_digest":"0123456789abcdef0123","jobs":[`,
	} {
		assert.Contains(t, out, want, name)
	}
}

func TestFindingsOnly(t *testing.T) {
	out := report(t, Settings{FindingsOnly: true}, "jobs/a.yaml", eventful)
	jobs, _, _ := strings.Cut(out, "\"limits\":{")
	for _, gone := range []string{`"outcome":"within"`, `"outcome":"not_applicable"`, `"outcome":"not_due"`, `"measure":"units.stack_count"`} {
		assert.NotContains(t, jobs, gone)
	}
	for _, kept := range []string{`"outcome":"outside"`, `"outcome":"missing"`, `"outcome":"too_close"`, `"measure":"units.energy","formula"`, `"measure":"stacks.energy","formula"`} {
		assert.Contains(t, jobs, kept)
	}
	assert.Contains(t, out, `"not_applicable":1,"within":2`, "what is left out is counted all the same")
}

// The addresses written by hand are those of the engine.
func TestAddresses(t *testing.T) {
	r := newTestRun(t)
	facts := r.job(t, "a", eventful).Result.Facts
	checked := 0
	for _, entries := range facts.Entries {
		for _, in := range entries {
			for _, l := range in.Scope.Leaves {
				want, err := json.Marshal(in.AddressOf(l))
				require.NoError(t, err)
				assert.Equal(t, string(want), string(appendFact(nil, in, l)))
				checked++
			}
		}
	}
	product := facts.Entries[r.shape.Scope("stacks").ID][0].Get(r.shape.Leaf("stacks.equipment")).Target
	energy := r.shape.Leaf("equipment.storage.module.energy")
	assert.Equal(t, `"`+product.AddressOf(energy)+`"`, string(appendFact(nil, product, energy)))
	assert.Greater(t, checked, 20)
}

// Render runs at the same time for several jobs and gives the same bytes each time.
func TestRenderTogether(t *testing.T) {
	for _, format := range Formats() {
		var out bytes.Buffer
		sink := format.New(&out, Settings{})
		r := newTestRun(t)
		jobs := []*checks.Job{r.job(t, "jobs/a.yaml", eventful), r.job(t, "jobs/b.yaml", cleanJob), r.job(t, "jobs/c.yaml", edited("air: 20 °C", "air: 20"))}
		want := make([]string, len(jobs))
		for i, j := range jobs {
			want[i] = string(format.New(&out, Settings{}).Render(nil, j))
		}
		var group sync.WaitGroup
		for range 8 {
			for i, j := range jobs {
				group.Go(func() { assert.Equal(t, want[i], string(sink.Render(nil, j))) })
			}
		}
		group.Wait()
	}
}

// Render appends and leaves what is there.
func TestRenderAppends(t *testing.T) {
	for _, format := range Formats() {
		job := newTestRun(t).job(t, "jobs/a.yaml", cleanJob)
		sink := format.New(new(bytes.Buffer), Settings{})
		assert.Equal(t, "before"+string(sink.Render(nil, job)), string(sink.Render([]byte("before"), job)))
	}
}

func BenchmarkRender(b *testing.B) {
	for _, format := range Formats() {
		b.Run(format.Name, func(b *testing.B) {
			job := newTestRun(b).job(b, "jobs/a.yaml", eventful)
			sink := format.New(new(bytes.Buffer), Settings{})
			var buf []byte
			b.ReportAllocs()
			for b.Loop() {
				buf = sink.Render(buf[:0], job)
			}
			b.ReportMetric(float64(len(buf)), "bytes/job")
		})
	}
}
