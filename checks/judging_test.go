package checks

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
)

// ruleFile writes a rule set with limits; each limit is a name and a body.
func ruleFile(name, kind, decision, more string, limits ...[2]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "package rules\n\nimport \"witnessmark.example/schema/limit\"\n\n#%s: limit.#RuleSet & {\n", strings.NewReplacer("/", "_", "-", "_").Replace(name))
	fmt.Fprintf(&b, "\tsource: {name: %q, title: \"T\", edition: \"1\", kind: %q, decision: %q, decided_by: \"D.\", selected_by: \"permit\", always: true}\n%s\n", name, kind, decision, more)
	for _, l := range limits {
		body := l[1]
		if !strings.Contains(body, "grade:") {
			body += `, grade: "document"`
		}
		fmt.Fprintf(&b, "\tlimits: %q: {%s, clause: \"c\", reviewed: \"2026-01-01\", review_by: \"2027-01-01\", why: \"w\"}\n", l[0], body)
	}
	return b.String() + "}\n"
}

// oneStack is a designed job with one stack; more is added to the stack.
func oneStack(more string) string {
	return "job: 1\npremises: {id: p1, occupancy: farm}\nstage: designed\ndates: {permit: 2026-03-02}\nunits: [{id: U1, stacks: [A]}]\nstacks:\n  - id: A\n" + more
}

func gapFirm(decision, more string, job string, limits ...[2]string) firm {
	return firm{"witnessmark.cue": rootFile, "rules/r.cue": ruleFile("policy", "policy", decision, more, limits...), "jobs/a.yaml": job}
}

const gap = `measure: "stacks.wall_gap", unit: "mm", `

