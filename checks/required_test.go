package checks

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

const mapOfRuleSets = `package witnessmark

import "witnessmark.example/schema/firm"

#firm: firm.#Firm & {
	name: "Test"
	required: [
		{region: "isles", occupancies: ["dwelling"], until: "2025-12-31", rule_sets: ["us/irc-2021"], why: "council 12"},
		{region: "isles", from: "2026-01-01", rule_sets: ["us/nec-2023", "us/irc-2021"], why: "council 19"},
		{region: "isles/tholvane", rule_sets: ["practice"], why: "always applies anyway"},
		{region: "skerries", rule_sets: [], why: "nothing is adopted there"},
		{region: "reef", occupancies: ["farm"], rule_sets: ["us/nec-2023"], why: "farm act"},
	]
}
`

func jobIn(region, rest string) string {
	return "job: \"1\"\nstage: designed\npremises: {id: a, occupancy: dwelling, region: " + region + "}\n" + rest
}

// What a job must name follows from region, occupancy and the date that each rule
// set goes by. What the map does not cover is never a pass.
func TestRequiredRuleSets(t *testing.T) {
	for name, c := range map[string]struct {
		job    string
		kind   judge.Kind // 0 for no outcome
		reason string
	}{
		"all named": {job: jobIn("isles", "dates: {permit: 2026-02-01}\nrule_sets: [us/nec-2023, us/irc-2021]\n")},
		"one left out": {jobIn("isles", "dates: {permit: 2026-02-01}\nrule_sets: [us/nec-2023]\n"), judge.Outside,
			"left out: us/irc-2021 is required in isles since 2026-01-01 (witnessmark.cue:9, council 19)"},
		"the older entry by the date":        {job: jobIn("isles", "dates: {permit: 2025-12-31}\nrule_sets: [us/irc-2021]\n")},
		"from the first day of the new":      {jobIn("isles", "dates: {permit: 2026-01-01}\nrule_sets: [us/irc-2021]\n"), judge.Outside, "us/nec-2023 is required"},
		"a region below, an always rule set": {job: jobIn("isles/tholvane", "dates: {permit: 2026-02-01}\nrule_sets: [us/nec-2023, us/irc-2021]\n")},
		"a name that only begins alike":      {jobIn("islesfar", "rule_sets: [us/nec-2023]\n"), judge.NotChecked, "nothing local was checked: the firm's map of required rule sets has no entry for the region islesfar"},
		"a region without an entry":          {jobIn("elsewhere", "rule_sets: [us/nec-2023]\n"), judge.NotChecked, "nothing local was checked"},
		"an occupancy without an entry":      {jobIn("reef", "rule_sets: [us/nec-2023]\n"), judge.NotChecked, "nothing local was checked: the firm's map of required rule sets has no entry in force for reef"},
		"no rules in force":                  {jobIn("skerries", "rule_sets: [us/nec-2023]\n"), judge.NotApplicable, "nothing local was checked: nothing is adopted there"},
		"the date is not known yet":          {jobIn("isles", "rule_sets: [us/nec-2023]\n"), judge.NotDue, ""},
		"no rule sets at all":                {jobIn("isles", "dates: {permit: 2026-02-01}\n"), judge.Outside, "us/nec-2023 is required in isles since 2026-01-01 (witnessmark.cue:9, council 19); us/irc-2021 is required"},
		"the region is not recorded":         {"job: \"1\"\nstage: designed\npremises: {id: a}\nrule_sets: [us/nec-2023]\n", judge.NotChecked, "which rule sets are required is not known"},
	} {
		t.Run(name, func(t *testing.T) {
			_, out := lint(t, firm{"witnessmark.cue": mapOfRuleSets, "jobs/1.yaml": c.job})
			got := out.full["jobs/1.yaml "+judge.RuleSetsRequired+" rule_sets"]
			assert.Equal(t, c.kind, got.kind, got.reason)
			assert.Contains(t, got.reason, c.reason)
		})
	}
}

