package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

const energisedJob = "job: \"1\"\nstage: energised\npremises: {id: p, occupancy: dwelling, region: isles}\ndates: {surveyed: 2026-01-01, installed: 2026-03-10, energised: 2026-03-11}\n"

// ruleSet is a firm's rule set with one limit on the wall gap.
func ruleSet(definition, name, kind, grade, within, more string) string {
	return "#" + definition + ": limit.#RuleSet & {source: {name: \"" + name + "\", title: \"T\", edition: \"1\", kind: \"" + kind + "\", decision: \"simple\", decided_by: \"us\"}\n" +
		"\tlimits: gap: {measure: \"stacks.wall_gap\", within: " + within + ", unit: \"mm\", clause: \"1\", grade: \"" + grade + "\", reviewed: \"2026-11-01\", review_by: \"2027-11-01\", why: \"Air.\"" + more + "}}\n"
}

const limitImport = "package rules\nimport \"witnessmark.example/schema/limit\"\n"

// A limit hands over only to one that may take over: never to itself, in a circle,
// or to one that only advises where it decides itself.
func TestHandingOverLeavesSomebodyToJudge(t *testing.T) {
	job := energisedJob + "rule_sets: [x/a, x/b]\nstacks:\n  - {id: A, wall_gap: {planned: 10 mm, built: 10 mm}}\n"
	to := func(name string) string { return ", hands_over_to: \"" + name + "\"" }
	for name, c := range map[string]struct {
		a, b string
		want judge.Kind
	}{
		"to one that decides": {ruleSet("a", "x/a", "code", "document", ">=300", to("x/b")), ruleSet("b", "x/b", "code", "document", ">=5", ""), judge.NotApplicable},
		"in a circle":         {ruleSet("a", "x/a", "code", "document", ">=300", to("x/b")), ruleSet("b", "x/b", "code", "document", ">=300", to("x/a")), judge.Outside},
		"to itself":           {ruleSet("a", "x/a", "code", "document", ">=300", to("x/a")), ruleSet("b", "x/b", "code", "document", ">=5", ""), judge.Outside},
		"to hearsay":          {ruleSet("a", "x/a", "code", "document", ">=300", to("x/b")), ruleSet("b", "x/b", "code", "memory", ">=5", ""), judge.Outside},
		"to nobody":           {ruleSet("a", "x/a", "code", "document", ">=300", to("x/c")), ruleSet("b", "x/b", "code", "document", ">=5", ""), judge.Outside},
	} {
		_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": limitImport + c.a + c.b, "jobs/1.yaml": job})
		assert.Equal(t, c.want, out.full["jobs/1.yaml x/a#gap stacks[A].wall_gap"].kind, name)
	}
}

// A product that nobody has to name, written without its revision: its datasheet
// is not checked, which is said.
func TestUnpinnedOptionalProductIsSaid(t *testing.T) {
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "equipment/quell.cue": quell,
		"jobs/1.yaml": energisedJob + "deliveries:\n  - {serial: S1, equipment: quell, on: 2026-02-01, packaging: sound, accepted: accepted}\nstacks:\n  - {id: A, equipment: {planned: quell, built: quell}}\n"})
	got := out.full["jobs/1.yaml "+judge.DatasheetRead+" deliveries[S1].equipment"]
	assert.Equal(t, judge.NotChecked, got.kind)
	assert.Contains(t, got.reason, "the revision of the datasheet is not pinned")
	assert.Equal(t, judge.Missing, out.full["jobs/1.yaml record#recorded stacks[A].equipment"].kind, "one that has to be named is missing")
	assert.NotContains(t, out.full, "jobs/1.yaml "+judge.DatasheetRead+" stacks[A].equipment")
}