func TestJudging(t *testing.T) {
	up20 := [2]string{"up", gap + `within: <=20`}
	for _, c := range []struct {
		name     string
		decision string
		more     string
		limits   [][2]string
		stack    string // fields of the stack
		limit    string
		want     judge.Kind
		margin   string
		reason   string
	}{
		{name: "inside", limits: [][2]string{up20}, stack: "    wall_gap: 19 mm", want: judge.Within, margin: "1 mm"},
		{name: "at the limit", limits: [][2]string{up20}, stack: "    wall_gap: 2.0 cm", want: judge.Within, margin: "0 mm"},
		{name: "outside", limits: [][2]string{up20}, stack: "    wall_gap: 20.04 mm", want: judge.Outside, margin: "0.04 mm"},
		{name: "outside is never 0", limits: [][2]string{up20}, stack: "    wall_gap: 0.7875 in", want: judge.Outside},
		{name: "strictly below", limits: [][2]string{{"up", gap + `within: <20`}}, stack: "    wall_gap: 20 mm", want: judge.Outside},
		{name: "band touches", limits: [][2]string{up20}, stack: "    wall_gap: 19 mm ± 1 mm", want: judge.Within, margin: "1 mm"},
		{name: "band reaches over, guarded", limits: [][2]string{up20}, stack: "    wall_gap: 19 mm ± 1.1 mm", want: judge.TooClose},
		{name: "band reaches over, simple", decision: "simple", limits: [][2]string{up20}, stack: "    wall_gap: 19 mm ± 1.1 mm", want: judge.Within},
		{name: "band of a value outside", limits: [][2]string{up20}, stack: "    wall_gap: 21 mm ± 5 mm", want: judge.Outside},
		{name: "band of the policy", more: `	bands: "stacks.wall_gap": "2 mm"`, limits: [][2]string{up20}, stack: "    wall_gap: 19 mm", want: judge.TooClose},
		{name: "own band beats the policy's", more: `	bands: "stacks.wall_gap": "2 mm"`, limits: [][2]string{up20}, stack: "    wall_gap: 19 mm ± 0.5 mm", want: judge.Within},
		{name: "band in per cent", more: `	bands: "stacks.wall_gap": "10 %"`, limits: [][2]string{up20}, stack: "    wall_gap: 19 mm", want: judge.TooClose},
		{name: "outer band of alternatives", limits: [][2]string{{"up", gap + `within: <=10 | >=30`}}, stack: "    wall_gap: 9 mm ± 25 mm", want: judge.TooClose},
		{name: "between alternatives", limits: [][2]string{{"up", gap + `within: <=10 | >=30`}}, stack: "    wall_gap: 28 mm", want: judge.Outside, margin: "2 mm"},
		{name: "condition holds", limits: [][2]string{{"up", gap + `within: <=20, when: premises: occupancy: "farm"`}}, stack: "    wall_gap: 30 mm", want: judge.Outside},
		{name: "condition fails", limits: [][2]string{{"up", gap + `within: <=20, when: premises: occupancy: "shop" | "office"`}}, stack: "    wall_gap: 30 mm", want: judge.NotApplicable},
		{name: "condition unknown", limits: [][2]string{{"up", gap + `within: <=20, when: stacks: firmware: "1"`}}, stack: "    wall_gap: 30 mm", want: judge.NotDue},
		{name: "condition never due", limits: [][2]string{{"up", gap + `within: <=20, when: stacks: base_height: >1`}}, stack: "    wall_gap: 30 mm", want: judge.NotChecked},
		{name: "false beats unknown", limits: [][2]string{{"up", gap + `within: <=20, when: {stacks: base_height: >1, premises: occupancy: "shop"}`}}, stack: "    wall_gap: 30 mm", want: judge.NotApplicable},
		{name: "number in a condition", limits: [][2]string{{"up", gap + `within: <=20, when: stacks: base_height: >100`}}, stack: "    wall_gap: 30 mm\n    base_height: 10.5 cm", want: judge.Outside},
		{name: "some holds", limits: [][2]string{{"up", gap + `within: <=20, when: some: units: id: "U1"`}}, stack: "    wall_gap: 30 mm", want: judge.Outside},
		{name: "some of none", limits: [][2]string{{"up", gap + `within: <=20, when: some: conductors: carries: "dc"`}}, stack: "    wall_gap: 30 mm", want: judge.NotApplicable},
		{name: "every of none", limits: [][2]string{{"up", gap + `within: <=20, when: every: conductors: carries: "dc"`}}, stack: "    wall_gap: 30 mm", want: judge.Outside},
		{name: "every fails", limits: [][2]string{{"up", gap + `within: <=20, when: every: units: id: "U2"`}}, stack: "    wall_gap: 30 mm", want: judge.NotApplicable},
		{name: "in force", limits: [][2]string{{"up", gap + `within: <=20, from: "2026-03-02"`}}, stack: "    wall_gap: 30 mm", want: judge.Outside},
		{name: "not in force yet", limits: [][2]string{{"up", gap + `within: <=20, from: "2026-03-03"`}}, stack: "    wall_gap: 30 mm", want: judge.NotApplicable},
		{name: "no longer in force", limits: [][2]string{{"up", gap + `within: <=20, until: "2026-03-01"`}}, stack: "    wall_gap: 30 mm", want: judge.NotApplicable},
		{name: "unreadable", limits: [][2]string{up20}, stack: "    wall_gap: 30", want: judge.NotChecked, reason: "could not be read"},
		{name: "absent and due", limits: [][2]string{up20}, stack: "    modules: 5", want: judge.NotChecked},
		{name: "absent and not due", limits: [][2]string{{"up", `measure: "stacks.lean", unit: "mm", within: <=5`}}, stack: "    modules: 5", want: judge.NotDue},
		{name: "handed over to a set not named", limits: [][2]string{{"up", gap + `within: <=20, hands_over_to: "us/ifc-2021"`}}, stack: "    wall_gap: 30 mm", want: judge.Outside},
		{name: "replaced", limits: [][2]string{up20, {"local", gap + `within: <=40, replaces: ["policy#up"]`}}, stack: "    wall_gap: 30 mm", want: judge.NotApplicable, reason: "replaced by policy#local (c)"},
		{name: "replacement does not apply", limits: [][2]string{up20, {"local", gap + `within: <=40, replaces: ["policy#up"], when: premises: occupancy: "shop"`}}, stack: "    wall_gap: 30 mm", want: judge.Outside},
		{name: "replacement unknown", limits: [][2]string{up20, {"local", gap + `within: <=40, replaces: ["policy#up"], when: stacks: base_height: >1`}}, stack: "    wall_gap: 30 mm", want: judge.Outside},
		{name: "contradiction", limits: [][2]string{up20, {"low", gap + `within: >=25`}}, stack: "    wall_gap: 22 mm", want: judge.NotChecked, reason: "contradict each other"},
		{name: "no contradiction where conditions exclude each other", limits: [][2]string{{"up", gap + `within: <=20, when: premises: occupancy: "farm"`}, {"low", gap + `within: >=25, when: premises: occupancy: "shop"`}}, stack: "    wall_gap: 22 mm", want: judge.Outside},
		{name: "printed pair", limits: [][2]string{{"up", `measure: "stacks.clearance.front", within: >=3, unit: "ft", printed: {within: >=914, unit: "mm"}`}}, stack: "    clearance: {front: 914 mm}", want: judge.Within, margin: "0 mm"},
		{name: "printed pair, other system", limits: [][2]string{{"up", `measure: "stacks.clearance.front", within: >=3, unit: "ft", printed: {within: >=914, unit: "mm"}`}}, stack: "    clearance: {front: 2.99 ft}", want: judge.Outside, margin: "0.01 ft"},
		{name: "without a pair the millimetres fall short", limits: [][2]string{{"up", `measure: "stacks.clearance.front", within: >=3, unit: "ft"`}}, stack: "    clearance: {front: 914 mm}", want: judge.Outside},
	} {
		t.Run(c.name, func(t *testing.T) {
			decision := c.decision
			if decision == "" {
				decision = "guarded"
			}
			_, out := lint(t, gapFirm(decision, c.more, oneStack(c.stack+"\n"), c.limits...))
			found := 0
			for key, s := range out.full {
				if strings.HasPrefix(key, "jobs/a.yaml policy#up ") {
					found++
					assert.Equal(t, c.want.String(), s.kind.String(), s.reason)
					assert.Contains(t, s.reason, c.reason)
					if c.margin != "" {
						assert.Equal(t, c.margin, s.margin)
					}
					if s.kind == judge.Outside {
						assert.NotRegexp(t, `^[0.]+ `, s.margin)
					}
				}
			}
			assert.Equal(t, 1, found)
		})
	}
}

