package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// A band that does not fit its measure is refused; it never changes a verdict.
func TestBandsThatDoNotFit(t *testing.T) {
	for _, band := range []string{`"stacks.unit": "4 %"`, `"locations.air.high": "4 %"`, `"conductors.size": "4 %"`, `"premises.occupancy": "4 %"`, `"units.energy": "4 %"`, `"stacks.modules": "4 %"`, `"stacks.wall_gap": "4 kg"`, `"stacks.gap": "4 %"`} {
		run, out := lint(t, gapFirm("guarded", "	bands: "+band, oneStack("    wall_gap: 60 mm\n"), [2]string{"up", gap + `within: <=20`}))
		require.Len(t, run.Problems, 1, band)
		assert.Equal(t, "broken-band", run.Problems[0].Code)
		assert.Equal(t, 7, run.Problems[0].At.Line, "the place of the bands")
		assert.Equal(t, judge.Outside, out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind, band)
	}
	air := `job: 1
premises: {id: p}
stage: surveyed
locations: [{id: L, air: {high: 44 °C}}]
`
	f := firm{"witnessmark.cue": rootFile, "rules/r.cue": ruleFile("policy", "policy", "guarded", `	bands: "locations.air.high": "2 K"`, [2]string{"air", `measure: "locations.air.high", unit: "°C", within: <=45`}), "jobs/a.yaml": air}
	run, out := lint(t, f)
	require.Empty(t, run.Problems)
	assert.Equal(t, judge.TooClose, out.full["jobs/a.yaml policy#air locations[L].air.high"].kind)
}

// A limit relaxes another only where it may, and never in a circle.
func TestReplacementsThatAreRefused(t *testing.T) {
	base := [2]string{"base", gap + `within: <=20`}
	for name, c := range map[string]struct {
		files map[string]string
		code  string
	}{
		"itself":    {map[string]string{"rules/r.cue": ruleFile("law", "code", "simple", "", [2]string{"base", gap + `within: <=20, replaces: ["law#base"]`})}, "replaces-in-a-circle"},
		"circle":    {map[string]string{"rules/r.cue": ruleFile("law", "code", "simple", "", [2]string{"base", gap + `within: <=20, replaces: ["law#other"]`}, [2]string{"other", gap + `within: <=10, replaces: ["law#base"]`})}, "replaces-in-a-circle"},
		"hearsay":   {map[string]string{"rules/r.cue": ruleFile("law", "code", "simple", "", base), "rules/s.cue": ruleFile("local", "code", "simple", "", [2]string{"wide", gap + `within: <=90, grade: "memory", replaces: ["law#base"]`})}, "replaces-by-hearsay"},
		"own power": {map[string]string{"rules/r.cue": ruleFile("law", "code", "simple", "", base), "rules/s.cue": ruleFile("policy", "policy", "simple", "", [2]string{"wide", gap + `within: <=90, replaces: ["law#base"]`})}, "replaces-beyond-its-power"},
		"nothing":   {map[string]string{"rules/r.cue": ruleFile("law", "code", "simple", "", base), "rules/s.cue": ruleFile("local", "code", "simple", "", [2]string{"wide", gap + `within: <=90, replaces: ["law#bsae"]`})}, "replaces-nothing"},
	} {
		t.Run(name, func(t *testing.T) {
			f := firm{"witnessmark.cue": rootFile, "jobs/a.yaml": oneStack("    wall_gap: 60 mm\n")}
			for n, text := range c.files {
				f[n] = text
			}
			run, out := lint(t, f)
			require.NotEmpty(t, run.Problems)
			assert.Equal(t, c.code, run.Problems[0].Code)
			assert.Equal(t, judge.Outside, out.full["jobs/a.yaml law#base stacks[A].wall_gap"].kind)
		})
	}
}