// A finding points at the list of rule sets, and an edition whose time is over is
// named with it.
func TestRequiredRuleSetsPointAtTheList(t *testing.T) {
	text := strings.Replace(mapOfRuleSets, `{region: "skerries"`, `{region: "isles", until: "2025-06-30", rule_sets: ["us/nec-2017"], why: "old"},
		{region: "skerries"`, 1)
	_, out := lint(t, firm{"witnessmark.cue": text,
		"rules/nec.cue": "package rules\nimport \"witnessmark.example/schema/limit\"\n#nec_2017: limit.#RuleSet & {source: {name: \"us/nec-2017\", title: \"Code\", edition: \"2017\", kind: \"code\", decision: \"simple\", decided_by: \"The authority.\"}, limits: {}}\n",
		"jobs/1.yaml":   jobIn("isles", "dates: {permit: 2026-02-01}\nrule_sets: [us/nec-2017, us/irc-2021]\n")})
	got := out.full["jobs/1.yaml "+judge.RuleSetsRequired+" rule_sets"]
	require.Equal(t, judge.Outside, got.kind)
	assert.Equal(t, 5, got.line)
	assert.Contains(t, got.reason, "; the job names us/nec-2017, which the map has until 2025-06-30")
}

// A firm that keeps no map, no register says so in every run; one that keeps all
// does not.
func TestWhatAFirmDoesNotKeepIsSaid(t *testing.T) {
	run, _ := lint(t, firm{"witnessmark.cue": "package witnessmark\nimport \"witnessmark.example/schema/firm\"\n#firm: firm.#Firm & {name: \"Test\"}\n", "jobs/1.yaml": jobIn("isles", "")})
	assert.Equal(t, []string{"The firm does not keep a map of required rule sets, a register of instruments, a register of people, so nothing of that was checked."}, run.Notes)
	run, _ = lint(t, firm{"witnessmark.cue": mapOfRuleSets, "registers/all.cue": registers, "jobs/1.yaml": jobIn("isles", "")})
	assert.Empty(t, run.Problems)
	assert.Empty(t, run.Notes)
}

const registers = `package registers
import "witnessmark.example/schema/register"
#instruments: register.#Instruments & {
	"TW-1": {instrument: "torque wrench", range: {torque_low: "5 N·m", torque_high: "25 N·m"}, calibrated_on: "2026-03-01", valid_until: "2027-02-28", earlier: [{calibrated_on: "2025-03-01", valid_until: "2026-02-28"}]}
}
#people: register.#People & {
	ro: {licence: "grade 2", valid_from: "2024-01-01", valid_until: "2026-06-30", may_rule_on: ["energise", "policy"]}
	he: {}
}
`

// An instrument is held to its calibration, a person to the licence and to what
// they may rule on, on the day they were used.
func TestEntriesOfRegistersOnTheDayTheyWereUsed(t *testing.T) {
	joint := func(on, by string) string {
		return "joints:\n  - {id: j, joint: base, stack: A, torque: {set: 6 N·m}, instrument: TW-1, by: " + by + ", on: " + on + "}\n"
	}
	const valid, entitled = "jobs/1.yaml " + judge.ValidWhenUsed + " joints[j].instrument", "jobs/1.yaml " + judge.Entitled + " gates[%].by"
	for name, c := range map[string]struct{ job, where, reason string }{
		"in calibration":               {joint("2026-03-01", "he"), "", ""},
		"on its last day":              {joint("2027-02-28", "he"), "", ""},
		"under an earlier calibration": {joint("2025-11-03", "ro"), "", ""},
		"out of calibration": {joint("2027-03-01", "he"), valid,
			"TW-1 is used on 2027-03-01, but by the register (registers/all.cue:4) it was good from 2026-03-01 to 2027-02-28, from 2025-03-01 to 2026-02-28"},
		"before any calibration on record": {joint("2025-02-28", "ro"), valid, "TW-1 is used on 2025-02-28"},
		"a licence that ran out":           {joint("2026-07-01", "ro"), "jobs/1.yaml " + judge.ValidWhenUsed + " joints[j].by", "ro is used on 2026-07-01, but by the register (registers/all.cue:7) it was good from 2024-01-01 to 2026-06-30"},
		"a day that is not recorded":       {"joints:\n  - {id: j, joint: base, stack: A, instrument: TW-1}\n", "", ""},
		"entitled":                         {"gates:\n  - {gate: energise, on: 2026-04-01, by: ro}\n", "", ""},
		"not entitled":                     {"gates:\n  - {gate: hand-over, on: 2026-04-01, by: ro}\n", strings.Replace(entitled, "%", "hand-over", 1), "by the register (registers/all.cue:7) ro may not rule on hand-over"},
		"entitled to nothing":              {"gates:\n  - {gate: energise, on: 2026-04-01, by: he}\n", strings.Replace(entitled, "%", "energise", 1), "he may not rule on energise"},
	} {
		t.Run(name, func(t *testing.T) {
			run, out := lint(t, firm{"witnessmark.cue": mapOfRuleSets, "registers/all.cue": registers,
				"jobs/1.yaml": jobIn("isles", "stacks:\n  - {id: A}\n"+c.job)})
			require.Empty(t, run.Problems)
			found := map[string]string{}
			for key, s := range out.full {
				if strings.Contains(key, judge.ValidWhenUsed) || strings.Contains(key, judge.Entitled) {
					assert.Equal(t, judge.Outside, s.kind)
					found[key] = s.reason
				}
			}
			if c.where == "" {
				assert.Empty(t, found)
				return
			}
			require.Len(t, found, 1)
			assert.Contains(t, found[c.where], c.reason)
		})
	}
}