// The paper of a concession has to be in force and of the one who gave it.
func TestPaperOfAConcession(t *testing.T) {
	job := func(paper, value string) string {
		return energisedJob + "rule_sets: [x/a]\nstacks:\n  - {id: A, wall_gap: {planned: 20 mm, built: " + value + "}}\ndocuments:\n  - {id: d, document: ruling, on: 2026-02-01" + paper + "}\n" +
			"concessions:\n  - {id: c, limit: x/a#gap, fact: \"stacks[A].wall_gap\", value: 20 mm, granted_by: authority, by: ro, on: 2026-04-01, document: d, reason: no more room}\n"
	}
	accepted := func(job string) seen {
		_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": limitImport + ruleSet("a", "x/a", "code", "document", ">=24", ""), "jobs/1.yaml": job})
		return out.full["jobs/1.yaml x/a#gap stacks[A].wall_gap"]
	}
	for paper, reason := range map[string]string{
		"":                          "",
		", issued_by: authority":    "",
		", valid_until: 2026-11-25": "",
		", valid_until: 2026-11-24": "it was good until 2026-11-24",
		", issued_by: firm":         "it was issued by the firm",
		", issued_by: owner":        "it was issued by the owner",
	} {
		got := accepted(job(paper, "20 mm"))
		if reason == "" {
			assert.Equal(t, judge.Accepted, got.kind, paper)
			continue
		}
		assert.Equal(t, judge.Outside, got.kind, paper)
		assert.Contains(t, got.reason, reason)
	}
	assert.Contains(t, accepted(strings.Replace(job("", "20 mm"), "on: 2026-02-01", "on: 2027-02-01", 1)).reason, "still to come")
	assert.Equal(t, judge.Outside, accepted(job("", "20 mm ± 15 mm")).kind, "a value that is less certain was not accepted")
}

// What happened is not dated in days to come; a removal that is planned frees no
// serial number; gates are passed in their order and not before their time.
func TestDaysToComeAndGatesTooEarly(t *testing.T) {
	_, out := lint(t, firm{"jobs/1.yaml": energisedJob + "joints:\n  - {id: j, joint: base, on: 2026-11-26}\n  - {id: k, joint: base, on: 2026-11-25}\n"})
	assert.Contains(t, out.full["jobs/1.yaml "+judge.DatesInOrder+" joints[j].on"].reason, "tightened on is 2026-11-26, which is still to come on 2026-11-25")
	assert.NotContains(t, out.full, "jobs/1.yaml "+judge.DatesInOrder+" joints[k].on")
	stack := func(job, more string) string {
		return "job: " + job + "\nstage: installed\npremises: {id: p}\nstacks:\n  - id: A\n    slots:\n      - {slot: 1, serial: M-7" + more + "}\n"
	}
	run, _ := lint(t, firm{"jobs/1.yaml": stack("J1", ", removed_on: 2026-12-24"), "jobs/2.yaml": stack("J2", "")})
	assert.Len(t, run.Repository.Outcomes, 2, "it still stands there")
	for gates, want := range map[string]string{
		"  - {gate: energise, on: 2026-03-09}\n":                                         "the gate energise was passed on 2026-03-09, before the job was installed on 2026-03-10",
		"  - {gate: hand-over, on: 2026-03-10}\n":                                        "before the job was energised on 2026-03-11",
		"  - {gate: start-work, on: 2026-03-11}\n  - {gate: energise, on: 2026-03-10}\n": "before the gate start-work on 2026-03-11",
		"  - {gate: start-work, on: 2026-03-01}\n  - {gate: energise, on: 2026-03-10}\n": "",
	} {
		_, out := lint(t, firm{"jobs/1.yaml": energisedJob + "gates:\n" + gates})
		reasons := ""
		for key, s := range out.full {
			if strings.Contains(key, judge.DatesInOrder) {
				reasons += s.reason
			}
		}
		if want == "" {
			assert.Empty(t, reasons)
		} else {
			assert.Contains(t, reasons, want)
		}
	}
}

// A job that is farther than all of its stacks owes readings that nobody asks for.
func TestNoStackAtTheStageOfTheJob(t *testing.T) {
	for stages, want := range map[string]judge.Kind{"designed designed": judge.Outside, "energised designed": 0, "in-service designed": 0} {
		a, b, _ := strings.Cut(stages, " ")
		_, out := lint(t, firm{"jobs/1.yaml": energisedJob + "stacks:\n  - {id: A, stage: " + a + "}\n  - {id: B, stage: " + b + "}\n"})
		assert.Equal(t, want, out.full["jobs/1.yaml "+judge.StageByDates+" stage"].kind, stages)
	}
}

