package checks

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"witnessmark.example/checks/judge"
	"witnessmark.example/checks/limit"
)

// candidates gathers the candidates of jobs/a.yaml.
func candidates(t *testing.T, f firm) *Candidates {
	t.Helper()
	o := Options{FS: f.fs(), Paths: []string{"jobs/a.yaml"}, AsOf: asOf, Shipped: once(t), Workers: 1}
	l, err := OpenLibrary(o)
	require.NoError(t, err)
	sink := NewCandidateSink(l)
	_, err = Lint(context.Background(), o, sink)
	require.NoError(t, err)
	return sink.Candidates()
}

// valueAt finds one value.
func valueAt(t *testing.T, c *Candidates, fact string) *CandidateValue {
	t.Helper()
	for i := range c.Values {
		if c.Values[i].Fact == fact {
			return &c.Values[i]
		}
	}
	require.Fail(t, "no candidates for "+fact)
	return nil
}

// of finds one candidate.
func of(t *testing.T, v *CandidateValue, name string) *Candidate {
	t.Helper()
	for i := range v.Candidates {
		if v.Candidates[i].Limit.FullName == name {
			return &v.Candidates[i]
		}
	}
	require.Fail(t, name+" is no candidate")
	return nil
}

func texts(us []limit.Unmet) []string {
	var out []string
	for _, u := range us {
		out = append(out, u.Text)
	}
	return out
}

// Each way in which a limit may not apply is named with the value that keeps it
// from applying.
func TestWhyNot(t *testing.T) {
	for _, c := range []struct {
		name  string
		limit string // body
		stack string
		want  []string
	}{
		{"word", `when: premises: occupancy: "dwelling"`, "", []string{`premises.occupancy is "farm"; the limit asks for "dwelling"`}},
		{"one of several words", `when: premises: occupancy: "dwelling" | "shop"`, "", []string{`premises.occupancy is "farm"; the limit asks for "dwelling" or "shop"`}},
		{"number", `when: stacks: modules: >=5`, "    modules: 4\n", []string{`stacks[A].modules is 4 modules; the limit asks for >= 5 modules`}},
		{"truth", `when: stacks: live_parts_accessible: true`, "    live_parts_accessible: false\n", []string{`stacks[A].live_parts_accessible is no; the limit asks for yes`}},
		{"only what is not met", `when: {premises: occupancy: "farm", stacks: modules: >=5}`, "    modules: 4\n", []string{`stacks[A].modules is 4 modules; the limit asks for >= 5 modules`}},
		{"both", `when: {premises: occupancy: "shop", stacks: modules: >=5}`, "    modules: 4\n",
			[]string{`premises.occupancy is "farm"; the limit asks for "shop"`, `stacks[A].modules is 4 modules; the limit asks for >= 5 modules`}},
		{"before its first day", `from: "2026-03-03"`, "", []string{`dates.permit is 2026-03-02; the limit is in force from 2026-03-03`}},
		{"after its last day", `until: "2026-03-01"`, "", []string{`dates.permit is 2026-03-02; the limit is in force until 2026-03-01`}},
		{"some", `when: some: stacks: modules: >=5`, "    modules: 4\n", []string{`stacks: none of 1; the limit asks for some with stacks.modules >= 5 modules`}},
		{"some of nothing", `when: some: joints: joint: "wall bracket"`, "", []string{`joints: no entry; the limit asks for some with joints.joint is "wall bracket"`}},
		{"every", `when: every: stacks: modules: >=5`, "    modules: 4\n", []string{`stacks[A].modules is 4 modules; the limit asks of every entry of stacks for >= 5 modules`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := candidates(t, gapFirm("guarded", "", oneStack(c.stack+"    wall_gap: 15 mm"), [2]string{"up", gap + `within: <=20, ` + c.limit}))
			require.Empty(t, got.Problems)
			v := valueAt(t, got, "stacks[A].wall_gap")
			one := of(t, v, "policy#up")
			assert.Equal(t, judge.NotApplicable, one.Kind)
			assert.Equal(t, c.want, texts(one.Unmet))
			assert.Empty(t, v.Why)
			assert.Equal(t, "15 mm", v.Now)
		})
	}
}