// Bounds that are facts of the same stack.
func TestBoundsFromFacts(t *testing.T) {
	rules := strings.Replace(ruleFile("policy", "policy", "guarded", "", [2]string{"up", gap + `within: <=(2*facts.stacks.base_height + 5)`}), `import "witnessmark.example/schema/limit"`, "import (\"witnessmark.example/schema/limit\", \"witnessmark.example/schema/facts\")", 1)
	for stack, want := range map[string]judge.Kind{
		"    wall_gap: 25 mm\n    base_height: 10 mm\n":   judge.Within,
		"    wall_gap: 25.1 mm\n    base_height: 1 cm\n":  judge.Outside,
		"    wall_gap: 25.1 mm\n":                         judge.NotChecked,
		"    wall_gap: 25.1 mm\n    base_height: 10 kg\n": judge.NotChecked,
	} {
		_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": rules, "jobs/a.yaml": oneStack(stack)})
		assert.Equal(t, want.String(), out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind.String(), stack)
	}
}

// The limit with the least room decides; blocking ones before advisory ones.
func TestStrictest(t *testing.T) {
	_, out := lint(t, gapFirm("guarded", "", oneStack("    wall_gap: 18 mm\n"), [2]string{"wide", gap + `within: <=40`},
		[2]string{"narrow", gap + `within: >=10 & <=20`}, [2]string{"advisory", gap + `within: <=19, grade: "memory"`}))
	get := func(n string) seen { return out.full["jobs/a.yaml policy#"+n+" stacks[A].wall_gap"] }
	assert.False(t, get("wide").strictest)
	assert.True(t, get("narrow").strictest)
	assert.False(t, get("advisory").strictest, "an advisory limit stands beside the blocking ones")
	assert.False(t, get("advisory").blocking)
	assert.True(t, get("narrow").blocking)
	assert.Equal(t, "2 mm", get("narrow").margin)
}

// A policy makes an advisory limit block; its grade stays.
func TestPromotion(t *testing.T) {
	_, out := lint(t, gapFirm("guarded", `	promotes: ["policy#a"]`, oneStack("    wall_gap: 18 mm\n"), [2]string{"a", gap + `within: <=10, grade: "secondary"`}))
	s := out.full["jobs/a.yaml policy#a stacks[A].wall_gap"]
	assert.True(t, s.blocking)
	assert.Equal(t, "secondary", s.grade)
}