// A value is handed over only to a rule set that judges it.
func TestHandedOver(t *testing.T) {
	first := ruleFile("small", "code", "simple", "", [2]string{"up", gap + `within: <=20, hands_over_to: "large"`})
	job := strings.Replace(oneStack("    wall_gap: 30 mm\n"), "stage: designed", "stage: designed\nrule_sets: [large]", 1)
	named := func(limits ...[2]string) string {
		return strings.Replace(ruleFile("large", "code", "simple", "", limits...), "always: true", "always: false", 1)
	}
	for name, c := range map[string]struct {
		second string
		want   judge.Kind
	}{
		"judged there":         {named([2]string{"up", gap + `within: <=50`}), judge.NotApplicable},
		"no limit on it there": {named([2]string{"other", `measure: "stacks.lean", unit: "mm", within: <=5`}), judge.Outside},
		"does not apply there": {named([2]string{"up", gap + `within: <=50, when: premises: occupancy: "shop"`}), judge.Outside},
	} {
		_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/a.cue": first, "rules/b.cue": c.second, "jobs/a.yaml": job})
		assert.Equal(t, c.want.String(), out.full["jobs/a.yaml small#up stacks[A].wall_gap"].kind.String(), name)
	}
}

// Contradictions are seen where they may hold, and not where dates or conditions
// keep them apart.
func TestContradictions(t *testing.T) {
	up := [2]string{"up", gap + `within: <=20`}
	for name, c := range map[string]struct {
		other string
		want  judge.Kind
	}{
		"surely":                {gap + `within: >=25`, judge.NotChecked},
		"perhaps":               {gap + `within: >=25, when: stacks: base_height: >1`, judge.NotChecked},
		"surely not":            {gap + `within: >=25, when: premises: occupancy: "shop"`, judge.Outside},
		"touching":              {gap + `within: >=20`, judge.Outside},
		"just beyond":           {gap + `within: >20`, judge.NotChecked},
		"along another way":     {`measure: "joints.stack.wall_gap", unit: "mm", within: >=25`, judge.NotChecked},
		"along another way, if": {`measure: "joints.stack.wall_gap", unit: "mm", within: >=25, when: joints: joint: "base"`, judge.NotChecked},
	} {
		_, out := lint(t, gapFirm("guarded", "", oneStack("    wall_gap: 22 mm\n"), up, [2]string{"low", c.other}))
		assert.Equal(t, c.want.String(), out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind.String(), name)
	}
	_, out := lint(t, gapFirm("guarded", "", oneStack("    wall_gap: 22 mm\n"), [2]string{"up", gap + `within: <=20, until: "2026-12-31"`}, [2]string{"low", gap + `within: >=25, from: "2027-01-01"`}))
	assert.Equal(t, judge.Outside, out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind, "one is out of force before the other begins")
	run, _ := lint(t, gapFirm("guarded", "", oneStack("    wall_gap: 22 mm\n"), [2]string{"up", gap + `within: <=20, from: "2027-01-01", until: "2026-01-01"`}))
	require.Len(t, run.Problems, 1)
	assert.Contains(t, run.Problems[0].Message, "which is never")
}

// Some and every look at what belongs to the entry, not at the whole job.
func TestQuantifiersFollowLinks(t *testing.T) {
	job := `job: 1
premises: {id: p}
stage: designed
dates: {permit: 2026-03-02}
units:
  - {id: U1, stacks: [A], spacing: 10 mm}
  - {id: U2, stacks: [B, C], spacing: 10 mm}
stacks: [{id: A, modules: 3}, {id: B, modules: 9}, {id: C, modules: 3}]
`
	body := `measure: "units.spacing", unit: "mm", within: >=900, `
	for cond, want := range map[string][2]judge.Kind{
		`when: some: stacks: modules: >6`:  {judge.NotApplicable, judge.Outside},
		`when: every: stacks: modules: <6`: {judge.Outside, judge.NotApplicable},
	} {
		_, out := lint(t, gapFirm("guarded", "", job, [2]string{"s", body + cond}))
		for i, unit := range []string{"U1", "U2"} {
			assert.Equal(t, want[i].String(), out.full["jobs/a.yaml policy#s units["+unit+"].spacing"].kind.String(), cond+" "+unit)
		}
	}
	slots := strings.Replace(oneStack("    wall_gap: 30 mm\n    slots: [{slot: 1, serial: x}]\n  - id: B\n    wall_gap: 30 mm\n    slots: [{slot: 1, serial: y}]\n"), "units: [{id: U1, stacks: [A]}]", "units: [{id: U1, stacks: [A, B]}]", 1)
	_, out := lint(t, gapFirm("guarded", "", slots, [2]string{"up", gap + `within: <=20, when: some: "stacks.slots": serial: "y"`}))
	assert.Empty(t, out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].strictest)
}