// Conditions, snags and notices that name their own gate or day are settled by then.
func TestSettledByTheirOwnGate(t *testing.T) {
	for entry, c := range map[string]struct{ fact, want string }{
		"conditions:\n  - {id: x, before: energise, met: false}\n":                {"conditions[x].met", "the condition of the permit is not met, though the gate energise is passed"},
		"conditions:\n  - {id: x, before: energise}\n":                            {"conditions[x].met", "not met"},
		"conditions:\n  - {id: x, before: energise, met: true}\n":                 {},
		"conditions:\n  - {id: x, before: hand-over, met: false}\n":               {},
		"snags:\n  - {id: x, weight: before energising}\n":                        {"snags[x].closed_on", "the snag is not put right, though the gate energise is passed"},
		"snags:\n  - {id: x, weight: before energising, closed_on: 2026-03-10}\n": {},
		"snags:\n  - {id: x, weight: after hand-over}\n":                          {},
		"notices:\n  - {id: x, due_by: 2026-11-24, state: open}\n":                {"notices[x].state", "the notice was to be done by 2026-11-24"},
		"notices:\n  - {id: x, due_by: 2026-11-25, state: open}\n":                {},
		"notices:\n  - {id: x, due_by: 2026-11-24, state: done}\n":                {},
	} {
		_, out := lint(t, firm{"jobs/1.yaml": energisedJob + entry})
		var found []string
		for key, s := range out.full {
			if strings.Contains(key, judge.Settled) {
				found = append(found, strings.Fields(key)[2]+" "+s.reason)
			}
		}
		if c.want == "" {
			assert.Empty(t, found, entry)
			continue
		}
		require.Len(t, found, 1, entry)
		assert.Contains(t, found[0], c.fact)
		assert.Contains(t, found[0], c.want)
	}
}

// A condition on what the product is never meets the limits of a product that is
// something else: that is no contradiction.
func TestConditionOnTheProductIsNoContradiction(t *testing.T) {
	data := "package equipment\nimport \"witnessmark.example/schema/equipment\"\n" + `#products: quell: A: equipment.#Storage & {title: "Quell", edition: "A", architecture: "modules in series"
	limits: gap: {measure: "stacks.wall_gap", within: <=40, unit: "mm", clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "Reach."}}
`
	rules := func(architecture string) string {
		return limitImport + ruleSet("policy", "policy", "policy", "document", ">=60", ", when: stacks: equipment: architecture: \""+architecture+"\"")
	}
	job := energisedJob + "stacks:\n  - {id: A, equipment: {planned: quell@A, built: quell@A}, wall_gap: {planned: 30 mm, built: 30 mm}}\n"
	run, out := lint(t, firm{"witnessmark.cue": rootFile, "equipment/quell.cue": data, "rules/p.cue": rules("converter per module"), "jobs/1.yaml": job})
	assert.Empty(t, run.Problems)
	assert.Equal(t, judge.Within, out.full["jobs/1.yaml equipment/quell@A#gap stacks[A].wall_gap"].kind)
	run, _ = lint(t, firm{"witnessmark.cue": rootFile, "equipment/quell.cue": data, "rules/p.cue": rules("modules in series"), "jobs/1.yaml": job})
	require.Len(t, run.Problems, 1)
	assert.Equal(t, "limits-conflict", run.Problems[0].Code)
}

// Limits that are broken are known by name, so that a report can say that they
// judge nothing.
func TestBrokenLimitsAreKnown(t *testing.T) {
	limits := func(name, measure, grade string) string {
		return "#policy: limits: " + name + ": {measure: \"" + measure + "\", within: >=1, unit: \"mm\", clause: \"1\", grade: \"" + grade + "\", reviewed: \"2026-11-01\", review_by: \"2027-11-01\", why: \"x\"}\n"
	}
	rules := limitImport + ruleSet("policy", "policy", "policy", "document", ">=60", "") + limits("misspelt", "stacks.wall_gapp", "document") + limits("cut", "stacks.wall_gap", "documnt")
	l, err := OpenLibrary(Options{FS: firm{"witnessmark.cue": rootFile, "rules/p.cue": rules}.fs(), AsOf: asOf, Shipped: once(t)})
	require.NoError(t, err)
	for _, s := range l.Sets {
		if s.Source.Name == "policy" {
			assert.ElementsMatch(t, []string{"policy#misspelt", "policy#cut"}, s.Broken)
		}
	}
}

