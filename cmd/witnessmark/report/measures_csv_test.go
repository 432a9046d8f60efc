package report

import (
	"encoding/csv"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks"
	"witnessmark.example/checks/fact"
	"witnessmark.example/checks/jobfile"
	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/quantity"
	"witnessmark.example/checks/register"
	"witnessmark.example/cmd/witnessmark/report/inert"
)

// csvRows reads the table back: each row by the names of its columns.
func csvRows(t *testing.T, text string) []map[string]string {
	t.Helper()
	text, found := strings.CutPrefix(text, byteOrderMark)
	require.True(t, found)
	require.True(t, strings.HasSuffix(text, "\r\n"))
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll() // refuses rows of another length
	require.NoError(t, err)
	require.Equal(t, len(all), strings.Count(text, "\r\n"), "a row is a line")
	var out []map[string]string
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, name := range all[0] {
			require.NotContains(t, m, name)
			m[name] = row[i]
		}
		out = append(out, m)
	}
	return out
}

// rowsWith are the rows that have all these cells.
func rowsWith(rows []map[string]string, cells ...string) []map[string]string {
	var out []map[string]string
	for _, r := range rows {
		fits := true
		for i := 0; i < len(cells); i += 2 {
			fits = fits && r[cells[i]] == cells[i+1]
		}
		if fits {
			out = append(out, r)
		}
	}
	return out
}

// filled are the cells of a row that have something in them.
func filled(row map[string]string) map[string]string {
	out := map[string]string{}
	for k, v := range row {
		if v != "" {
			out[k] = v
		}
	}
	return out
}

func TestMeasuresRows(t *testing.T) {
	r := newTestRun(t)
	job := edited("wall_gap: 40 mm", "wall_gap: {planned: 30 mm, built: 22 mm}", "setting: garage", "setting: bedroom", "note: ok", "note: ok\n    slots: [{slot: 3, mass: 21 kg}]")
	rows := csvRows(t, r.write(t, "csv", Settings{}, "jobs/a.yaml", job))
	base := map[string]string{"job": "2026-014", "premises": "net-loft", "stage": "designed", "file": "jobs/a.yaml"}
	for _, c := range []struct {
		name  string
		cells []string
		want  map[string]string
	}{
		{"outside: the margin is a number below zero", []string{"limit", "xx/code#gap"}, map[string]string{
			"line": "10", "column": "39", "list": "stacks", "entry": "A", "fact": "stacks[A].wall_gap", "label": "gap to the wall", "value": "22", "unit": "mm", "written": "22 mm", "planned": "30 mm",
			"limit": "xx/code#gap", "rule_set": "xx/code", "within": ">= 25 mm", "bound": "25", "margin": "-3", "outcome": "outside", "blocking": "true", "strictest": "true",
			"grade": "document", "title": "Code of the Isles", "edition": "2024", "clause": "4.2", "decided_by": "The harbour office decides."}},
		{"calculated", []string{"limit", "xx/code#energy"}, map[string]string{
			"line": "5", "column": "5", "list": "units", "entry": "U1", "fact": "units[U1].energy", "label": "energy of the unit", "value": "9.6", "unit": "kWh",
			"limit": "xx/code#energy", "rule_set": "xx/code", "within": "<= 10 kWh", "bound": "10", "margin": "0.4", "outcome": "within", "blocking": "true", "strictest": "true",
			"grade": "copy", "title": "Code of the Isles", "edition": "2024", "clause": "5", "decided_by": "The harbour office decides.", "formula": "sum of the stacks' energies"}},
		{"a limit that does not apply", []string{"limit", "xx/code#marked"}, map[string]string{
			"line": "7", "column": "5", "list": "stacks", "entry": "A", "fact": "stacks[A].marked", "label": "paint mark",
			"limit": "xx/code#marked", "rule_set": "xx/code", "within": "yes", "outcome": "not_applicable", "blocking": "true",
			"grade": "document", "title": "Code of the Isles", "edition": "2024", "clause": "9", "decided_by": "The harbour office decides.", "reason": "its condition is not met"}},
		{"a value that no limit is about", []string{"fact", "stacks[A].slots[3].mass"}, map[string]string{
			"line": "15", "column": "29", "list": "stacks.slots", "entry": "A / 3", "fact": "stacks[A].slots[3].mass", "label": "mass of the module", "value": "21", "unit": "kg", "written": "21 kg",
			"outcome": "not_judged", "reason": "no limit is about it"}},
		{"a calculated one", []string{"fact", "stacks[A].energy"}, map[string]string{
			"line": "7", "column": "5", "list": "stacks", "entry": "A", "fact": "stacks[A].energy", "label": "energy of the stack", "value": "9.6", "unit": "kWh",
			"outcome": "not_judged", "reason": "no limit is about it", "formula": "n · E"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := rowsWith(rows, c.cells...)
			require.Len(t, found, 1)
			for k, v := range base {
				c.want[k] = v
			}
			assert.Equal(t, c.want, filled(found[0]))
		})
	}
	waiting := rowsWith(rows, "limit", "policy#torque")
	require.Len(t, waiting, 1)
	assert.Equal(t, "not_due", waiting[0]["outcome"])
	assert.Equal(t, "stacks[A].torque", waiting[0]["waits_on"])
	assert.Equal(t, caution, rows[len(rows)-1]["reason"])
	assert.Equal(t, "as of 2026-03-11, limits 0123456789abcdef0123, witnessmark 1.2.3", rows[len(rows)-2]["reason"])
}