// Sums over premises are known only after the last job, so nothing else may be
// made to depend on them; a list of words is held to words, and one of entries to nothing.
func TestMeasuresThatAreRefused(t *testing.T) {
	for body, says := range map[string]string{
		gap + `within: <=20, when: premises: energy: >50`: "known only after the last one",
		`measure: "units.stacks", within: "A"`:            "names several entries",
		`measure: "rule_sets", within: !="x"`:             "write [...!=",
	} {
		run, _ := lint(t, gapFirm("guarded", "", oneStack("    wall_gap: 60 mm\n"), [2]string{"x", body}))
		require.Len(t, run.Problems, 1, body)
		assert.Contains(t, run.Problems[0].Message, says)
	}
}

// What stands in a rules file and is no rule set is reported, not passed over.
func TestRuleFilesWithStrangers(t *testing.T) {
	good := ruleFile("policy", "policy", "guarded", "", [2]string{"up", gap + `within: <=20`})
	for name, c := range map[string]struct{ text, code string }{
		"no definition":      {strings.Replace(good, "#policy:", "policy:", 1), "no-definition"},
		"hidden":             {strings.Replace(good, "#policy:", "_policy:", 1), "no-definition"},
		"no source":          {"package rules\n\n#policy: {limits: {}}\n", "no-rule-set"},
		"empty file":         {"package rules\n", "no-rule-set"},
		"misspelt, no form":  {strings.NewReplacer("limit.#RuleSet & ", "", "import \"witnessmark.example/schema/limit\"\n", "", "within: <=20", "within: <=20, whn: premises: occupancy: \"shop\"").Replace(good), "broken-definition"},
		"optional limit":     {strings.Replace(good, `limits: "up":`, `limits: "up"?:`, 1), "not-understood"},
		"optional condition": {strings.Replace(good, "within: <=20", `within: <=20, when?: premises: occupancy: "shop"`, 1), "not-understood"},
	} {
		t.Run(name, func(t *testing.T) {
			run, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": c.text, "jobs/a.yaml": oneStack("    wall_gap: 60 mm\n")})
			require.NotEmpty(t, run.Problems)
			assert.Equal(t, c.code, run.Problems[0].Code, run.Problems[0].Message)
			for key, s := range out.full {
				if strings.Contains(key, "policy#up") {
					assert.NotEqual(t, judge.Within, s.kind)
				}
			}
		})
	}
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": strings.Replace(good, ", always: true", "", 1), "jobs/a.yaml": oneStack("    wall_gap: 60 mm\n")})
	assert.Equal(t, judge.Outside, out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind, "a policy is for all jobs of the firm")
}

// A job whose parts were not all understood leaves the sums of its property open.
func TestSumsOverPartsNotUnderstood(t *testing.T) {
	for name, other := range map[string]string{
		"misspelt list":       strings.Replace(housed("2", "p", "41 kWh", ""), "existing:", "exsisting:", 1),
		"scalar for a list":   strings.Replace(housed("2", "p", "41 kWh", ""), "existing: [{id: e, location: g, energy: 41 kWh, kind: lithium-ion}]", "existing: 41 kWh", 1),
		"premises unreadable": strings.Replace(housed("2", "p", "41 kWh", ""), "{id: p,", "{id: P,", 1),
		"no premises":         strings.Replace(housed("2", "p", "41 kWh", ""), "{id: p, ", "{", 1),
	} {
		run, _ := lint(t, firm{"witnessmark.cue": rootFile, "jobs/a.yaml": housed("1", "p", "41 kWh", ""), "jobs/b.yaml": other}, "jobs/a.yaml")
		o := sums(run, "p")[garages]
		assert.Equal(t, judge.NotChecked, o.Kind, name)
	}
	run, _ := lint(t, firm{"witnessmark.cue": rootFile, "jobs/b.yaml": strings.Replace(housed("2", "p", "41 kWh", ""), "{id: p, ", "{", 1)})
	assert.Equal(t, judge.NotChecked, sums(run, "")[garages].Kind, "a job that names no premises has sums too, and they are not known")
}