// From installed on, the plan does not stand for a reading.
func TestPlannedAndBuilt(t *testing.T) {
	up := [2]string{"up", gap + `within: <=20`}
	job := func(stage, value string) string {
		return strings.Replace(oneStack("    wall_gap: "+value+"\n"), "stage: designed", "stage: "+stage, 1)
	}
	for _, c := range []struct {
		stage, value string
		want         judge.Kind
		missing      bool
	}{
		{"delivered", "18 mm", judge.Within, false},
		{"delivered", "{planned: 18 mm, built: 30 mm}", judge.Outside, false}, // a reading counts wherever there is one
		{"delivered", "{planned: 30 mm, built: 18 mm}", judge.Within, false},
		{"installed", "{planned: 18 mm, built: 30 mm}", judge.Outside, false},
		{"installed", "{planned: 30 mm, built: 18 mm}", judge.Within, false},
		{"installed", "18 mm", judge.NotChecked, true},
		{"installed", "{planned: 18 mm}", judge.NotChecked, true},
		{"installed", "{built: 18 mm}", judge.Within, false},
	} {
		_, out := lint(t, gapFirm("guarded", "", job(c.stage, c.value), up))
		assert.Equal(t, c.want.String(), out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind.String(), c.stage+" "+c.value)
		_, missing := out.full["jobs/a.yaml record#recorded stacks[A].wall_gap"]
		assert.Equal(t, c.missing, missing, c.stage+" "+c.value)
	}
}

// Where stacks differ, each is judged by its own stage.
func TestStageOfAStack(t *testing.T) {
	_, out := lint(t, gapFirm("guarded", "", oneStack("    wall_gap: 18 mm\n  - id: B\n    stage: installed\n    wall_gap: 18 mm\n"), [2]string{"up", gap + `within: <=20`}))
	assert.Equal(t, "within", out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind.String())
	assert.Equal(t, "not_checked", out.full["jobs/a.yaml policy#up stacks[B].wall_gap"].kind.String())
	assert.Equal(t, judge.Missing, out.full["jobs/a.yaml record#recorded stacks[B].wall_gap"].kind)
}

func TestConcessions(t *testing.T) {
	concession := func(body string) string {
		return oneStack("    wall_gap: 30 mm\n") + "documents: [{id: D1, document: ruling}, {id: D2, document: plan}]\nconcessions:\n  - {id: c1, limit: policy#up, fact: \"stacks[A].wall_gap\", value: 30 mm, " + body + "}\n"
	}
	for name, c := range map[string]struct {
		kind, body string
		want       judge.Kind
		reason     string
	}{
		"firm for its policy":      {"policy", "granted_by: firm, by: ro, on: 2026-01-02, reason: wall is out of true", judge.Accepted, "wall is out of true"},
		"maker for a policy":       {"policy", "granted_by: maker, by: ro, on: 2026-01-02, reason: x", judge.Outside, "accepted by the firm"},
		"firm for a code":          {"code", "granted_by: firm, by: ro, on: 2026-01-02, reason: x", judge.Outside, "accepted by the authority"},
		"authority without ruling": {"code", "granted_by: authority, by: ro, on: 2026-01-02, reason: x", judge.Outside, "ruling"},
		"authority with ruling":    {"code", "granted_by: authority, by: ro, on: 2026-01-02, reason: x, document: D1", judge.Accepted, "authority"},
		"authority with a plan":    {"code", "granted_by: authority, by: ro, on: 2026-01-02, reason: x, document: D2", judge.Outside, "ruling"},
		"expired":                  {"policy", "granted_by: firm, by: ro, on: 2026-01-02, until: 2026-11-24, reason: x", judge.Outside, "held until 2026-11-24"},
		"last day":                 {"policy", "granted_by: firm, by: ro, on: 2026-01-02, until: 2026-11-25, reason: x", judge.Accepted, ""},
		"not yet":                  {"policy", "granted_by: firm, by: ro, on: 2026-12-02, reason: x", judge.Outside, "only on"},
		"nobody answers":           {"policy", "granted_by: firm, on: 2026-01-02, reason: x", judge.Outside, "who answers"},
	} {
		t.Run(name, func(t *testing.T) {
			_, out := lint(t, firm{"witnessmark.cue": rootFile, "rules/r.cue": ruleFile("policy", c.kind, "guarded", "", [2]string{"up", gap + `within: <=20`}), "jobs/a.yaml": concession(c.body)})
			s := out.full["jobs/a.yaml policy#up stacks[A].wall_gap"]
			assert.Equal(t, c.want.String(), s.kind.String(), s.reason)
			assert.Contains(t, s.reason, c.reason)
		})
	}
	t.Run("given for another value", func(t *testing.T) {
		_, out := lint(t, gapFirm("guarded", "", strings.Replace(concession("granted_by: firm, by: ro, on: 2026-01-02, reason: x"), "    wall_gap: 30 mm", "    wall_gap: 31 mm", 1), [2]string{"up", gap + `within: <=20`}))
		s := out.full["jobs/a.yaml policy#up stacks[A].wall_gap"]
		assert.Equal(t, judge.Outside, s.kind)
		assert.Contains(t, s.reason, "given for 30 mm")
	})
	t.Run("same value in another unit", func(t *testing.T) {
		_, out := lint(t, gapFirm("guarded", "", strings.Replace(concession("granted_by: firm, by: ro, on: 2026-01-02, reason: x"), "    wall_gap: 30 mm", "    wall_gap: 3 cm", 1), [2]string{"up", gap + `within: <=20`}))
		assert.Equal(t, judge.Accepted, out.full["jobs/a.yaml policy#up stacks[A].wall_gap"].kind)
	})
	t.Run("unused", func(t *testing.T) {
		_, out := lint(t, gapFirm("guarded", "", strings.Replace(concession("granted_by: firm, by: ro, on: 2026-01-02, reason: x"), "    wall_gap: 30 mm", "    wall_gap: 10 mm", 1), [2]string{"up", gap + `within: <=20`}))
		assert.Equal(t, judge.Outside, out.full["jobs/a.yaml record#concession-used concessions[c1].limit"].kind)
	})
}