// What is no register does not make the firm look as if it kept none.
func TestMisspeltRegisterIsAProblem(t *testing.T) {
	text := strings.Replace(registers, "#people:", "#peple:", 1)
	run, _ := lint(t, firm{"witnessmark.cue": rootFile, "registers/all.cue": text, "jobs/1.yaml": energisedJob})
	require.Len(t, run.Problems, 1)
	assert.Contains(t, run.Problems[0].Message, `#peple is no register, so nothing of it is used; did you mean "#people"?`)
	assert.Equal(t, 6, run.Problems[0].At.Line)
}

// A licence without dates beside an earlier one is good at any time.
func TestLicenceWithoutDatesBesideAnEarlierOne(t *testing.T) {
	text := strings.Replace(registers, "he: {}", `he: {licence: "grade 1", earlier: [{licence: "helper", valid_until: "2025-12-31"}]}`, 1)
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "registers/all.cue": text, "jobs/1.yaml": energisedJob + "joints:\n  - {id: j, joint: base, by: he, on: 2026-03-10}\n"})
	assert.NotContains(t, out.full, "jobs/1.yaml "+judge.ValidWhenUsed+" joints[j].by")
}

// A region has a name on both sides of each slash, else the map would not know it.
func TestRegionIsWrittenWhole(t *testing.T) {
	for region, problems := range map[string]int{"isles/outer": 0, "isles//outer": 1, "isles/": 1, "/isles": 1} {
		run, _ := lint(t, firm{"jobs/1.yaml": "job: \"1\"\nstage: surveyed\npremises: {id: p, region: " + region + "}\n"})
		assert.Len(t, run.Problems, problems, region)
	}
}

// A bound that is a figure of a stack is not asked of a joint that belongs to
// something else.
func TestBoundOfAnotherOwnerDoesNotApply(t *testing.T) {
	rules := "package rules\nimport (\n\t\"witnessmark.example/schema/limit\"\n\t\"witnessmark.example/schema/facts\"\n)\n" + `#policy: limit.#RuleSet & {source: {name: "policy", title: "P", edition: "1", kind: "policy", decision: "simple", decided_by: "us"}
	limits: "band": {measure: "joints.torque.set", within: >=facts.joints.stack.equipment.joints.dc_terminal.torque_low, unit: "N·m", clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "Loose."}}
`
	_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/p.cue": rules, "jobs/1.yaml": energisedJob + "protection:\n  - {id: F}\njoints:\n  - {id: j, joint: dc terminal, device: F, torque: {set: 3 N·m}}\n  - {id: k, joint: dc terminal, torque: {set: 3 N·m}}\n"})
	assert.Equal(t, judge.NotApplicable, out.full["jobs/1.yaml policy#band joints[j].torque.set"].kind)
	assert.Equal(t, judge.NotChecked, out.full["jobs/1.yaml policy#band joints[k].torque.set"].kind)
}

// What a later job took out stands there no more, so its serial numbers may stand
// in the later one.
func TestReplacedJobsFreeTheirSerials(t *testing.T) {
	stack := func(job, more string) string {
		return "job: " + job + "\nstage: installed\n" + more + "premises: {id: p}\nstacks:\n  - id: A\n    slots:\n      - {slot: 1, serial: M-7}\n"
	}
	run, _ := lint(t, firm{"jobs/1.yaml": stack("J1", ""), "jobs/2.yaml": stack("J2", "replaces_job: J1\n")})
	assert.Empty(t, run.Repository.Outcomes)
	run, _ = lint(t, firm{"jobs/1.yaml": stack("J1", ""), "jobs/2.yaml": stack("J2", "adds_to: J1\n")})
	assert.Len(t, run.Repository.Outcomes, 2)
}