// An uncertainty is not lost in a sum.
func TestUncertaintyInASum(t *testing.T) {
	own := ruleFile("policy", "policy", "guarded", "", [2]string{"all", `measure: "premises.energy", unit: "kWh", within: <=50`})
	for energy, want := range map[string]judge.Kind{"48 kWh": judge.Within, "48 kWh ± 2 kWh": judge.Within, "48 kWh ± 2.1 kWh": judge.TooClose, "51 kWh ± 2 kWh": judge.Outside} {
		run, _ := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": own, "jobs/a.yaml": housed("1", "p", energy, "")})
		assert.Equal(t, want.String(), sums(run, "p")["policy#all"].Kind.String(), energy)
	}
}

// Limits on sums relax, contradict and hand over like others.
func TestSumsAmongLimits(t *testing.T) {
	all := `measure: "premises.energy", unit: "kWh", `
	law := ruleFile("law", "code", "simple", "", [2]string{"all", all + `within: <=50`})
	job := firm{"witnessmark.cue": rootFile, "rules/a.cue": law, "jobs/a.yaml": housed("1", "p", "60 kWh", "")}
	run, _ := lint(t, job)
	assert.Equal(t, judge.Outside, sums(run, "p")["law#all"].Kind)
	job["rules/b.cue"] = ruleFile("local", "code", "simple", "", [2]string{"all", all + `within: <=70, replaces: ["law#all"]`})
	run, _ = lint(t, job)
	assert.Equal(t, judge.NotApplicable, sums(run, "p")["law#all"].Kind)
	assert.Equal(t, judge.Within, sums(run, "p")["local#all"].Kind)
	job["rules/b.cue"] = ruleFile("local", "code", "simple", "", [2]string{"all", all + `within: >=55`})
	run, _ = lint(t, job)
	assert.Equal(t, judge.NotChecked, sums(run, "p")["law#all"].Kind)
	job["rules/b.cue"] = ruleFile("local", "code", "simple", "", [2]string{"least", all + `within: >=70`})
	job["jobs/b.yaml"] = strings.Replace(housed("2", "p", "1 kWh", ""), ", energy: 1 kWh", "", 1)
	delete(job, "rules/a.cue")
	run, _ = lint(t, job)
	assert.Equal(t, judge.NotChecked, sums(run, "p")["local#least"].Kind, "what is not known may still make up what is wanting")
}

// Stages: a joint has that of its stack, a location that of what stands there.
func TestStagesAlongLinks(t *testing.T) {
	job := `job: 1
premises: {id: p}
stage: designed
locations: [{id: L, working_space: {depth: 1300 mm}}]
units: [{id: U, location: L, stacks: [A, B]}]
stacks:
  - {id: A, stage: installed, wall_gap: 20 mm}
  - {id: B, wall_gap: 20 mm}
joints:
  - {id: a, stack: A}
  - {id: b, stack: B}
`
	_, out := lint(t, firm{"jobs/a.yaml": job})
	missing := func(fact string) bool { return out.full["jobs/a.yaml record#recorded "+fact].kind == judge.Missing }
	assert.True(t, missing("joints[a].torque.set"))
	assert.False(t, missing("joints[b].torque.set"))
	assert.True(t, missing("stacks[A].wall_gap"))
	assert.False(t, missing("stacks[B].wall_gap"))
	assert.True(t, missing("locations[L].working_space.depth"), "an installed stack stands there: the plan is no reading")
}

// Stage and dates must tell the same story, and a date makes things due.
func TestStageByDates(t *testing.T) {
	for dates, want := range map[string]bool{
		"delivered: 2026-10-01":                        false,
		"delivered: 2026-10-01, installed: 2026-11-01": true,
		"delivered: 2026-10-01, installed: 2026-12-01": false,
		"delivered: 2027-10-01":                        true,
	} {
		_, out := lint(t, firm{"jobs/a.yaml": "job: 1\npremises: {id: p}\nstage: delivered\ndates: {" + dates + "}\nstacks: [{id: A}]\n"})
		_, found := out.full["jobs/a.yaml record#stage-by-dates stage"]
		assert.Equal(t, want, found, dates)
		assert.Equal(t, strings.Contains(dates, "installed: 2026-11"), out.full["jobs/a.yaml record#recorded stacks[A].lean"].kind == judge.Missing, dates)
	}
}