// A limit may be taken from the register: a torque inside the range of the tool.
func TestLimitFromARegister(t *testing.T) {
	rules := "package rules\nimport (\n\t\"witnessmark.example/schema/limit\"\n\t\"witnessmark.example/schema/facts\"\n)\n" + `#policy: limit.#RuleSet & {source: {name: "policy", title: "P", edition: "1", kind: "policy", decision: "simple", decided_by: "us"}
	limits: "tool-range": {measure: "joints.torque.set", within: >=facts.joints.instrument.range.torque_low & <=facts.joints.instrument.range.torque_high, unit: "N·m"
		clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "A tool is only true inside its range."}}
`
	job := "stacks:\n  - {id: A}\njoints:\n  - {id: low, joint: base, stack: A, torque: {set: 4.9 N·m}, instrument: TW-1}\n  - {id: at, joint: base, stack: A, torque: {set: 5 N·m}, instrument: TW-1}\n"
	run, out := lint(t, firm{"witnessmark.cue": mapOfRuleSets, "registers/all.cue": registers, "rules/p.cue": rules, "jobs/1.yaml": jobIn("isles", job)})
	require.Empty(t, run.Problems)
	assert.Equal(t, judge.Outside, out.full["jobs/1.yaml policy#tool-range joints[low].torque.set"].kind)
	assert.Equal(t, judge.Within, out.full["jobs/1.yaml policy#tool-range joints[at].torque.set"].kind)
	// Without a register the range is not known, which is no pass.
	_, out = lint(t, firm{"witnessmark.cue": mapOfRuleSets, "rules/p.cue": rules, "jobs/1.yaml": jobIn("isles", job)})
	assert.Equal(t, judge.NotChecked, out.full["jobs/1.yaml policy#tool-range joints[at].torque.set"].kind)
}

// A concession from the firm's own rules counts only by somebody whom the register
// lets rule on them.
func TestConcessionByWhomTheRegisterEntitles(t *testing.T) {
	rules := "package rules\nimport \"witnessmark.example/schema/limit\"\n" + `#policy: limit.#RuleSet & {source: {name: "policy", title: "P", edition: "1", kind: "policy", decision: "simple", decided_by: "us"}
	limits: "gap": {measure: "stacks.wall_gap", within: >=24, unit: "mm", clause: "1", grade: "document", reviewed: "2026-11-01", review_by: "2027-11-01", why: "Air."}}
`
	job := func(by string) string {
		return jobIn("isles", "stacks:\n  - {id: A, wall_gap: 20 mm}\nconcessions:\n  - {id: c, limit: policy#gap, fact: \"stacks[A].wall_gap\", value: 20 mm, granted_by: firm, by: "+by+", on: 2026-04-01, reason: no more room}\n")
	}
	for by, kind := range map[string]judge.Kind{"ro": judge.Accepted, "he": judge.Outside} {
		_, out := lint(t, firm{"witnessmark.cue": mapOfRuleSets, "registers/all.cue": registers, "rules/p.cue": rules, "jobs/1.yaml": job(by)})
		got := out.full["jobs/1.yaml policy#gap stacks[A].wall_gap"]
		assert.Equal(t, kind, got.kind, by)
		if by == "he" {
			assert.Contains(t, got.reason, "he may not rule on a policy")
		}
	}
}