// A limit of another product that the job uses elsewhere names both.
func TestWhyNotOtherProduct(t *testing.T) {
	f := listingFirm()
	f["jobs/a.yaml"] = "job: 1\npremises: {id: p1, occupancy: farm}\nstage: designed\ndates: {permit: 2026-03-02}\nrule_sets: [vale/local-1]\nunits: [{id: U1, stacks: [A, B]}]\nstacks:\n" +
		"  - {id: A, equipment: quell@A, modules: 4, wall_gap: 22 mm}\n  - {id: B, equipment: quell@B, modules: 9}\n"
	got := candidates(t, f)
	v := valueAt(t, got, "stacks[A].modules")
	assert.Equal(t, judge.Within, of(t, v, "equipment/quell@A#series").Kind)
	assert.Equal(t, []limit.Unmet{{Fact: "stacks[A].equipment", Value: "quell@A", Asked: "quell@B", Text: "stacks[A].equipment is quell@A; the limit is for quell@B"}},
		of(t, v, "equipment/quell@B#series").Unmet)
	assert.Equal(t, "the only blocking limit that was compared", v.Why)

	v = valueAt(t, got, "stacks[A].wall_gap")
	assert.Equal(t, "policy#gap", v.Candidates[0].Limit.FullName, "outside decides")
	assert.Equal(t, "the only one of 2 blocking limits that the value is outside of", v.Why)
	assert.Equal(t, "2 mm", v.Candidates[0].Margin)
	assert.True(t, v.Candidates[0].Beside)
	assert.Equal(t, "vale/local-1#gap", v.Candidates[1].Limit.FullName)
	assert.False(t, of(t, v, "policy#unread").Blocking)
	assert.Equal(t, "22 mm", v.Planned)
	assert.Empty(t, v.Built)

	gapB := valueAt(t, got, "stacks[B].wall_gap")
	assert.Empty(t, gapB.Now)
	assert.Equal(t, "not recorded", gapB.State)
	assert.Equal(t, []string{"stacks[B].wall_gap"}, of(t, gapB, "policy#gap").WaitsOn)

	use := map[string]SetUse{}
	for _, s := range got.Sets {
		use[s.Source.Name] = s
	}
	assert.Equal(t, Named, use["vale/local-1"].Use)
	assert.Equal(t, 5, use["vale/local-1"].Line)
	assert.Equal(t, Always, use["policy"].Use)
	assert.Equal(t, NotNamed, use["us/irc-2021"].Use)
	assert.Equal(t, []string{"stacks[B].equipment"}, use["equipment/quell@B"].UsedBy)
	require.Len(t, use["vale/local-1"].Dated, 1)
	assert.Equal(t, limit.Yes, use["vale/local-1"].Dated[0].Force)
	assert.Equal(t, "2026-03-02", use["vale/local-1"].Date.String())
}

// What the job does not name is listed beside the value that it would bound, and
// a limit that is replaced says by what.
func TestNotAskedAndReplaced(t *testing.T) {
	f := listingFirm()
	f["jobs/a.yaml"] = oneStack("    wall_gap: 15 mm")
	got := candidates(t, f)
	v := valueAt(t, got, "stacks[A].wall_gap")
	require.Len(t, v.NotAsked, 1)
	assert.Equal(t, "vale/local-1#gap", v.NotAsked[0].FullName)
	assert.Equal(t, "the only blocking limit that was compared", v.Why)

	f["rules/local.cue"] = strings.Replace(f["rules/local.cue"], `from: "2026-01-01"`, `from: "2026-01-01", replaces: ["policy#gap"]`, 1)
	f["jobs/a.yaml"] = "rule_sets: [vale/local-1]\n" + f["jobs/a.yaml"]
	v = valueAt(t, candidates(t, f), "stacks[A].wall_gap")
	old := of(t, v, "policy#gap")
	assert.Equal(t, judge.NotApplicable, old.Kind)
	assert.Equal(t, "replaced by vale/local-1#gap (c)", old.Reason)
	assert.Empty(t, old.Unmet, "its own condition is met")
	by := of(t, v, "vale/local-1#gap")
	require.Len(t, by.Relaxes, 1)
	assert.Equal(t, "policy#gap", by.Relaxes[0].FullName)
}