// Each outcome has one row, and each value that is written or calculated at least one:
// either a limit judged it, or a row says that none did.
func TestMeasuresAreComplete(t *testing.T) {
	for name, text := range map[string]string{"clean": cleanJob, "eventful": eventful, "bare": bareJob, "cancelled": edited("stage:", "status: cancelled\nstage:")} {
		t.Run(name, func(t *testing.T) {
			r := newTestRun(t)
			rows := csvRows(t, r.write(t, "csv", Settings{}, "jobs/a.yaml", text))
			for _, k := range judge.Kinds() {
				assert.Len(t, rowsWith(rows, "outcome", k.String()), r.run.Counts.ByKind[k], k)
			}
			facts := newTestRun(t).job(t, "jobs/a.yaml", text).Result.Facts
			for _, sc := range facts.Shape.Scopes {
				if sc.List.IsElsewhere() {
					continue
				}
				for _, in := range facts.Entries[sc.ID] {
					for _, l := range sc.Leaves {
						if in.Get(l).State == fact.Known && l.Type != fact.Key {
							found := rowsWith(rows, "fact", in.AddressOf(l))
							assert.NotEmpty(t, found, in.AddressOf(l))
							judged := 0
							for _, f := range found {
								if f["rule_set"] != "" && f["rule_set"] != builtInSet && f["outcome"] != "not_applicable" {
									judged++
								}
							}
							assert.Equal(t, judged == 0, len(rowsWith(found, "outcome", rowNotJudged)) == 1, in.AddressOf(l))
						}
					}
				}
			}
		})
	}
}

// What was not judged at all has rows too.
func TestMeasuresNotJudged(t *testing.T) {
	r := newTestRun(t)
	r.run.Notes = []string{"No equipment data was read."}
	sum := r.run.Limits[0]
	q := quantity.MustOf("12 kWh", "kWh")
	r.run.Repository = checks.Repository{
		Premises: []checks.PremisesResult{{Premises: "net-loft", Jobs: []string{"1", "2"}, Outcomes: []checks.RepositoryOutcome{
			{Name: sum.FullName, Limit: sum, Kind: judge.Outside, Blocking: true, Measure: "premises.energy", Fact: "premises.energy", Value: q, Bound: quantity.MustOf("10 kWh", "kWh"), Margin: "2 kWh", Room: quantity.Decimal{Coef: 2}, Strict: true,
				File: "jobs/a.yaml", At: jobfile.Position{Line: 2, Column: 3}, Shares: []register.Share{{Job: "1", Value: q}}},
			{Name: sum.FullName, Limit: sum, Kind: judge.Within, Fact: "premises.energy"},
		}}},
		Outcomes: []checks.RepositoryOutcome{{Name: "record#serial-unique", Kind: judge.Outside, Blocking: true, Fact: "stacks[A].serial", File: "jobs/b.yaml", At: jobfile.Position{Line: 4, Column: 7}, Written: "K7", Reason: "it stands twice"}},
	}
	r.run.Problems = []checks.Problem{{File: "rules/p.cue", At: jobfile.Position{Line: 9}, Code: "broken-limit", Message: "limit policy#x: no unit", Mend: "name one"}}
	text := r.write(t, "csv", Settings{}, "jobs/a.yaml", "job: [", "jobs/b.yaml", bareJob, "jobs/c.yaml", edited("air: 20 °C", "air: 20 kg"))
	rows := csvRows(t, text)
	unread := rowsWith(rows, "outcome", rowUnread)
	require.Len(t, unread, 1)
	assert.Equal(t, map[string]string{"file": "jobs/a.yaml", "outcome": "unread", "reason": unreadWords}, filled(unread[0]))
	assert.Len(t, rowsWith(rows, "outcome", rowProblem, "file", "jobs/a.yaml"), 1, "a problem of a job stands with it, and not once more")
	assert.Len(t, rowsWith(rows, "outcome", rowProblem, "reason", "limit policy#x: no unit; mend: name one", "line", "9", "file", "rules/p.cue"), 1)
	lists := rowsWith(rows, "outcome", rowNothing, "file", "jobs/b.yaml")
	require.Len(t, lists, 2)
	assert.Equal(t, "stacks: 9 limits, 8 of them blocking, found nothing to judge, since none is recorded", lists[1]["list"]+": "+lists[1]["reason"])
	unreadable := rowsWith(rows, "fact", "stacks[A].air")
	require.Len(t, unreadable, 1)
	assert.Equal(t, "not_checked", unreadable[0]["outcome"])
	assert.Empty(t, unreadable[0]["value"])
	assert.Len(t, rowsWith(rows, "outcome", rowNote, "reason", "No equipment data was read."), 1)
	across := rowsWith(rows, "premises", "net-loft", "job", "1 2", "outcome", "outside")
	require.Len(t, across, 1)
	assert.Equal(t, []string{"premises.energy", "12", "kWh", "10", "-2", "2", "3", "true"}, []string{across[0]["fact"], across[0]["value"], across[0]["unit"], across[0]["bound"], across[0]["margin"], across[0]["line"], across[0]["column"], across[0]["strictest"]})
	assert.Len(t, rowsWith(rows, "rule_set", "record", "limit", "record#serial-unique", "written", "K7"), 1)

	findings := csvRows(t, r.write(t, "csv", Settings{FindingsOnly: true}, "jobs/a.yaml", "job: [", "jobs/b.yaml", bareJob, "jobs/c.yaml", edited("air: 20 °C", "air: 50 °C")))
	for _, row := range findings {
		assert.Contains(t, []string{"outside", "too_close", "missing", "not_checked", rowUnread, rowProblem, rowNothing, rowBroken, rowNote}, row["outcome"])
	}
	assert.Len(t, rowsWith(findings, "limit", "xx/code#air", "outcome", "outside"), 1)
	assert.Len(t, rowsWith(findings, "outcome", rowUnread), 1)
}