// A datasheet's limits hold only where the product is used.
func TestEquipmentLimits(t *testing.T) {
	f := firm{"witnessmark.cue": rootFile, "equipment/quell.cue": product, "jobs/a.yaml": `job: 1
premises: {id: p1}
stage: designed
stacks:
  - {id: A, equipment: quell@A, modules: 9}
  - {id: B, equipment: quell@Z, modules: 9}
  - {id: C, equipment: quel@A, modules: 9}
  - {id: D, equipment: quell, modules: 9}
  - {id: E, equipment: quell@A, modules: 5}
`}
	run, out := lint(t, f)
	get := func(s string) judge.Kind {
		return out.full["jobs/a.yaml equipment/quell@A#series stacks["+s+"].modules"].kind
	}
	assert.Equal(t, judge.Outside, get("A"))
	assert.Equal(t, judge.NotApplicable, get("B"), "another revision, of which nothing could be checked")
	assert.Equal(t, judge.NotApplicable, get("C"))
	for _, s := range []string{"B", "C"} {
		assert.Equal(t, judge.NotChecked, out.full["jobs/a.yaml record#datasheet-read stacks["+s+"].equipment"].kind)
	}
	assert.Equal(t, judge.NotChecked, get("D"))
	assert.Equal(t, judge.Within, get("E"))
	assert.Equal(t, judge.Missing, out.full["jobs/a.yaml record#recorded stacks[D].equipment"].kind, "an unpinned revision is missing")
	require.Len(t, run.Problems, 2)
	assert.Equal(t, 6, run.Problems[0].At.Line)
	assert.Contains(t, run.Problems[0].Message, `no revision "Z"`)
	assert.Equal(t, 7, run.Problems[1].At.Line)
	assert.Contains(t, run.Problems[1].Message, `did you mean "quell"`)
}

func TestHighestVoltageByArchitecture(t *testing.T) {
	volts := [2]string{"up", `measure: "stacks.voltage_high", unit: "V", within: <=300`}
	for _, c := range []struct {
		name, from, to string
		want           judge.Kind
		margin         string
	}{
		{"in series", "", "", judge.Within, "12 V"},
		{"with a converter the modules do not add up", `"modules in series"`, `"converter per stack", output: voltage_high: "450 V"`, judge.Outside, "150 V"},
		{"a converter without its output voltage", `"modules in series"`, `"converter per module"`, judge.NotChecked, ""},
		{"unknown architecture", `architecture: "modules in series"`, ``, judge.NotChecked, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := gapFirm("simple", "", oneStack("    equipment: quell@A\n    modules: 5\n"), volts)
			f["equipment/quell.cue"] = strings.Replace(product, c.from, c.to, 1)
			run, out := lint(t, f)
			require.Empty(t, run.Problems)
			s := out.full["jobs/a.yaml policy#up stacks[A].voltage_high"]
			assert.Equal(t, c.want.String(), s.kind.String())
			assert.Equal(t, c.margin, s.margin)
		})
	}
}