// Nothing of the facts is kept: reading other jobs afterwards changes no text.
func TestCandidatesOutliveTheFacts(t *testing.T) {
	f := listingFirm()
	f["jobs/a.yaml"] = oneStack("    wall_gap: 15.5 mm\n    equipment: quell@A")
	alone := candidates(t, f)
	for _, n := range []string{"b", "c", "d"} {
		f["jobs/"+n+".yaml"] = strings.NewReplacer("15.5", "99.9", "p1", "zz", "job: 1", "job: "+n, "quell@A", "quell@B").Replace(f["jobs/a.yaml"])
	}
	among := candidates(t, f)
	assert.Equal(t, alone.Premises, among.Premises)
	require.Len(t, among.Values, len(alone.Values))
	for i := range alone.Values {
		a, b := alone.Values[i], among.Values[i]
		a.Candidates, b.Candidates, a.NotAsked, b.NotAsked = nil, nil, nil, nil
		assert.Equal(t, a, b)
	}
}

// An unreadable job is shown as such.
func TestCandidatesOfBrokenJob(t *testing.T) {
	f := listingFirm()
	f["jobs/a.yaml"] = "job: [\n"
	got := candidates(t, f)
	assert.True(t, got.Unread)
	assert.NotEmpty(t, got.Problems)
	assert.Empty(t, got.Values)
}

// Sums over the premises say why a limit does not apply to this job.
func TestCandidateSums(t *testing.T) {
	f := gapFirm("guarded", "", oneStack("    wall_gap: 15 mm"),
		[2]string{"sum", `measure: "premises.energy", unit: "kWh", within: <=50, when: premises: occupancy: "shop"`},
		[2]string{"all", `measure: "premises.energy", unit: "kWh", within: <=60`})
	got := candidates(t, f)
	require.Len(t, got.Sums, 1)
	assert.Equal(t, "premises.energy", got.Sums[0].Measure)
	assert.Len(t, got.Sums[0].Outcomes, 2)
	assert.Equal(t, []string{`premises.occupancy is "farm"; the limit asks for "shop"`}, texts(got.Sums[0].Unmet["policy#sum"]))
	assert.Empty(t, got.Sums[0].Unmet["policy#all"])
	assert.NotEmpty(t, got.Sums[0].NotAsked, "the codes that are not named limit it as well")
}

// The firm's map of required rule sets: what it asks for and the job leaves out is
// said, and its regions select the rule sets that it names.
func TestCandidatesRequired(t *testing.T) {
	f := listingFirm()
	f["witnessmark.cue"] = "package witnessmark\n\nimport \"witnessmark.example/schema/firm\"\n\n#firm: firm.#Firm & {name: \"T\", required: [{region: \"isle\", rule_sets: [\"vale/local-1\"], why: \"Treaty of the vale.\"}]}\n"
	f["jobs/a.yaml"] = strings.Replace(oneStack("    wall_gap: 15 mm"), "occupancy: farm", "occupancy: farm, region: isle/north", 1)
	got := candidates(t, f)
	assert.Contains(t, []judge.Kind{judge.Outside, judge.NotDue}, got.Required)
	assert.Contains(t, got.RequiredWhy, "vale/local-1 is required in isle")

	l := listed(t, f)
	for _, region := range []string{"isle", "isle/north", "vale"} {
		s, err := l.Select(Filter{Region: region})
		require.NoError(t, err)
		assert.Equal(t, []string{"vale/local-1#gap"}, namesOf(s), region)
	}
	_, err := l.Select(Filter{Region: "isl"})
	assert.ErrorContains(t, err, `did you mean "isle"`)
}

// A limit is in force on its first and last day.
func TestInForceToTheDay(t *testing.T) {
	for permit, want := range map[string]limit.Truth{"2026-02-28": limit.No, "2026-03-01": limit.Yes, "2026-03-31": limit.Yes, "2026-04-01": limit.No, "": limit.Unknown} {
		job := strings.Replace(oneStack("    wall_gap: 15 mm"), "{permit: 2026-03-02}", "{designed: 2026-01-10, permit: "+permit+"}", 1)
		if permit == "" {
			job = strings.Replace(job, ", permit: ", "", 1)
		}
		got := candidates(t, gapFirm("guarded", "", job, [2]string{"up", gap + `within: <=20, from: "2026-03-01", until: "2026-03-31"`}))
		found := false
		for _, s := range got.Sets {
			if s.Source.Name == "policy" {
				found = true
				require.Len(t, s.Dated, 1)
				assert.Equal(t, want, s.Dated[0].Force, "permit on %q", permit)
			}
		}
		assert.True(t, found)
	}
}