// Whatever a file has in it, no cell is computed or steers anything, and every number
// stays one.
func TestMeasuresAreInert(t *testing.T) {
	read := 0
	for _, bad := range []string{"=1+1", "+1", "-1", "@x", " =1", "\\t=1", "\\r=1", "\\\"=1", "'=1", "＝1", "\\u00a0＋1", "\\u3000－1", "﹦1", "x;=1", "x; \\\"@1", "\\x1b[31m", "\\u202e=1", "\\0=1", "##[error]", "::error::", "a\\nb", "a,b", "\\ufeff=1"} {
		text := strings.NewReplacer("job: 2026-014", `job: "`+bad+`"`, "id: A", `id: "`+bad+`"`, "stacks: [A]", `stacks: ["`+bad+`"]`, "id: U1", `id: "`+bad+`"`,
			"note: ok", `note: "`+bad+`"`, "air: 20 °C", `air: "`+bad+`"`).Replace(cleanJob)
		out := newTestRun(t).write(t, "csv", Settings{}, "jobs/"+bad+".yaml", text)
		rows := csvRows(t, out)
		if len(rowsWith(rows, "outcome", rowUnread)) == 0 { // else it was refused for a control character
			require.NotEmpty(t, rowsWith(rows, "label", "modules in the stack", "outcome", "within"), bad)
			read++
		}
		for line := range strings.Lines(strings.TrimPrefix(out, byteOrderMark)) {
			require.NoError(t, inert.Steerless([]byte(strings.TrimSuffix(line, "\r\n"))))
		}
		number := regexp.MustCompile(`^-?\d+(\.\d+)?$`)
		for _, row := range rows {
			for name, text := range row {
				if name == "margin" || name == "bound" || name == "line" || name == "column" || name == "value" && row["unit"] != "" {
					assert.True(t, text == "" || number.MatchString(text), "%s: %q", name, text)
					continue
				}
				for _, part := range strings.Split(text, ";") {
					part = strings.TrimLeft(part, " \"\u00a0\u3000")
					assert.False(t, part != "" && strings.Contains("=+-@＝＋－＠﹦\t\r", string([]rune(part)[0])), "%s: %q", name, text)
				}
			}
		}
	}
	assert.Greater(t, read, 10)
}

func TestMeasureColumns(t *testing.T) {
	var names []string
	for i, c := range measureColumns() {
		names = append(names, c.name)
		assert.Regexp(t, `^[a-z_]+$`, c.name)
		assert.Equal(t, c.name, strings.ToLower(c.name), strconv.Itoa(i))
	}
	assert.Equal(t, "job premises status stage file line column list entry fact label value unit written planned limit rule_set within bound margin outcome blocking strictest grade title edition clause decided_by address reason waits_on formula state in_base", strings.Join(names, " "))
}