// Nothing at all is not a clean job.
func TestEmptyJob(t *testing.T) {
	_, out := lint(t, firm{"jobs/a.yaml": "job: 1\npremises: {id: p}\nstage: in-service\nrule_sets: []\nstacks: []\n"})
	for _, f := range []string{"stacks", "units", "rule_sets"} {
		assert.Equal(t, judge.Missing, out.full["jobs/a.yaml record#recorded "+f].kind, f)
	}
}

// Equipment that could not be read counts, and stays open before the gate.
func TestUnreadEquipmentIsOpen(t *testing.T) {
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "jobs/a.yaml": oneStack("    equipment: nobody@B\n")})
	s := out.full["jobs/a.yaml record#datasheet-read stacks[A].equipment"]
	assert.Equal(t, judge.NotChecked, s.kind)
	assert.True(t, s.blocking)
}

// Job files are found whatever the capitals of their ending; what is not read is
// said.
func TestFilesThatMightBeMissed(t *testing.T) {
	f := firm{"witnessmark.cue": rootFile, "jobs/a.yaml": housed("1", "p", "41 kWh", ""), "jobs/b.YAML": housed("2", "p", "41 kWh", ""), "other/c.yaml": housed("3", "p", "1 kWh", "")}
	run, _ := lint(t, f, "jobs")
	assert.Equal(t, judge.Outside, sums(run, "p")[garages].Kind)
	run, _ = lint(t, f, "jobs", "other")
	require.Len(t, run.Problems, 1)
	assert.Equal(t, "no-job-file", run.Problems[0].Code)
}

// A contradiction that only shows with the figures of a job is not its fault.
func TestContradictionsOfOneJob(t *testing.T) {
	withFacts := func(limits ...[2]string) string {
		return strings.Replace(ruleFile("policy", "policy", "guarded", "", limits...), `import "witnessmark.example/schema/limit"`, "import (\"witnessmark.example/schema/limit\", \"witnessmark.example/schema/facts\")", 1)
	}
	rules := withFacts([2]string{"least", gap + `within: >=(2*facts.stacks.base_height)`}, [2]string{"most", gap + `within: <=50`})
	for height, want := range map[string][2]judge.Kind{
		"20 mm": {judge.Outside, judge.Within},        // at least 40 mm, at most 50 mm
		"25 mm": {judge.Outside, judge.Within},        // at least 50 mm, at most 50 mm
		"30 mm": {judge.NotChecked, judge.NotChecked}, // at least 60 mm, at most 50 mm
	} {
		_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": rules, "jobs/a.yaml": oneStack("    wall_gap: 30 mm\n    base_height: " + height + "\n")})
		assert.Equal(t, want[0].String(), out.full["jobs/a.yaml policy#least stacks[A].wall_gap"].kind.String(), height)
		assert.Equal(t, want[1].String(), out.full["jobs/a.yaml policy#most stacks[A].wall_gap"].kind.String(), height)
	}
}

// A ruling may accept a sum over the premises, for the value it was given for.
func TestConcessionOnASum(t *testing.T) {
	job := func(energy, value, paper string) string {
		return housed("1", "p", energy, "") + "documents: [{id: D, document: " + paper + "}]\nconcessions: [{id: c, limit: " + "\"" + garages + "\", fact: premises.energy_in_garages, value: " + value + ", granted_by: authority, by: ro, on: 2026-01-02, document: D, reason: fire wall}]\n"
	}
	for name, c := range map[string]struct {
		job  string
		want judge.Kind
	}{
		"as ruled":      {job("85 kWh", "85 kWh", "ruling"), judge.Accepted},
		"more by now":   {job("86 kWh", "85 kWh", "ruling"), judge.Outside},
		"on a plan":     {job("85 kWh", "85 kWh", "plan"), judge.Outside},
		"not necessary": {job("75 kWh", "75 kWh", "ruling"), judge.Within},
	} {
		run, _ := lint(t, firm{"witnessmark.cue": rootFile, "jobs/a.yaml": c.job})
		assert.Equal(t, c.want.String(), sums(run, "p")[garages].Kind.String(), name)
	}
}
